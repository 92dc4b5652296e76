"""From any sufficient set of numbers to the one frame that fits.

given, held -> structure (by rank) -> roots (block by block) -> checks -> Solution
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from layout.errors import Conflict, Fault, Notice, SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import (
    HELD_DEFAULTS,
    INPUT_DEFAULTS,
    LEVEL,
    SLOPE_LIMIT,
    STANDOVER_WISH,
    STEEPEST,
    STOOD_OVER,
    Equation,
)
from layout.geometry.fit import Agreement, fitted, linear
from layout.geometry.newton import Parameters
from layout.geometry.plane import HELD, TUBE_PLACES, Plane, points
from layout.geometry.roots import solve_blocks
from layout.geometry.sag import sagged_parameters
from layout.geometry.sanity import impossible, unusual
from layout.geometry.structure import Structure, structure

__all__ = ["Agreement", "Solution", "solve_frame", "solve_frames"]

Dimensions = dict[str, float | None]


@dataclass(frozen=True)
class Solution:
    """A solved frame, lengths in mm, angles in degrees.

    `parameters` are the base parameters of Plane; `dimensions` has every name of the
    registry, None where rider, cockpit or crank numbers are missing; `defaults` maps
    dimension names to the values taken, in the order taken; `residuals` are given minus
    fitted; `sagged` are the dimensions at rest where a sag was given.
    """

    parameters: Mapping[str, float]
    dimensions: Dimensions
    points: dict[str, tuple[float, float]]
    given: tuple[str, ...]
    defaults: dict[str, float]
    residuals: dict[str, float]
    sagged: Dimensions | None
    warnings: tuple[Notice, ...]


@dataclass(frozen=True)
class _Problem:
    """The numbers of one call, sorted: what is solved for, what is only put in."""

    given: dict[str, float]
    targets: dict[str, float]
    inputs: dict[str, float]
    inputs_defaulted: dict[str, float]
    agreement: Agreement
    base: Parameters = field(default_factory=dict)


@dataclass(frozen=True)
class _Root:
    """One frame found, with the structure that it satisfies."""

    parameters: Parameters
    structure: Structure


def solve_frame(
    given: Mapping[str, float],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
) -> Solution:
    """The frame that the given dimensions fix.

    `given` maps dimension names to mm or degrees; `held` part sizes (plane.HELD) to mm.
    `choose` names dimensions near which the frame is wanted where there are two.
    Raises SolveError with one Fault for each thing wrong: insufficient, contradictory,
    no_frame, ambiguous, range, unknown_key or type; file and line are left to the caller.
    """
    frames = solve_frames(given, held, choose=choose, agreement=agreement)
    return frames[0]


def solve_frames(
    given: Mapping[str, float],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
) -> tuple[Solution, ...]:
    """Every sane frame that satisfies the numbers, the one to use first; otherwise as solve_frame."""
    problem = _problem(given, held or {}, agreement or Agreement())
    found = structure(tuple(problem.targets))
    if found.free:
        raise SolveError(
            Fault(f"these numbers leave {found.free} freedoms open", "insufficient")
        )
    roots = _all_roots(problem, found)
    return tuple(_solution(problem, root) for root in roots)


def _problem(given: Mapping[str, float], held: Mapping[str, float], agreement: Agreement) -> _Problem:
    faults = []
    for name, value in given.items():
        faults += _faults(name, value)
    unknown = [n for n in held if n not in HELD]
    faults += [Fault(f"{n} is no part size; known are {', '.join(HELD)}", "unknown_key", n) for n in unknown]
    if faults:
        raise SolveError(*faults)
    numbers = {n: float(v) for n, v in given.items()}
    inputs = {n: v for n, v in numbers.items() if REGISTRY[n].is_input}
    defaulted = {n: v for n, v in INPUT_DEFAULTS.items() if n not in inputs}
    sizes = {n: float(v) for n, v in held.items()}
    base = {**HELD_DEFAULTS, **sizes, **defaulted, **inputs}
    targets = {n: v for n, v in numbers.items() if n not in inputs}
    return _Problem(numbers, targets, inputs, defaulted, agreement, base)


def _faults(name: str, value: float) -> list[Fault]:
    dimension = REGISTRY.get(name)
    if dimension is None:
        return [Fault(f"{name} is no known dimension", "unknown_key", name)]
    if dimension.asked_only:
        return [Fault(f"{name} is a worst case: it is found, and cannot be given", "unknown_key", name)]
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        return [Fault(f"{name} must be a number, not {value!r}", "type", name)]
    low, high = dimension.sane
    if not math.isfinite(value) or not low <= value <= high:
        text = f"{name} is {value:g} {dimension.unit}, outside the sane range {low:g} to {high:g}"
        return [Fault(text, "range", name)]
    return []


def _all_roots(problem: _Problem, found: Structure) -> list[_Root]:
    known = dict(problem.base)
    for e in found.known:
        known[e.name] = problem.targets[e.name] if e.value is None else e.value
    branches, stuck = solve_blocks(found.blocks, known, problem.targets)
    if stuck is not None:
        names = [e.name for e in stuck.equations]
        text = f"no frame satisfies {', '.join(names)} with the others"
        raise SolveError(Fault(text, "no_frame", names[0]))
    roots = [_sloped(problem, found, b) for b in branches]
    if found.redundant:
        roots = [_Root(_agreed(problem, r), r.structure) for r in roots]
    sane, reasons = [], []
    for root in roots:
        why = impossible(Plane(root.parameters), [e.name for e in root.structure.defaults])
        if why is None:
            sane.append(root)
        else:
            reasons.append(why)
    if not sane:
        raise SolveError(Fault(f"no sane frame: {reasons[0].reason}", "no_frame", reasons[0].name))
    return sane


def _sloped(problem: _Problem, found: Structure, branch: Parameters) -> _Root:
    """Slope a level top tube that stands too high; it was level by default only."""
    level = _Root(branch, found)
    if LEVEL not in found.defaults:
        return level
    standover = REGISTRY["standover"].function
    if standover(Plane(branch)) <= STANDOVER_WISH:
        return level
    names = tuple(problem.targets)
    for rule in (STOOD_OVER, STEEPEST):
        other = structure(names, rule)
        settled = {e.name for e in other.known}
        known = {n: v for n, v in branch.items() if n not in TUBE_PLACES or n in settled}
        for block in other.blocks:
            if any(c not in known for c in block.columns):
                known = {n: v for n, v in known.items() if n not in block.columns}
        branches, stuck = solve_blocks(other.blocks, known, problem.targets)
        if stuck is not None:
            continue
        sloped = [b for b in branches if 0.0 <= Plane(b).top_tube_rise <= SLOPE_LIMIT + 1e-9]
        if sloped:
            return _Root(min(sloped, key=lambda b: Plane(b).top_tube_rise), other)
    return level


def _agreed(problem: _Problem, root: _Root) -> Parameters:
    """Fit redundant numbers that agree; raise where they contradict each other."""
    found = root.structure
    extra = [e for e, _ in found.redundant]
    equations = [*found.equations, *extra]
    miss, _, _ = linear(extra, root.parameters, problem.targets, problem.agreement)
    fit = fitted(equations, root.parameters, problem.targets, problem.agreement)
    if max(abs(miss)) > 1.0:
        worst = extra[int(abs(miss).argmax())]
        value = float(REGISTRY[worst.name].function(Plane(root.parameters)))
        conflict = Conflict(worst.name, problem.given[worst.name], value)
        message = f"{worst.name} is {problem.given[worst.name]:g}; the others need {value:.1f}"
        raise SolveError(Fault(message, "contradictory", worst.name, conflict=(conflict,)))
    return fit


def _solution(problem: _Problem, root: _Root) -> Solution:
    found = root.structure
    parameters = root.parameters
    frame = Plane(parameters)
    dimensions = _dimensions(frame, problem)
    defaults = _defaults(problem, found, dimensions)
    residuals = {n: v - (dimensions[n] or 0.0) for n, v in problem.targets.items()} if found.redundant else {}
    sagged = None
    if "fork_sag" in problem.inputs or "rear_sag" in problem.inputs:
        sagged = _dimensions(Plane(sagged_parameters(parameters)), problem)
    warnings = _warnings(found, dimensions, defaults)
    return Solution(
        parameters,
        dimensions,
        {n: (float(x), float(y)) for n, (x, y) in points(frame).items()},
        tuple(problem.given),
        defaults,
        residuals,
        sagged,
        warnings,
    )


def _dimensions(frame: Plane, problem: _Problem) -> Dimensions:
    found: Dimensions = {}
    for name, dimension in REGISTRY.items():
        if all(map(frame.has, dimension.needs)):
            value = float(dimension.function(frame))
            found[name] = value if math.isfinite(value) else None
        else:
            found[name] = problem.given.get(name)
    return found


def _defaults(problem: _Problem, found: Structure, dimensions: Dimensions) -> dict[str, float]:
    taken: dict[str, float] = {}
    by_name = {e.name: e for e in found.defaults}
    for name in by_name:
        if name not in TUBE_PLACES and name != "top_tube_slope":
            taken[name] = dimensions[name] or 0.0
    taken.update({n: v for n, v in problem.base.items() if n in HELD_DEFAULTS and n not in problem.given})
    taken.update({n: v for n, v in problem.inputs_defaulted.items() if dimensions[n] is not None})
    for name in by_name:
        taken.setdefault(name, dimensions[name] or 0.0)
    return taken


def _warnings(found: Structure, dimensions: Dimensions, defaults: Mapping[str, float]) -> tuple[Notice, ...]:
    notes = []
    for equation in found.replaced:
        value = dimensions[equation.name]
        default: Equation = equation
        notes.append(
            Notice(
                "default_replaced",
                f"{equation.name} follows from the other numbers: {value:.1f}"
                f" (the default is {_default_text(default)})",
            )
        )
    if "top_tube_slope" in defaults:
        length, slope = dimensions["seat_tube_length"], defaults["top_tube_slope"]
        notes.append(
            Notice(
                "seat_tube_assumed",
                f"seat tube length assumed: {length:.1f} follows from a top tube slope of {slope:.1f}"
                " degrees, which is a default",
            )
        )
    for name in unusual(dimensions, defaults):
        low, high = REGISTRY[name].usual or (0.0, 0.0)
        unit = REGISTRY[name].unit
        notes.append(
            Notice(
                "unusual",
                f"{name} is {dimensions[name]:.1f} {unit}; usual is {low:g} to {high:g} (common practice)",
            )
        )
    return tuple(notes)


def _default_text(equation: Equation) -> str:
    return "the rear wheel's" if equation.name == "front_radius" else f"{equation.value:g}"

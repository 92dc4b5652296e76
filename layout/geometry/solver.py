"""From any sufficient set of numbers to the one frame that fits.

numbers -> structure (by rank) -> roots (block by block) -> fits within bounds -> the one to use
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple, SupportsFloat

from layout.errors import Notice, SolveError
from layout.geometry.candidates import Candidate, sane_frames
from layout.geometry.diagnosis.choice import Score, ambiguous, rank, second_frames, telling, tied
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import PART_DEFAULTS
from layout.geometry.equations import given as given_equation
from layout.geometry.notices import notices
from layout.geometry.plane import Plane, points
from layout.geometry.problem import Agreement, Problem, read
from layout.geometry.sag import sagged_parameters
from layout.geometry.structure import rests_on

__all__ = ["Agreement", "Solution", "solve_frame", "solve_frames"]

Dimensions = dict[str, float | None]
_DECIMALS = 10
"""Of a solution's numbers, mm and degrees: all that is drawn follows from them, so that it is the same
everywhere; ten times finer than what is promised."""
_PARAMETER_DECIMALS = 11
"""One more where dimensions follow: a lean set of numbers multiplies what is cut off."""


class Solution(NamedTuple):
    """A solved frame, lengths in mm, angles in degrees.

    `parameters` are the base parameters of Plane and part sizes; `dimensions` has every
    name of the registry, None where rider, cockpit or crank numbers are missing;
    `defaults` maps names to the values taken, in the order taken; `residuals` are given
    minus fitted, the largest in agreements first, where a fit was made; `sagged` are the dimensions at
    rest where a sag was given; `rests_on` names the default sizes of parts that move a found dimension.
    """

    parameters: dict[str, float]
    dimensions: Dimensions
    points: dict[str, tuple[float, float]]
    given: tuple[str, ...]
    defaults: dict[str, float]
    residuals: dict[str, float]
    sagged: Dimensions | None
    rests_on: dict[str, tuple[str, ...]]
    warnings: tuple[Notice, ...]


def solve_frame(
    given: Mapping[str, float],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
) -> Solution:
    """The frame that the given dimensions fix.

    `given` maps dimension names to mm or degrees; `held` part sizes (plane.HELD) to mm.
    Where two frames fit, the one nearest the dimensions in `choose` is taken, else the
    more usual one, with the warning second_frame. Frames that no dimension tells apart are one.
    Raises SolveError with one Fault for each thing wrong: insufficient, contradictory,
    no_frame, ambiguous, range, unknown_key or type; file and line are left to the caller.
    """
    frames, scores = _ranked(given, held or {}, choose or {}, agreement or Agreement())
    told_apart = [telling([frames[0].dimensions, f.dimensions]) != [] for f in frames]
    rivals = [f.dimensions for f, told in zip(frames[: tied(scores)], told_apart, strict=False) if told]
    if rivals:
        raise SolveError(ambiguous([frames[0].dimensions, *rivals]))
    seconds = [f.dimensions for f, told in zip(frames, told_apart, strict=True) if told]
    others = second_frames([frames[0].dimensions, *seconds])
    return frames[0]._replace(warnings=(*others, *frames[0].warnings))


def solve_frames(
    given: Mapping[str, float],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
) -> tuple[Solution, ...]:
    """Every possible frame that satisfies the numbers, the best first; otherwise as solve_frame."""
    return _ranked(given, held or {}, choose or {}, agreement or Agreement())[0]


def _ranked(
    given: Mapping[str, float], held: Mapping[str, float], choose: Mapping[str, float], agreement: Agreement
) -> tuple[tuple[Solution, ...], list[Score]]:
    problem = read(given, held, choose, agreement)
    frames = [_solution(problem, candidate) for candidate in sane_frames(problem)]
    if len(frames) == 1 and not choose:
        return (frames[0],), [Score(0.0, 0.0, 0)]
    scores = rank([(f.dimensions, {*f.given, *f.defaults}) for f in frames], choose)
    return tuple(frames[s.index] for s in scores), scores


def _solution(problem: Problem, candidate: Candidate) -> Solution:
    parameters = {n: _settled(v, _PARAMETER_DECIMALS) for n, v in candidate.parameters.items()}
    found = candidate.structure
    frame = Plane(parameters)
    dimensions = _dimensions(problem, frame)
    defaults = _defaults(problem, candidate, dimensions)
    residuals = _residuals(problem, dimensions) if candidate.fitted else {}
    sagged = None
    if "fork_sag" in problem.inputs or "rear_sag" in problem.inputs:
        sagged = _dimensions(problem, Plane(sagged_parameters(parameters)))
    return Solution(
        parameters,
        dimensions,
        {n: (_settled(x), _settled(y)) for n, (x, y) in points(frame).items()},
        tuple(problem.given),
        defaults=defaults,
        residuals=residuals,
        sagged=sagged,
        rests_on={n: sizes for n, sizes in rests_on(found).items() if dimensions[n] is not None},
        warnings=tuple(notices(found, frame, dimensions, defaults)),
    )


def _settled(value: SupportsFloat, decimals: int = _DECIMALS) -> float:
    """A value without the last bits, in which one processor's arithmetic differs from another's."""
    return round(float(value), decimals) + 0.0


def _residuals(problem: Problem, dimensions: Dimensions) -> dict[str, float]:
    """Given less fitted, the largest share of its agreement first."""
    left = {n: v - (dimensions[n] or 0.0) for n, v in problem.given.items()}

    def size(name: str) -> float:
        return abs(left[name]) / (problem.agreement.of(given_equation(name)) or 1.0)

    return {n: left[n] for n in sorted(left, key=lambda n: (-size(n), n))}


def _dimensions(problem: Problem, frame: Plane) -> Dimensions:
    """Every dimension of the registry; what cannot be known is None, what was given stands."""
    found: Dimensions = {}
    for name, dimension in REGISTRY.items():
        if dimension.needs and not all(map(frame.has, dimension.needs)):
            found[name] = problem.given.get(name)
            continue
        value = float(dimension.function(frame))
        found[name] = _settled(value) if math.isfinite(value) else None
    return found


def _defaults(problem: Problem, candidate: Candidate, dimensions: Dimensions) -> dict[str, float]:
    """What was assumed: parts, then what is never solved for and used, then the tubes' places."""
    parts = {*(e.name for e in PART_DEFAULTS), "front_radius"}
    values = {name: dimensions[name] or 0.0 for name in candidate.defaults}
    taken = {name: value for name, value in values.items() if name in parts}
    taken.update(problem.default_sizes)
    taken.update({n: v for n, v in problem.default_inputs.items() if dimensions[n] is not None})
    return {**taken, **values}

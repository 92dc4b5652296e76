"""Numbers that cannot hold together: the smallest set of them, and what each would have to be.

Numbers that depend on one another form a circuit. They agree when a change of any single
one of them, by no more than its agreement, would make them fit; else they
contradict each other. What the others need of one is its value in the frame that they fix
without it; where they admit two, in the more usual one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from layout.errors import Conflict, Fault
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.diagnosis.words import count, listed, number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import Equation
from layout.geometry.fit import weighted
from layout.geometry.newton import RESIDUAL, Parameters, many_eliminated, target_of
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.sanity import buildable, unusual_count
from layout.geometry.structure import Circuit, Structure

_Swap: TypeAlias = tuple[str, Equation | None]
Flags = NDArray[np.bool_]

_STEPS = 25
_SAME = 1e-6
_MOST = 100.0
"""A step moves no unknown by more, mm or degrees: from a wrong number the way may be long."""


def disagreement(problem: Problem, found: Structure, frame: Parameters) -> list[tuple[float, Circuit]]:
    """How far each circuit is from holding: the least change, in agreements, that would mend it.

    Worst first. `frame` satisfies the independent equations of `found`. One or less is agreement.
    """
    ranked = []
    for circuit in found.circuits:
        miss, rows = weighted(circuit.equations, found.columns, frame, problem.targets, problem.agreement)
        shares = np.linalg.lstsq(rows[:-1].T, rows[-1], rcond=None)[0]
        strongest = max(1.0, float(np.max(np.abs(shares), initial=0.0)))
        ranked.append((abs(float(miss[-1])) / strongest, circuit))
    return sorted(ranked, key=lambda r: -r[0])


def contradictions(
    problem: Problem, found: Structure, circuits: Sequence[Circuit], frames: Sequence[Parameters]
) -> list[Fault]:
    """A fault for each circuit that shares no number with one before it, small ones first.

    `frames` are those that satisfy the independent equations, the likeliest first.
    """
    faults: list[Fault] = []
    told: set[str] = set()
    for circuit in sorted(circuits, key=lambda c: len(c.equations)):
        names = {e.name for e in circuit.equations}
        if not names & told:
            faults.append(_fault(problem, circuit, needed(problem, found, circuit, frames)))
            told |= names
    return faults


def _fault(problem: Problem, circuit: Circuit, needs: Mapping[str, Sequence[float]]) -> Fault:
    members = [n for n in problem.given if n in needs]
    others = f"the other {count(len(members) - 1)}"
    parts = []
    for name in members:
        values = listed([number(v, name) for v in needs[name]], "or")
        want = f"need {values}" if values else "admit no value"
        parts.append(f"{name} is {number(problem.given[name], name)}, {others} {want}")
    group = f"these {count(len(members))} numbers contradict each other"
    text = f"{group}: {'; '.join(parts)}; correct one or leave it out"
    conflict = tuple(Conflict(n, problem.given[n], needs[n][0] if needs[n] else None) for n in members)
    return Fault(text, "contradictory", circuit.redundant.name, conflict=conflict)


def needed(
    problem: Problem, found: Structure, circuit: Circuit, frames: Sequence[Parameters]
) -> dict[str, tuple[float, ...]]:
    """For each member of a circuit, the values that the others admit: the more usual frame's first.

    Inputs that were given and on which the circuit rests are members too. None is empty
    unless no frame is found without that member.
    """
    swaps: list[_Swap] = [(e.name, e) for e in circuit.equations]
    swaps += [(n, None) for n in circuit.inputs if n in problem.inputs]
    trials = [(swap, frame) for swap in swaps for frame in frames]
    reached, arrived = _swapped(problem, found, circuit, trials)
    plane = Plane(reached)
    with np.errstate(all="ignore"):
        unsound = ~buildable(plane, {e.name for e in found.defaults})
        odd = unusual_count(plane)
        answers = {n: np.asarray(REGISTRY[n].function(plane) + 0.0 * odd, float) for n, _ in swaps}
    ranked: dict[str, list[tuple[bool, int, float]]] = {name: [] for name, _ in swaps}
    for i, ((name, _), _) in enumerate(trials):
        if arrived[i]:
            ranked[name].append((bool(unsound[i]), int(odd[i]), float(answers[name][i])))
    return {name: _distinct(sorted(values)) for name, values in ranked.items()}


def _distinct(ranked: Sequence[tuple[bool, int, float]]) -> tuple[float, ...]:
    """The values of frames that can be built, or else of the first; each once."""
    values: list[float] = []
    for unsound, _, value in ranked:
        if not values or (not unsound and all(abs(value - v) > _SAME for v in values)):
            values.append(value)
    return tuple(values)


def _swapped(
    problem: Problem,
    found: Structure,
    circuit: Circuit,
    trials: Sequence[tuple[_Swap, Parameters]],
) -> tuple[dict[str, Floats], Flags]:
    """Frames in which a circuit holds without one member, all other equations kept; which arrived.

    Each trial lets one member go: an equation, or, where that is None, the input named, which
    then counts as an unknown. All are solved at once by Newton's method.
    """
    equations = [*found.equations, circuit.redundant]
    inputs = sorted({name for (name, member), _ in trials if member is None})
    columns = [*found.columns, *inputs]
    functions = [e.function for e in equations]
    goal = np.array([target_of(e, problem.targets) for e in equations])[:, None]
    keep: Flags = np.ones((len(equations) + len(inputs), len(trials)), bool)
    for i, ((name, member), _) in enumerate(trials):
        keep[equations.index(member) if member else len(equations) + inputs.index(name), i] = False
    frame = {name: np.array([f[name] for _, f in trials]) for name in trials[0][1]}
    x = np.array([frame[c] for c in columns])
    start, pins = x.copy(), np.eye(len(columns))[len(found.columns) :]
    off = np.full(x.shape, np.inf)
    with np.errstate(all="ignore"):
        for _ in range(_STEPS):
            values, rows = jacobian(functions, {**frame, **dict(zip(columns, x, strict=True))}, columns)
            pinned = np.broadcast_to(pins[:, :, None], (*pins.shape, len(trials)))
            rows = np.concatenate([rows, pinned])
            off = np.concatenate([values - goal, (x - start)[len(found.columns) :]])
            rows = _chosen(rows, keep)
            off = _chosen(off, keep)
            step = many_eliminated(rows, off)
            x = x - step / np.maximum(np.max(np.abs(step), axis=0) / _MOST, 1.0)
            if not np.any(np.max(np.abs(step), axis=0) > RESIDUAL):
                break
    reached = {**frame, **dict(zip(columns, x, strict=True))}
    return reached, np.max(np.abs(off), axis=0) < RESIDUAL


def _chosen(rows: Floats, keep: Flags) -> Floats:
    """For each trial the rows kept, in order: one fewer than there are."""
    order = np.argsort(~keep, axis=0, kind="stable")[:-1]
    if rows.ndim == 2:
        return np.take_along_axis(rows, order, axis=0)
    return np.take_along_axis(rows, order[:, None, :], axis=0)

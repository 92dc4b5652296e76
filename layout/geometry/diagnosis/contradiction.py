"""Numbers that cannot hold together: the smallest set of them, and what each would have to be.

Numbers that depend on one another form a circuit. They agree when a change of any single
one of them, by no more than its agreement, would make them fit; else they
contradict each other. What the others need of one is its value in the frame that they fix
without it; where they admit two, in the more usual one.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from layout.errors import Conflict, Fault
from layout.geometry.derivative import jacobian
from layout.geometry.diagnosis.explanation import NOTHING_MENDS, Explanation, share
from layout.geometry.diagnosis.words import count, listed, number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import Equation
from layout.geometry.fit import weighted
from layout.geometry.newton import RESIDUAL, Parameters
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.roots import solve_blocks
from layout.geometry.sanity import impossible, unusual_count
from layout.geometry.structure import Circuit, Structure, structure

_STEPS = 25
_TINY = 1e-9
_SAME = 1e-6


@dataclass(frozen=True)
class Need:
    """The values that all other numbers admit for one, the more usual frame's first.

    `sound` says whether the frames that have them can be built.
    """

    values: tuple[float, ...]
    sound: bool


def disagreement(problem: Problem, found: Structure, frame: Parameters) -> list[tuple[float, Circuit]]:
    """How far each circuit is from holding: the least change, in agreements, that would mend it.

    Worst first. `frame` satisfies the independent equations of `found`. One or less is agreement.
    """
    ranked = []
    for circuit in found.circuits:
        miss, rows = weighted(
            circuit.equations, found.columns, frame, problem.targets, agreement=problem.agreement
        )
        shares = np.linalg.lstsq(rows[:-1].T, rows[-1], rcond=None)[0]
        strongest = max(1.0, float(np.max(np.abs(shares), initial=0.0)))
        ranked.append((abs(float(miss[-1])) / strongest, circuit))
    return sorted(ranked, key=lambda r: -r[0])


def contradictions(
    problem: Problem,
    found: Structure,
    circuits: Sequence[Circuit],
    frame: Parameters,
    unbuildable: str | None = None,
) -> list[Explanation]:
    """Each circuit that shares no number with one before it explained, small ones first.

    `frame` satisfies the independent equations of `found`; where it satisfies all but cannot
    be built, `unbuildable` says why.
    """
    explained: list[Explanation] = []
    told: set[str] = set()
    for circuit in sorted(circuits, key=lambda c: len(c.equations)):
        names = {e.name for e in circuit.equations}
        if not names & told:
            needs = needed(problem, found, circuit, frame)
            mends = _mends(problem, circuit, needs)
            fault = _fault(problem, circuit, needs, mends, unbuildable=unbuildable)
            least = min((share(n, change) for n, change in mends.items()), default=NOTHING_MENDS)
            explained.append(Explanation(fault, least))
            told |= names
    return explained


def _mends(problem: Problem, circuit: Circuit, needs: Mapping[str, Need]) -> dict[str, float]:
    """The least change, beyond its agreement, of each member that gives a frame that can be built."""
    changes = {}
    for e in circuit.equations:
        need, given = needs[e.name], problem.given[e.name]
        far = [v - given for v in need.values if abs(v - given) > problem.agreement.of(e)]
        if need.sound and far:
            changes[e.name] = min(far, key=abs)
    return changes


def _fault(
    problem: Problem,
    circuit: Circuit,
    needs: Mapping[str, Need],
    only: Collection[str],
    unbuildable: str | None,
) -> Fault:
    """The contradiction in words; where a frame fits that cannot be built, only the members that mend it."""
    members = [n for n in problem.given if n in needs]
    others = f"the other {count(len(members) - 1)}"
    parts, beyond, conflict = [], [], []
    for name in members:
        given, values = problem.given[name], needs[name].values
        conflict.append(Conflict(name, given, values[0] if values else None))
        sane = [number(v, name) for v in values if REGISTRY[name].is_sane(v)]
        if unbuildable and name not in only:
            continue
        if sane:
            parts.append(f"{name} is {number(given, name)}, {others} need {listed(sane, 'or')}")
        else:
            beyond.append(f"{name} {number(given, name)}")
    if beyond:
        parts.append(f"no sane value of {listed(beyond, 'or')} would fit the rest")
    group = f"these {count(len(members))} numbers contradict each other"
    if unbuildable:
        group = f"{group} in any frame that can be built ({unbuildable})"
    text = f"{group}: {'; '.join(parts)}; correct one or leave it out"
    return Fault(text, "contradictory", circuit.redundant.name, conflict=tuple(conflict))


def needed(problem: Problem, found: Structure, circuit: Circuit, frame: Parameters) -> dict[str, Need]:
    """What the others need of each member of a circuit.

    Inputs that were given and on which the circuit rests are members too.
    """
    needs = {e.name: _without(problem, found, circuit, e, frame=frame) for e in circuit.equations}
    for name in circuit.inputs:
        if name in problem.inputs:
            there = _satisfied(problem, circuit.equations, (*found.columns, name), frame)
            needs[name] = Need(() if there is None else (there[name],), False)
    return needs


def _without(
    problem: Problem, found: Structure, circuit: Circuit, member: Equation, frame: Parameters
) -> Need:
    """The values of `member` in the frames that all other numbers fix."""
    rest = [e for e in circuit.equations if e != member]
    kept = {member.name, *(e.name for e in rest)}
    others = structure((*(e.name for e in rest), *(n for n in problem.names if n not in kept)))
    known = problem.known_values(others.known)
    branches, stuck = solve_blocks(others.blocks, known, problem.targets)
    defaults = [e.name for e in others.defaults]
    ranked: list[tuple[int, float]] = []
    for branch in branches if stuck is None else ():
        plane = Plane(branch)
        if impossible(plane, defaults) is None:
            ranked.append((int(unusual_count(plane)), float(member.function(plane))))
    values: list[float] = []
    for _, value in sorted(ranked):
        if all(abs(value - v) > _SAME for v in values):
            values.append(value)
    if values:
        return Need(tuple(values), True)
    there = _satisfied(problem, rest, found.columns, frame)
    return Need(() if there is None else (float(member.function(Plane(there))),), False)


def _satisfied(
    problem: Problem, equations: Sequence[Equation], columns: Sequence[str], frame: Parameters
) -> Parameters | None:
    """The frame nearest `frame` that satisfies the given equations (Newton, least change).

    What they leave free does not matter to a number that depends on them alone.
    """
    goal = np.array([problem.targets[e.name] for e in equations])
    functions = [e.function for e in equations]
    with np.errstate(all="ignore"):
        for _ in range(_STEPS):
            values, rows = jacobian(functions, frame, columns)
            miss = values - goal
            if not np.all(np.isfinite(miss)):
                return None
            step = np.linalg.lstsq(rows, miss, rcond=_TINY)[0]
            frame = {**frame, **{c: frame[c] - s for c, s in zip(columns, step.tolist(), strict=True)}}
            if float(np.max(np.abs(step))) < RESIDUAL:
                return frame
    return None

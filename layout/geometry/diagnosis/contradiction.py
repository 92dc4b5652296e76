"""Numbers that cannot hold together: the smallest set of them, and what each would have to be.

Numbers that depend on one another form a circuit. They agree when a change of any single
one of them, by no more than its agreement, would make them fit; else they
contradict each other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from layout.errors import Conflict, Fault
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.diagnosis.words import count, number
from layout.geometry.equations import Equation
from layout.geometry.fit import weighted
from layout.geometry.newton import RESIDUAL, Parameters
from layout.geometry.plane import UNKNOWNS
from layout.geometry.problem import Problem
from layout.geometry.structure import Circuit, Structure

_STEPS = 25
_TINY = 1e-9


def disagreement(problem: Problem, found: Structure, frame: Parameters) -> list[tuple[float, Circuit]]:
    """How far each circuit is from holding, worst first: the least change, in agreements, that would mend it.

    `frame` satisfies the independent equations of `found`. One or less is agreement.
    """
    ranked = []
    for circuit in found.circuits:
        miss, rows = weighted(circuit.equations, _columns(frame), frame, problem.targets, problem.agreement)
        shares = np.linalg.lstsq(rows[:-1].T, rows[-1], rcond=None)[0]
        strongest = max(1.0, float(np.max(np.abs(shares), initial=0.0)))
        ranked.append((abs(float(miss[-1])) / strongest, circuit))
    return sorted(ranked, key=lambda r: -r[0])


def contradictions(problem: Problem, circuits: Sequence[Circuit], frame: Parameters) -> list[Fault]:
    """A fault for each circuit that shares no number with one before it, small ones first."""
    faults: list[Fault] = []
    told: set[str] = set()
    for circuit in sorted(circuits, key=lambda c: len(c.equations)):
        names = {e.name for e in circuit.equations}
        if not names & told:
            faults.append(_fault(problem, circuit, frame))
            told |= names
    return faults


def _fault(problem: Problem, circuit: Circuit, frame: Parameters) -> Fault:
    needs = needed(problem, circuit, frame)
    members = [n for n in problem.given if n in needs]
    others = f"the other {count(len(members) - 1)}"
    parts = []
    for name in members:
        given, need = problem.given[name], needs[name]
        want = "cannot be met" if need is None else f"need {number(need, name)}"
        parts.append(f"{name} is {number(given, name)}, {others} {want}")
    group = f"these {count(len(members))} numbers contradict each other"
    text = f"{group}: {'; '.join(parts)}; correct one or leave it out"
    conflict = tuple(Conflict(n, problem.given[n], needs[n]) for n in members)
    return Fault(text, "contradictory", circuit.redundant.name, conflict=conflict)


def needed(problem: Problem, circuit: Circuit, frame: Parameters) -> dict[str, float | None]:
    """For each member of a circuit, the value that the others ask for; None where none would do.

    Inputs that were given and on which the circuit rests are members too. `frame` is near.
    """
    values: dict[str, float | None] = {}
    for at, member in enumerate(circuit.equations):
        rest = [e for i, e in enumerate(circuit.equations) if i != at]
        there = _satisfied(rest, _columns(frame), frame, problem.targets)
        values[member.name] = None if there is None else _value(member, there)
    for name in circuit.inputs:
        if name in problem.inputs:
            there = _satisfied(circuit.equations, (*_columns(frame), name), frame, problem.targets)
            values[name] = None if there is None else there[name]
    return values


def _columns(frame: Parameters) -> list[str]:
    return [c for c in UNKNOWNS if c in frame]


def _value(equation: Equation, frame: Parameters) -> float:
    values, _ = jacobian([equation.function], frame, _columns(frame)[:1])
    return float(values[0])


def _satisfied(
    equations: Sequence[Equation], columns: Sequence[str], frame: Parameters, targets: Mapping[str, float]
) -> Parameters | None:
    """The frame nearest `frame` that satisfies the given equations (Newton, least change).

    What they leave free does not matter to a number that depends on them alone.
    """
    goal = np.array([targets[e.name] for e in equations])
    functions = [e.function for e in equations]
    with np.errstate(all="ignore"):
        for _ in range(_STEPS):
            values, rows = jacobian(functions, frame, columns)
            miss = values - goal
            if not np.all(np.isfinite(miss)):
                return None
            step: Floats = np.linalg.lstsq(rows, miss, rcond=_TINY)[0]
            frame = {**frame, **{c: frame[c] - s for c, s in zip(columns, step.tolist(), strict=True)}}
            if float(np.max(np.abs(step))) < RESIDUAL:
                return frame
    return None

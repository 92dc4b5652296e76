"""How the errors of jig stops and gauges move every dimension of a frame.

From the same exact derivative as the solver: the frame's equations, differentiated at the
frame, say how its parameters answer to each given number, and the registry how each
dimension answers to the parameters. Errors are small, so that a straight line serves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from layout.geometry.candidates import Candidate, sane_frames
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.geometry.problem import GAUGE, STOP, Agreement, Problem, read
from layout.geometry.solver import solve_frame

HELD = 1e-4
"""A number that is held agrees to nothing; here to this, mm or degrees, far under any other's agreement."""


@dataclass(frozen=True)
class Tolerances:
    """What each given number's error does to every dimension, mm or degrees.

    `errors` are the errors assumed of the given numbers. `effects[g][d]` is how far
    dimension d moves when g alone is off by its error, signed; `combined[d]` is the root of
    the sum of their squares, one sigma where the errors are and are independent.
    """

    errors: dict[str, float]
    effects: dict[str, dict[str, float]]
    combined: dict[str, float]


def tolerances(
    given: Mapping[str, float],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
    stop: float = STOP,
    gauge: float = GAUGE,
    errors: Mapping[str, float] | None = None,
) -> Tolerances:
    """The tolerance table of the frame that solve_frame finds for the same numbers.

    `stop` is the error of given lengths in mm, `gauge` of given angles in degrees;
    `errors` names others for single dimensions. Raises as solve_frame does.
    """
    agreement = agreement or Agreement()
    solution = solve_frame(given, held, choose=choose, agreement=agreement)
    problem = read(given, held or {}, choose or {}, agreement)
    frame = min(sane_frames(problem), key=lambda f: _apart(f.parameters, solution.parameters))
    own = errors or {}
    assumed = {n: own.get(n, gauge if REGISTRY[n].unit == "deg" else stop) for n in problem.given}
    effects = sensitivities(problem, frame)
    moved = {g: {d: v * assumed[g] for d, v in row.items()} for g, row in effects.items()}
    combined = {d: float(np.sqrt(sum(row[d] ** 2 for row in moved.values()))) for d in _known(frame)}
    return Tolerances(assumed, moved, combined)


def _apart(a: Mapping[str, float], b: Mapping[str, float]) -> float:
    """How far two frames are from each other, by the parameter that differs most."""
    return max((abs(a[n] - b.get(n, np.inf)) for n in a), default=0.0)


def sensitivities(problem: Problem, frame: Candidate) -> dict[str, dict[str, float]]:
    """Derivative of every known dimension with respect to each given number.

    Where numbers are more than enough it is the best fit that answers. Numbers of rider and
    cockpit that settle nothing move only themselves.
    """
    found = frame.structure
    inputs = [n for n in problem.inputs if n in frame.parameters]
    columns = [*found.columns, *inputs]
    equations = [*found.equations, *found.more]
    _, rows = jacobian([e.function for e in equations], frame.parameters, columns)
    own = np.eye(len(columns))[len(found.columns) :]
    weight = 1.0 / np.maximum([problem.agreement.of(e) for e in equations], HELD)
    free = rows[:, : len(found.columns)] * weight[:, None]
    answers = np.zeros((len(columns), len(equations) + len(inputs)))
    inverse = np.linalg.pinv(free) * weight
    answers[: len(found.columns), : len(equations)] = inverse
    answers[: len(found.columns), len(equations) :] = -inverse @ rows[:, len(found.columns) :]
    answers[len(found.columns) :, len(equations) :] = own[:, len(found.columns) :]
    names = [e.name if e.value is None else "" for e in equations] + inputs
    known = _known(frame)
    _, slopes = jacobian([REGISTRY[d].function for d in known], frame.parameters, columns)
    table: Floats = slopes @ answers
    loose = {n: {d: float(d == n) for d in known} for n in problem.given if n not in names}
    reached = {g: dict(zip(known, table[:, i].tolist(), strict=True)) for i, g in enumerate(names) if g}
    return {g: {**loose, **reached}[g] for g in problem.given}


def _known(frame: Candidate) -> list[str]:
    """Dimensions that have a finite value and so a derivative."""
    plane = Plane(frame.parameters)
    with np.errstate(all="ignore"):
        return [
            n for n, d in REGISTRY.items() if all(map(plane.has, d.needs)) and np.isfinite(d.function(plane))
        ]

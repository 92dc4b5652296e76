"""Which single number, changed, turns a frame that cannot be built into one that can: each is tried."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from layout.geometry.derivative import Floats, jacobian
from layout.geometry.diagnosis.explanation import share
from layout.geometry.diagnosis.words import rounded
from layout.geometry.dimensions import REGISTRY
from layout.geometry.fit import fitted
from layout.geometry.newton import RESIDUAL, Parameters, target_of
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.sanity import Limit, impossible, unusual
from layout.geometry.structure import Structure

_SUSPICION = 5.0
"""How much sooner a number outside usual practice is blamed than one inside."""
_TRIES = 6
_LIMITS = 4
"""Limits kept one after the other: what still breaks one then has more wrong with it than one number."""
_NEAR = 0.05
"""A change that comes this near the value aimed at, mm or degrees, need not be made better."""


@dataclass(frozen=True)
class Mend:
    """A given number, the value it would have to have, rounded as it is shown, and the change.

    `blame` orders the likely before the unlikely: `change`, a share of the sane range, less where
    the number lies outside usual practice.
    """

    name: str
    value: float
    change: float
    blame: float


def mends(problem: Problem, found: Structure, frame: Parameters, why: Limit) -> list[Mend]:
    """The changes of one number each that mend `frame`, the likeliest first.

    Numbers that others settle too cannot change alone and are left out.
    """
    return sorted(_tried(problem, found, frame, why), key=lambda m: m.blame)


def _tried(problem: Problem, found: Structure, frame: Parameters, why: Limit) -> Iterator[Mend]:
    bound = {e.name for circuit in found.circuits for e in circuit.equations}
    for i, equation in enumerate(found.equations):
        if equation.value is not None or equation.name in bound:
            continue
        name, given = equation.name, problem.targets[equation.name]
        value = _value(problem, found, frame, why, index=i)
        if value is None:
            continue
        change = share(name, value - given)
        odd = bool(unusual({name: given}))
        yield Mend(name, value, change, change / _SUSPICION if odd else change)


def _value(problem: Problem, found: Structure, frame: Parameters, why: Limit, index: int) -> float | None:
    """What equation `index` must equal for a frame that can be built, all else as given; None if none.

    Where keeping one limit breaks another, that one is kept in turn.
    """
    name, defaults = found.equations[index].name, [e.name for e in found.defaults]
    limit: Limit | None = why
    value = problem.targets[name]
    for _ in range(_LIMITS):
        if limit is None:
            return value
        there = _kept(problem, found, frame, limit, index=index)
        if there is None:
            return None
        value = rounded(there, name)
        problem = replace(problem, targets={**problem.targets, name: value})
        frame = _satisfied(problem, found, frame)
        if not _satisfies(problem, found, frame):
            return None
        limit = impossible(Plane(frame), defaults)
    return value if limit is None else None


def _kept(problem: Problem, found: Structure, frame: Parameters, limit: Limit, index: int) -> float | None:
    """The value of equation `index` that keeps the limit with room to spare; None if no sane one does."""
    name = found.equations[index].name
    value = problem.targets[name]
    aim = limit.aim(float(limit.quantity(Plane(frame))))
    for _ in range(_TRIES):
        at, slope = _quantity(found, frame, limit, index)
        if abs(slope) < RESIDUAL or not math.isfinite(at):
            return None
        value += (aim - at) / slope
        if not REGISTRY[name].is_sane(value):
            return None
        frame = _satisfied(replace(problem, targets={**problem.targets, name: value}), found, frame)
        if abs(aim - float(limit.quantity(Plane(frame)))) < _NEAR:
            break
    return value


def _quantity(found: Structure, frame: Parameters, why: Limit, index: int) -> tuple[float, float]:
    """The limited quantity, and how it moves with the value of equation `index`."""
    _, rows = jacobian([e.function for e in found.equations], frame, found.columns)
    value, slope = jacobian([why.quantity], frame, found.columns)
    if not (np.all(np.isfinite(rows)) and np.all(np.isfinite(slope))):
        return math.nan, 0.0
    moves: Floats = np.linalg.lstsq(rows.T, slope[0], rcond=None)[0]
    return float(value[0]), float(moves[index])


def _satisfied(problem: Problem, found: Structure, frame: Parameters) -> Parameters:
    """The frame near `frame` that the numbers fix."""
    with np.errstate(all="ignore"):
        return fitted(found.equations, found.columns, frame, problem.targets, agreement=problem.agreement)


def _satisfies(problem: Problem, found: Structure, frame: Parameters) -> bool:
    plane = Plane(frame)
    return all(
        abs(float(e.function(plane)) - target_of(e, problem.targets)) < RESIDUAL * 1e3
        for e in found.equations
    )

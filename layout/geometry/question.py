"""What a frame is asked to meet, from the numbers of one call and what they settle."""

from __future__ import annotations

from collections.abc import Collection

from layout.geometry.equations import Equation
from layout.geometry.fit import HELD, Demand, Question
from layout.geometry.problem import Problem
from layout.geometry.sanity import limits
from layout.geometry.structure import Structure

PULL = {
    "rear_radius": 20e3,
    "front_radius": 20e3,
    "lower_stack": 5e3,
    "upper_stack": 10e3,
    "top_tube_at_head": 100e3,
    "down_tube_at_head": 100e3,
    "top_tube_at_seat": 100e3,
}
"""Units of the pull to a default size or place that was let go, mm: how far such scatter, a thousandfold, so
that it settles only what the numbers leave free."""


def asked(problem: Problem, found: Structure, *, pulled: bool = False) -> Question:
    """Every given number within its agreement, every default held, in a frame that can be built.

    With `pulled` the default sizes that the numbers settle instead have their pull too, for where some of
    these are left out.
    """
    held = {e.name for e in found.defaults}
    equations = list(dict.fromkeys((*found.equations, *found.more, *(found.replaced if pulled else ()))))
    rows = tuple(_row(problem, e, held) for e in equations)
    return Question(found.columns, rows, limits(problem.given, held, found.columns))


def _row(problem: Problem, equation: Equation, held: Collection[str]) -> Demand:
    if equation.value is None:
        unit = problem.agreement.of(equation)
        return Demand(equation, problem.targets[equation.name], unit or HELD, bound=unit > 0.0)
    unit = HELD if equation.name in held else PULL[equation.name]
    return Demand(equation, equation.value, unit, bound=False)

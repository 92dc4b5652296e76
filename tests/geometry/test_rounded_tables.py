"""Honest tables, rounded to 1 mm and 0.1 degree, are fitted: however many numbers, in whatever order.

The whole study, 300 frames: WHOLE_STUDIES=1 pytest tests/geometry/test_rounded_tables.py
"""

from __future__ import annotations

import random
import statistics
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from studies import share_of
from tables import Table, Values, a_table

from layout.errors import SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.problem import Agreement
from layout.geometry.solver import Solution, solve_frame

FRAMES = share_of(300)
COUNTS = (12, 14, 16)
ORDERS = 5
AGREEMENT = Agreement()
LOOKED_AT = ("wheelbase", "stack", "reach")


def tables(written: bool) -> list[Table]:
    every = ((frame, count) for frame in range(FRAMES) for count in COUNTS)
    return [a_table(random.Random(f"{frame} {count} {written}"), count, written) for frame, count in every]


def solved(numbers: Values) -> Solution | str:
    """The frame, or the words of its refusal."""
    try:
        return solve_frame(numbers)
    except SolveError as error:
        return str(error)


@pytest.mark.parametrize("written", (True, False), ids=("wheels written", "wheels equal, unwritten"))
def test_rounded_tables_are_fitted_in_every_order(written: bool) -> None:
    found, errors, changed = [], {n: [] for n in LOOKED_AT}, 0
    for table in tables(written):
        answer = solved(table.numbers)
        found.append(answer)
        for seed in range(1, ORDERS):
            order = random.Random(seed).sample(list(table.numbers), len(table.numbers))
            again = solved({n: table.numbers[n] for n in order})
            same = again == answer if isinstance(answer, str) else again.dimensions == answer.dimensions
            changed += not same
        if isinstance(answer, Solution):
            check_fit(table, answer, written)
            for name in LOOKED_AT:
                errors[name].append(abs(answer.dimensions[name] - table.truth[name]))
    refused = [f for f in found if isinstance(f, str)]
    medians = {n: round(statistics.median(v), 3) for n, v in errors.items()}
    print(f"rounded tables: {len(refused)} of {len(found)} refused, {changed} changed by order, {medians}")
    assert len(refused) <= 0.005 * len(found), refused
    assert changed == 0
    assert all(m < 0.6 for m in medians.values()), medians


def check_fit(table: Table, answer: Solution, written: bool) -> None:
    """Each number is met within its agreement; equal wheels stay equal, found stacks are what is made."""
    for name, value in table.numbers.items():
        unit = AGREEMENT.angle if REGISTRY[name].unit == "deg" else AGREEMENT.length
        assert abs(value - answer.dimensions[name]) <= unit * 1.0001, name
    if not written:
        assert answer.dimensions["front_radius"] == pytest.approx(answer.dimensions["rear_radius"], abs=1e-9)
        assert -1e-6 <= answer.dimensions["lower_stack"] <= 20.0 + 1e-6

"""One wrong number in a rounded table is named, with what it should be; an exact table raises no alarm.

The whole study, 600 cases of each kind of table: WHOLE_STUDIES=1 pytest tests/geometry/test_slips.py
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from slips_of_pen import Slipped, a_slipped_table
from studies import share_of
from tables import WRITTEN, a_frame, catalogue_names, dimensions_of, rounded

from layout.errors import Conflict, SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import solve_frame

CASES = share_of(600)
FREE = {n for n, d in REGISTRY.items() if not (d.is_input or d.needs or d.asked_only)}
"""What may be written of any frame, rider and cockpit apart."""


def refused_cases(counts: tuple[int, ...]) -> Iterator[tuple[Slipped, tuple[Conflict, ...]]]:
    """Slips that no frame explains, with the conflict told of each; those that one explains are left out."""
    seed = found = 0
    while found < CASES:
        rng = random.Random(f"slip {counts} {seed}")
        seed += 1
        case = a_slipped_table(rng, rng.choice(counts))
        try:
            solve_frame(case.numbers)
        except SolveError as error:
            if error.faults[0].code != "ambiguous":
                found += 1
                yield case, error.faults[0].conflict


def has_true_value(case: Slipped, conflict: tuple[Conflict, ...]) -> bool:
    """Whether a wrong number is told with its true value, to a unit of its rounding."""
    for c in conflict:
        if c.name in case.wrong and c.needs is not None:
            unit = 0.1 if REGISTRY[c.name].unit == "deg" else 1.0
            return abs(c.needs - case.truth[c.name]) <= unit
    return False


@pytest.mark.parametrize(
    ("counts", "first", "three", "value"),
    [((14, 15, 16), 0.70, 0.95, 0.85), ((12,), 0.55, 0.90, 0.85)],
    ids=("14 to 16 numbers", "12 numbers"),
)
def test_one_wrong_number_is_named(counts: tuple[int, ...], first: float, three: float, value: float) -> None:
    named = among = valued = 0
    for case, conflict in refused_cases(counts):
        named += bool(conflict) and conflict[0].name in case.wrong
        among += any(c.name in case.wrong for c in conflict[:3])
        valued += has_true_value(case, conflict)
    shares = [n / CASES for n in (named, among, valued)]
    print(
        f"slips, {counts}: first {shares[0]:.1%}, among three {shares[1]:.1%}, its true value, to a unit of"
        f" its rounding, {shares[2]:.1%}"
    )
    assert shares[0] >= first and shares[1] >= three and shares[2] >= value, shares


def test_an_exact_table_raises_no_alarm() -> None:
    """A default place of the top tube held its length 0.19 off in seed 120: it gives way."""
    for seed in (*range(share_of(600)), 120):
        rng = random.Random(f"exact {seed}")
        truth = dimensions_of(a_frame(rng))
        names = catalogue_names(rng, rng.choice((12, 14, 16)), WRITTEN)
        found = solve_frame({n: truth[n] for n in names})
        assert max((abs(r) for r in found.residuals.values()), default=0.0) < 1e-6
        rounded_numbers = {n: truth[n] if n in WRITTEN else rounded(n, truth[n]) for n in names}
        assert solve_frame(rounded_numbers)


THIRTY = 30


def test_thirty_numbers_with_one_wrong_are_diagnosed_within_a_second() -> None:
    """30 numbers, one wrong, took 4.5 s. The time is of one core, whatever else the machine does."""
    slowest = 0.0
    for seed in range(share_of(60)):
        rng = random.Random(f"thirty {seed}")
        truth = dimensions_of(a_frame(rng, alike=1.0))
        names = rng.sample([n for n in REGISTRY if n in FREE and n in truth], THIRTY)
        numbers = {n: truth[n] if seed % 2 else rounded(n, truth[n]) for n in names}
        wrong = rng.choice(names)
        numbers[wrong] += rng.choice((-1.0, 1.0)) * (3.0 if REGISTRY[wrong].unit == "deg" else 12.0)
        if not REGISTRY[wrong].is_possible(numbers[wrong]):
            continue
        begun = time.process_time()
        try:
            solve_frame(numbers)
        except SolveError as error:
            assert wrong in [c.name for c in error.faults[0].conflict]
            slowest = max(slowest, time.process_time() - begun)
    print(f"thirty numbers, one wrong: the slowest diagnosis {slowest:.2f} s of one core")
    assert 0.0 < slowest < 1.0

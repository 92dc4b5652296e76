"""One wrong number in a rounded table is named, with what it should be; an exact table raises no alarm.

The whole study, 600 cases of each kind of table: WHOLE_STUDIES=1 pytest tests/geometry/test_slips.py
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import whole
from slips_of_pen import Slipped, a_slipped_table
from studies import share_of
from tables import WRITTEN, a_frame, catalogue_names, dimensions_of, rounded

from layout.errors import Conflict, SolveError
from layout.geometry.derivative import jacobian
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import FRAME_PARAMETERS
from layout.geometry.solver import solve_frame

CASES = share_of(600)


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


def true_to_rounding(case: Slipped, conflict: tuple[Conflict, ...]) -> tuple[bool, bool]:
    """Whether a wrong number is told with its true value: to a unit of its rounding; as the others know it.

    What the others know is their own rounding carried over, at the most, by a straight line.
    """
    for c in conflict:
        if c.name in case.wrong and c.needs is not None:
            unit = 2.0 * half_unit(c.name)
            off = abs(c.needs - case.truth[c.name])
            return off <= unit, off <= max(unit, reach_of_rounding(case, c.name))
    return False, False


def half_unit(name: str) -> float:
    return 0.05 if REGISTRY[name].unit == "deg" else 0.5


def reach_of_rounding(case: Slipped, name: str) -> float:
    others = [n for n in case.numbers if n not in case.wrong]
    frame = whole({n: case.truth[n] for n in FRAME_PARAMETERS})
    functions = [REGISTRY[n].function for n in (name, *others)]
    slopes = jacobian(functions, frame, FRAME_PARAMETERS)[1]
    units = np.array([1e-3 if n.endswith("radius") else half_unit(n) for n in others])
    return float(np.sum(np.abs(slopes[0] @ np.linalg.pinv(slopes[1:] / units[:, None], rcond=1e-9))))


@pytest.mark.parametrize(
    ("counts", "first", "three", "value"),
    [((14, 15, 16), 0.70, 0.95, 0.85), ((12,), 0.55, 0.90, 0.85)],
    ids=("14 to 16 numbers", "12 numbers"),
)
def test_one_wrong_number_is_named(counts: tuple[int, ...], first: float, three: float, value: float) -> None:
    named = among = valued = near = 0
    for case, conflict in refused_cases(counts):
        named += bool(conflict) and conflict[0].name in case.wrong
        among += any(c.name in case.wrong for c in conflict[:3])
        exact, known = true_to_rounding(case, conflict)
        valued, near = valued + exact, near + known
    shares = [n / CASES for n in (named, among, near, valued)]
    print(
        f"slips, {counts}: first {shares[0]:.1%}, among three {shares[1]:.1%}, true value to the rounding"
        f" {shares[2]:.1%}, to a single unit {shares[3]:.1%}"
    )
    assert shares[0] >= first and shares[1] >= three and shares[2] >= value, shares


def test_an_exact_table_raises_no_alarm() -> None:
    for seed in range(share_of(600)):
        rng = random.Random(f"exact {seed}")
        truth = dimensions_of(a_frame(rng))
        names = catalogue_names(rng, rng.choice((12, 14, 16)), WRITTEN)
        found = solve_frame({n: truth[n] for n in names})
        assert max((abs(r) for r in found.residuals.values()), default=0.0) < 1e-6
        rounded_numbers = {n: truth[n] if n in WRITTEN else rounded(n, truth[n]) for n in names}
        assert solve_frame(rounded_numbers)

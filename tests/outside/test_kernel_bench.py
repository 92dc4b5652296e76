"""What is milled, marked and drilled by the pages' numbers, on generated frames, in the solid kernel."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_bench import check

MISFIT = 0.25
STATED = 0.01
"""The kernel's edges are read this well, mm."""
BY_HAND = 0.1


@pytest.mark.parametrize("seed", range(0, 40, 10))
def test_what_the_bench_does_by_the_numbers_fits(seed: int) -> None:
    """Every saw cuts its joint within its stated misfit, every distance and vent is where it should be."""
    found = check(seed)
    assert found.mills >= 3 and found.distances >= 5 and found.vents >= 3
    assert found.beyond < STATED and found.misfit <= MISFIT
    assert found.distance < BY_HAND
    assert found.vents_outside == 0

"""Rear ends as they are built, in the solid kernel: dropouts off the axle, bends, ovals, mounts, bridges.

All 40, in half an hour: WHOLE_STUDIES=1 pytest tests/outside/test_kernel_rear.py
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_rear import check

sys.path.insert(0, str(Path(__file__).parents[1] / "geometry"))

from studies import share_of

AGREED, GAPS, WRAPPED = 0.01, 0.06, 0.05
SEEDS = 40


@pytest.mark.parametrize("seed", range(0, SEEDS, SEEDS // share_of(SEEDS)))
def test_a_rear_end_is_what_the_kernel_builds_of_its_numbers(seed: int) -> None:
    """Mitres of stays and bridges, their templates wrapped from the PDF, lengths, bent axes, every gap."""
    found = check(seed)
    assert found.curve < AGREED and found.length < AGREED and found.axis < AGREED
    assert found.gaps >= 3 and found.gap < GAPS
    assert found.templates >= 6 and found.template < WRAPPED

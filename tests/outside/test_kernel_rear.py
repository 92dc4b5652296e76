"""Rear ends as they are built, in the solid kernel: dropouts off the axle, bends, ovals, mounts, rotors."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_rear import check

AGREED, GAPS = 0.01, 0.06


@pytest.mark.parametrize("seed", range(0, 40, 10))
def test_a_rear_end_is_what_the_kernel_builds_of_its_numbers(seed: int) -> None:
    """Each stay's mitre, length, bent axis and place at its dropout, and every gap."""
    found = check(seed)
    assert found.curve < AGREED and found.length < AGREED and found.axis < AGREED
    assert found.gaps >= 3 and found.gap < GAPS

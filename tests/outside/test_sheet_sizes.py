"""Sheet sizes against the rules of the standards that name them, and against ezdxf's own table."""

from __future__ import annotations

import math

import pytest
from ezdxf.addons.drawing.layout import PAGE_SIZES, Units

from layout.sheets.media import medium

INCH = 25.4
"""Exact since 1959 (international inch)."""


def size(name):
    row = medium(name)
    return row.short, row.long


def test_a0_is_a_square_metre_in_the_ratio_of_root_two():
    """ISO 216: A0 has an area of 1 square metre, its sides are as 1 to the root of 2, to the nearest mm."""
    assert size("a0") == (round(1000 * 2**-0.25), round(1000 * 2**0.25))


@pytest.mark.parametrize("n", range(4))
def test_each_a_size_is_the_larger_one_halved(n):
    """ISO 216: the next size has the short side for its long one, half the long side rounded down."""
    short, long = size(f"a{n}")
    assert size(f"a{n + 1}") == (math.floor(long / 2), short)


def test_letter_is_ansi_a():
    """ANSI/ASME Y14.1 (from memory): size A is 8.5 by 11 inches."""
    assert size("letter") == size("ansi-a") == pytest.approx((8.5 * INCH, 11 * INCH))


@pytest.mark.parametrize(("smaller", "larger"), ["ab", "bc", "cd", "de"])
@pytest.mark.parametrize(("series", "short", "long"), [("ansi", 8.5, 11), ("arch", 9, 12)])
def test_each_size_in_inches_doubles_the_short_side_of_the_one_before(series, short, long, smaller, larger):
    """ANSI/ASME Y14.1 from 8.5 x 11, the ARCH series from 9 x 12 inches (both from memory)."""
    assert size(f"{series}-a") == pytest.approx((short * INCH, long * INCH))
    a_short, a_long = size(f"{series}-{smaller}")
    assert size(f"{series}-{larger}") == pytest.approx(sorted((2 * a_short, a_long)), abs=1e-3)


def test_ezdxf_agrees():
    """The page sizes of ezdxf's drawing add-on, a library from elsewhere."""
    compared = 0
    for name, (width, height, units) in PAGE_SIZES.items():
        ours = name.lower().removeprefix("iso ").replace(" ", "-")
        if ours in ("arch-e1", "legal"):
            continue
        scale = INCH if units == Units.inch else 1.0
        assert size(ours) == pytest.approx(sorted((width * scale, height * scale)), abs=1e-3)
        compared += 1
    assert compared >= 14


@pytest.mark.parametrize(
    ("name", "inches"), [("roll-610", 24), ("roll-762", 30), ("roll-914", 36), ("roll-1067", 42)]
)
def test_rolls_are_named_by_their_inches_to_the_millimetre(name, inches):
    """Rolls are made 24, 30, 36 and 42 inches wide (common practice)."""
    assert medium(name).short == round(inches * INCH)

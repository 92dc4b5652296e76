"""Wheels by their marking, against what is known outside the program.

Bead seat diameters: ISO 5775, from memory. Radii: the circumferences that lists for setting
cycle computers give, and the sizes that wheels are called after; both from memory.

The rule for the radius (half the bead seat diameter, the width, and 2.5 more under 28 wide) is the
trade's. Of these lists it agrees with the tyres of 28 and more, to a millimetre of radius. Narrower
ones it makes 3 mm larger in radius than the lists have them: its 2.5 is not in the lists, which have
half the bead seat diameter and the width for them too. So it is no surprise that by the rule a 27-622
stands higher than a 28-622; a narrow wheel that matters is measured, and given as {radius: ...}.
"""

from __future__ import annotations

import math

import pytest

from layout.geometry.wheel import NARROW_EXTRA
from layout.spec.standards import read_marking

IN_USE = {"700C": 622, "650B": 584, "26 inch": 559, "24 inch": 507, "20 inch": 406, "16 inch": 349}
"""Names in the trade and the bead seat diameter each stands for; common practice."""


@pytest.mark.parametrize("diameter", IN_USE.values())
def test_diameters_in_use_are_known(diameter: int) -> None:
    assert read_marking(f"40-{diameter}").bead_seat_diameter == diameter


ROLL_OUT = {"28-622": 2136, "32-622": 2155, "35-622": 2168}
NARROW_ROLL_OUT = {"23-622": 2096, "25-622": 2105}
"""Circumference of a wheel as lists for setting cycle computers give it, mm; from memory."""

NEAR = 1.0
"""The lists agree with width and bead seat alone to this, mm of radius: 6 of circumference."""


def over_the_list(marking: str, circumference: float) -> float:
    """By how much the rule's radius is over the list's, mm."""
    return read_marking(marking).radius - circumference / (2 * math.pi)


@pytest.mark.parametrize(("marking", "circumference"), ROLL_OUT.items())
def test_radii_from_28_up_are_those_of_the_lists(marking: str, circumference: int) -> None:
    assert abs(over_the_list(marking, circumference)) <= NEAR


@pytest.mark.parametrize(("marking", "circumference"), NARROW_ROLL_OUT.items())
def test_radii_under_28_are_those_of_the_lists_but_for_the_extra_of_the_rule(
    marking: str, circumference: int
) -> None:
    """The contradiction, stated: 2.9 mm of radius at 23 wide and 3.5 at 25, of which 2.5 are the extra."""
    over = over_the_list(marking, circumference)
    assert abs(over - NARROW_EXTRA) <= NEAR
    assert over == pytest.approx({"23-622": 2.91, "25-622": 3.48}[marking], abs=0.005)


CALLED = {"39-622": 700.0, "57-622": 29 * 25.4, "50-559": 26 * 25.4, "50-507": 24 * 25.4, "50-406": 20 * 25.4}
"""Tyres, and the size over all that their wheels are called after, mm; common practice."""

NOMINAL = 1.5
"""Wheels are called after whole inches: what one is off its name, mm of radius."""


@pytest.mark.parametrize(("marking", "over_all"), CALLED.items())
def test_wheels_are_as_large_as_they_are_called(marking: str, over_all: float) -> None:
    assert abs(read_marking(marking).radius - over_all / 2) <= NOMINAL

"""Wheels by their marking, against what is known outside the program.

Bead seat diameters: ISO 5775, from memory. Radii: the circumferences that lists for
cycle computers give, from memory.
"""

from __future__ import annotations

import math

import pytest

from layout.spec.standards import read_marking

IN_USE = {"700C": 622, "650B": 584, "26 inch": 559, "24 inch": 507, "20 inch": 406, "16 inch": 349}
"""Names in the trade and the bead seat diameter each stands for; common practice."""


@pytest.mark.parametrize("diameter", IN_USE.values())
def test_diameters_in_use_are_known(diameter: int) -> None:
    assert read_marking(f"40-{diameter}").bead_seat_diameter == diameter


ROLL_OUT = {"23-622": 2096, "25-622": 2105, "28-622": 2136, "32-622": 2155, "35-622": 2168}
"""Circumference of a wheel as lists for setting cycle computers give it, mm; from memory."""

LOADED = 25.0
"""Those lists are of tyres under a rider and of no one make: 4 mm of radius."""


@pytest.mark.parametrize(("marking", "circumference"), ROLL_OUT.items())
def test_radii_agree_with_lists_of_circumferences(marking: str, circumference: int) -> None:
    assert abs(2 * math.pi * read_marking(marking).radius - circumference) <= LOADED


@pytest.mark.parametrize(
    ("marking", "radius"),
    [("37-622", 348.0), ("28-622", 339.0), ("27.9-622", 341.4), ("23-622", 336.5), ("42-584", 334.0)],
)
def test_the_section_height_is_the_width_and_a_little_more_on_narrow_tyres(
    marking: str, radius: float
) -> None:
    assert read_marking(marking).radius == pytest.approx(radius)

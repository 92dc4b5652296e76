"""A wheel's radius from its tyre's size, and the tyre where none is said."""

from __future__ import annotations

import math
from collections.abc import Iterator

NARROW_TYRE = 28.0
NARROW_EXTRA = 2.5
"""A tyre under NARROW_TYRE wide stands NARROW_EXTRA higher than its width; rule from memory."""

DEFAULT_WIDTH, DEFAULT_BEAD_SEAT = 37.0, 622
"""Section width and bead seat diameter (ISO 5775) of a tyre of which nothing is said, mm."""


def wheel_radius(width: float, bead_seat_diameter: float) -> float:
    """Unloaded radius of a wheel, mm: half the bead seat diameter and the section height.

    The section height is the width, and 2.5 more under 28 wide (from memory).

    >>> wheel_radius(37.0, 622), wheel_radius(25.0, 622)
    (348.0, 338.5)
    """
    extra = NARROW_EXTRA if width < NARROW_TYRE else 0.0
    return bead_seat_diameter / 2 + width + extra


def rising(narrowest: float, widest: float) -> Iterator[tuple[float, float]]:
    """The spans of widths, widest first, within which a wider tyre makes a larger wheel.

    >>> [span[1] for span in rising(18.0, 60.0)], [span[0] for span in rising(18.0, 25.0)]
    ([60.0, 27.999999999999996], [18.0])
    """
    if widest >= NARROW_TYRE:
        yield max(narrowest, NARROW_TYRE), widest
    if narrowest < NARROW_TYRE:
        yield narrowest, min(widest, math.nextafter(NARROW_TYRE, 0.0))

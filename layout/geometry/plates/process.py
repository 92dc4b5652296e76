"""The numbers of the cutting process and of the hardware, with where they come from.

Lengths mm, weights kg, densities kg/dm3. What a supplier can do differs: each number has a key
in the spec and the default here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

THICKNESS = 6.0
MATERIAL = "steel S235"
DOWEL = 6.0
CLEARANCE = 0.3
"""Of a tube in its cradle, over its diameter: tubes are drawn to about 0.1, laser cuts to 0.1 or 0.2;
common practice."""
FIT = 0.2
"""A slot over the tab in it: plate of 6 comes 0.3 under or over; common practice."""
KERF = 0.2
"""What a laser's beam takes, common practice; never drawn."""
INNER_RADIUS = 0.8
INNER_RADIUS_OVER_THICKNESS = 0.2
"""Smallest inside radius, at most this much of a thin plate's thickness; common practice."""
SMALLEST_HOLE = 1.0
SMALLEST_WEB = 1.0
"""Over the plate's thickness, common practice; some suppliers go to half of it."""
SHEET = (2000.0, 1000.0)
"""A common stock sheet."""
SHEET_EDGE = 10.0
PART_SPACING = 8.0
"""Left free at the sheet's edges and between nested parts, common practice."""
HEAVIEST = 25.0
"""What one person lifts: the reference mass of ISO 11228-1 (from memory)."""
WIDEST_FIT = 0.5
"""A tab that has more play than this no longer places its part, common practice."""

DENSITIES = (
    ("stainless", 7.9, "EN 10088-1, 1.4301, from memory"),
    ("steel", 7.85, "EN 1993-1-2, from memory"),
    ("alumin", 2.7, "EN 1999-1-1, from memory"),
)
"""Density by a word in the material's name, the first that is found."""

BOLT_LENGTHS = (10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120)
"""Lengths that hexagon bolts are made in (ISO 4017, from memory)."""
WASHER = 0.25
"""Thickness of a plain washer over the bolt's diameter, at most (ISO 7089, from memory)."""


class Bolt(NamedTuple):
    """A bolt's nominal diameter, its clearance hole, its nut across flats and high, mm."""

    diameter: float
    hole: float
    nut_flats: float
    nut_height: float


BOLTS = (
    Bolt(3.0, 3.4, 5.5, 2.4),
    Bolt(4.0, 4.5, 7.0, 3.2),
    Bolt(5.0, 5.5, 8.0, 4.7),
    Bolt(6.0, 6.6, 10.0, 5.2),
    Bolt(8.0, 9.0, 13.0, 6.8),
    Bolt(10.0, 11.0, 16.0, 8.4),
    Bolt(12.0, 13.5, 18.0, 10.8),
    Bolt(16.0, 17.5, 24.0, 14.8),
)
"""Smallest first: clearance hole (ISO 273, medium), nut across flats and height (ISO 4032); all
from memory."""
BOLT_SIZES = ", ".join(f"{b.diameter:g}" for b in BOLTS)


def bolt(diameter: float) -> Bolt:
    """The bolt of a nominal diameter of the table. Raises ValueError for any other."""
    for made in BOLTS:
        if made.diameter == diameter:
            return made
    raise ValueError(f"expected {BOLT_SIZES}")


BOLT = bolt(6.0)
"""For plate of the default thickness."""


def density_of(material: str) -> float | None:
    """Density of a material by its name, kg/dm3; None where it is not known.

    >>> density_of("Stainless steel 1.4301"), density_of("aluminium 5083"), density_of("oak")
    (7.9, 2.7, None)
    """
    name = material.lower()
    return next((value for word, value, _ in DENSITIES if word in name), None)


@dataclass(frozen=True)
class Process:
    """Everything the parts are made to. `smallest_hole` and `smallest_web` are over the thickness.

    `height` is the tubes' common centreline height above the base, None where it is to be found.
    """

    thickness: float = THICKNESS
    material: str = MATERIAL
    density: float = 7.85
    bolt: Bolt = BOLT
    dowel: float = DOWEL
    height: float | None = None
    clearance: float = CLEARANCE
    fit: float = FIT
    kerf: float = KERF
    inner_radius: float = INNER_RADIUS
    smallest_hole: float = SMALLEST_HOLE
    smallest_web: float = SMALLEST_WEB
    sheet: tuple[float, float] = SHEET
    sheet_edge: float = SHEET_EDGE
    part_spacing: float = PART_SPACING
    heaviest: float = HEAVIEST

    @property
    def least_hole(self) -> float:
        """Least diameter or width of a cut-out, mm."""
        return self.smallest_hole * self.thickness

    @property
    def least_web(self) -> float:
        """Least material between two cuts, mm."""
        return self.smallest_web * self.thickness

    @property
    def room(self) -> tuple[float, float]:
        """What of a stock sheet may be used, long side first, mm."""
        a, b = (side - 2 * self.sheet_edge for side in self.sheet)
        return max(a, b), min(a, b)

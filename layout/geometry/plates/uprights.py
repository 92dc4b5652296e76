r"""The parts that stand in the base, each a plate from its engraved face: u across, v up from the base.

    cradle                  bottom-bracket post          axle post
    horns  _        _        _              _                 _____
          | \      / |      | |            | |            ___|     |___
          |  `-..-'  |      | |____________| |           |             |
          | o      o |      |                |           |_   _   _   _|
          |__  _  __ |      |_    _   _     _|             |_|     |_|
             ||T||            |__|     |__|

A part's engraved face looks to where its name stands on the base.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from layout.geometry.plates.contour import Point
from layout.geometry.plates.corners import TAKEN, Corner, Turn, closed_ring
from layout.geometry.plates.foot import SPARE, Foot
from layout.geometry.plates.plate import Cutout, Plate, circle

HORN_ANGLE = 60.0
"""A cradle holds a tube up to this angle from its lowest line, degrees: no higher than half the radius
below the axis, so that torch and joint stay free."""
LEAST_HORN = 8.0
"""A horn is at least this wide at its top, mm."""
STRAP = 8.0
"""Holes for a strap or wire that holds the tube down, mm, or the plate's least hole where that is more."""


class Bed(NamedTuple):
    """Where a tube lies in a cradle, heights from the tube's axis.

    `across` and `below` are the tube's half width and half height, the greatest within the
    cradle's thickness; `left` and `right` the heights of the horns' tops (negative) as seen on
    the engraved face.
    """

    across: float
    below: float
    left: float
    right: float

    def radius(self, clearance: float) -> float:
        """Radius of the cradle's arc for a clearance on the diameter.

        Half the clearance over the tube's own; for an oval tube over the greater of its half
        width and its radius of curvature at its lowest line, so that it touches there alone.
        """
        return max(self.across, self.across**2 / self.below) + clearance / 2

    def nominal_top(self, clearance: float) -> float:
        """Height of a full horn."""
        return self.radius(clearance) * (1.0 - math.cos(math.radians(HORN_ANGLE))) - self.below

    def grips(self, clearance: float) -> tuple[float, float]:
        """How far up the left and the right horn hold the tube, degrees from its lowest line."""
        r = self.radius(clearance)
        left, right = (
            math.degrees(math.acos(min(max(1.0 - (top + self.below) / r, -1.0), 1.0)))
            for top in (self.left, self.right)
        )
        return left, right


def cradle_half(bed: Bed, foot: Foot) -> float:
    """Half of a cradle's width, mm."""
    arc = bed.radius(foot.process.clearance) * math.sin(math.radians(HORN_ANGLE))
    return max(foot.half, arc + horn(foot))


def horn(foot: Foot) -> float:
    """Width of a horn's top, mm."""
    return max(foot.web, LEAST_HORN)


def cradle(name: str, bed: Bed, height: float, foot: Foot) -> Plate:
    """A cradle that holds a tube's axis `height` mm above the base.

    The arc's centre lies half the clearance above the axis, so that the tube rests at the height.
    """
    p = foot.process
    half, r = cradle_half(bed, foot), bed.radius(p.clearance)
    centre = (0.0, height - bed.below + r)
    left, right = height + bed.left, height + bed.right
    a, b = _on_arc(centre, r, left, -1.0), _on_arc(centre, r, right, 1.0)
    sweep = math.atan2(b[0], centre[1] - b[1]) - math.atan2(a[0], centre[1] - a[1])
    turns = [
        *foot.lower_edge(half, bolted=True),
        Turn((half, right)),
        Turn(b, bulge=-math.tan(sweep / 4)),
        Turn(a),
        Turn((-half, left)),
    ]
    marks = {"axis": (0.0, height), "arc_centre": centre}
    return Plate(
        name, p.thickness, closed_ring(turns), _straps(half, centre, r, (left, right), foot=foot), marks=marks
    )


def _on_arc(centre: Point, r: float, level: float, side: float) -> Point:
    return side * math.sqrt(r**2 - (centre[1] - level) ** 2), level


def _straps(half: float, centre: Point, r: float, tops: Point, foot: Foot) -> tuple[Cutout, ...]:
    """A hole on each side, under the arc and under its horn's top."""
    d = strap_diameter(foot)
    u = half - foot.web - d / 2
    reach = r + foot.web + d / 2
    under_arc = centre[1] - math.sqrt(max(reach**2 - u**2, 0.0))
    left, right = (min(under_arc, top - foot.web - d / 2) for top in tops)
    return (circle("strap hole, left", (-u, left), d), circle("strap hole, right", (u, right), d))


def strap_diameter(foot: Foot) -> float:
    """Diameter of the strap holes, mm."""
    return max(STRAP, foot.process.least_hole + SPARE)


def least_height(bed: Bed, foot: Foot) -> float:
    """The least height at which a cradle has room for its foot's bolt and its strap holes."""
    r, d, half = bed.radius(foot.process.clearance), strap_diameter(foot), cradle_half(bed, foot)
    under_arc = foot.slot_top + foot.web + bed.below
    u = half - foot.web - d / 2
    hang = math.sqrt(max((r + foot.web + d / 2) ** 2 - u**2, 0.0)) - r + bed.below
    hang = max(hang, foot.web + d / 2 - min(bed.left, bed.right))
    above_nut = foot.nut_high + foot.web + d / 2 + hang
    return max(under_arc, above_nut)


class Pocket(NamedTuple):
    """What a bottom-bracket post holds: half the pocket's width; floor and horns' tops above the base."""

    half: float
    floor: float
    top: float


def post(name: str, pocket: Pocket, foot: Foot) -> Plate:
    """One of the two posts that the shell's lower face stands on, between horns that place it."""
    r = foot.relief
    half = max(foot.half, pocket.half + horn(foot))
    turns = [
        *foot.lower_edge(half, bolted=False),
        Turn((half, pocket.top)),
        Turn((pocket.half, pocket.top)),
        Turn((pocket.half, pocket.floor), Corner.RELIEF, min(r, _deepest(pocket))),
        Turn((-pocket.half, pocket.floor), Corner.RELIEF, min(r, _deepest(pocket))),
        Turn((-pocket.half, pocket.top)),
        Turn((-half, pocket.top)),
    ]
    return Plate(name, foot.process.thickness, closed_ring(turns), marks={"seat": (0.0, pocket.floor)})


def _deepest(pocket: Pocket) -> float:
    """The relief that a shallow pocket's side still takes."""
    return (pocket.top - pocket.floor) / TAKEN


def post_half(pocket_half: float, foot: Foot) -> float:
    """Half of a post's width, mm."""
    return max(foot.half, pocket_half + horn(foot))


def table_leg(name: str, height: float, foot: Foot) -> Plate:
    """One of the two posts under the axle's table, `height` mm high, with a tab on top."""
    rise = foot.tab_depth
    turns = [
        *foot.lower_edge(foot.half, bolted=False),
        *foot.upper_edge(foot.half, height, foot.tab, rise),
    ]
    return Plate(name, foot.process.thickness, closed_ring(turns), marks={"top": (0.0, height)})

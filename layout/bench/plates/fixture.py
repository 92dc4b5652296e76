"""The fixture as plain data: its parts, where each stands, what else is needed to put it together.

The base's upper face is z = 0; x and y are the side view's as the fixture is seen from above (x is
minus forward where the bicycle heads left), with the origin at the bottom bracket. The frame's
middle plane lies level at z = height.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from layout.bench.plates.settings import Settings
from layout.errors import Notice
from layout.geometry.plates.contour import Point
from layout.geometry.plates.plate import Plate
from layout.geometry.plates.seats import Seat
from layout.geometry.space.frame import SpaceFrame

Place = tuple[float, float, float]


class Standing(NamedTuple):
    """One part in its place: the engraved face's origin, and the directions of its x and y there.

    The material lies behind the face: from it by the thickness against x cross y.
    """

    part: str
    origin: Place
    along: Place
    up: Place


class FixtureNeed(NamedTuple):
    """Something that is bought: what, and how many."""

    what: str
    quantity: int
    use: str


@dataclass(frozen=True)
class Fixture:
    """Parts in their own coordinates, engraved; places; the common height; what to buy.

    `space` has the tubes it holds, `points` are the frame's named points in plan. `height` is the
    centreline's above the base.
    """

    settings: Settings
    space: SpaceFrame
    plates: tuple[Plate, ...]
    standing: tuple[Standing, ...]
    height: float
    seats: Mapping[str, Seat]
    points: Mapping[str, Point]
    forward: float
    needs: tuple[FixtureNeed, ...]
    notices: tuple[Notice, ...] = ()

    def plate(self, name: str) -> Plate:
        """The part of that name."""
        return next(p for p in self.plates if p.name == name)

    @property
    def bases(self) -> tuple[Plate, ...]:
        """The base in its one or two parts."""
        return tuple(p for p in self.plates if p.name.startswith("base") and p.name != "base_strap")

r"""Bridges between the two stays of a pair: straight, or curved away from the axle to clear a tyre or guard.

            ___---___              the arc: `radius`, between the joints
          /           \            straight ends: as long as the cut at their stay, so that the cut
    stay o             o stay      is made on a straight tube and its curve is exact
                 . axle, below

A curved bridge lies in the plane of the two stays' points and the axle. Both halves are alike.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from layout.geometry import messages
from layout.geometry.space.form import BridgePlace
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.path import Bend, Path, bent_path
from layout.geometry.space.placing import reference
from layout.geometry.space.roles import ROLES
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, Triad, Z, triad, unit, vector

BEHIND_CUT = 2.0
"""The arc begins this far behind the deepest point of the cut, mm: room to scribe it."""
STEEPEST = 60.0
"""An end that leans more than this from straight across, degrees, is no bridge but a hoop."""
HALVINGS = 60
"""To the last bit."""


def bridge_path(place: BridgePlace, left: Tube, right: Tube, axle: tuple[float, float]) -> Path:
    """The axis of a bridge from the left stay's to the right one's; `axle` is the rear axle's x and y, mm.

    Raises MisfitError where a curved one has no room, or its radius is too small for the way across or less
    than the tube's diameter.
    """
    first, last = (stay.path.at(place.at) for stay in (left, right))
    up = reference(ROLES[place.stay.bridge])
    if place.radius is None:
        return stay_path(first.at, last.at, up)
    half = _half(place, right, last, axle)
    lean = half.lean()
    straight = half.straight(lean)
    begin = triad(first.at, half.tangent(lean), up)
    inward = -(math.cos(lean) * half.away - math.sin(lean) * Z)
    plane = math.degrees(math.atan2(float(inward @ begin.across), float(inward @ begin.reference)))
    total = 2.0 * (straight + place.radius * lean)
    return bent_path(begin, total, (Bend(total / 2, math.degrees(2.0 * lean), plane, place.radius),))


class _Half(NamedTuple):
    """Half a curved bridge, from the middle plane to the right stay; angles in radians, lengths mm.

    `across` is from the middle plane to the stay's axis, `away` the unit vector from the axle, `along` the
    stay's direction, `host` and `own` the greatest half of the stay's section and of the bridge's.
    """

    across: float
    away: Array
    along: Array
    host: float
    own: float
    radius: float

    def tangent(self, lean: float) -> Array:
        """The direction in which the bridge leaves the left stay, leaning out from the axle."""
        found: Array = math.cos(lean) * Z + math.sin(lean) * self.away
        return found

    def straight(self, lean: float) -> float:
        """How long the straight end is: from the stay's axis to behind the cut's deepest point."""
        out = math.cos(lean) * Z - math.sin(lean) * self.away
        cosine = abs(float(out @ self.along))
        return (self.host + self.own * cosine) / math.sqrt(1.0 - cosine * cosine) + BEHIND_CUT

    def over(self, lean: float) -> float:
        """How far a bridge that leans so at its ends reaches past the way across, mm."""
        return self.straight(lean) * math.cos(lean) + self.radius * math.sin(lean) - self.across

    def lean(self) -> float:
        """How far the ends lean from straight across, by halving: a steeper bridge reaches further."""
        low, high = 0.0, math.radians(STEEPEST)
        if self.over(low) >= 0.0:
            raise MisfitError(messages.BRIDGE_NARROW.format(by=2.0 * self.over(low)))
        across = (self.across - self.straight(high) * math.cos(high)) / math.sin(high)
        least = max(across, 2.0 * self.own)
        if self.radius < least:
            raise MisfitError(messages.BRIDGE_TIGHT.format(least=math.ceil(least)))
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.over(middle) < 0.0 else (low, middle)
        return (low + high) / 2


def _half(place: BridgePlace, right: Tube, there: Triad, axle: tuple[float, float]) -> _Half:
    """The half of a bridge that ends on the right stay, `there` being that stay's axis at the bridge."""
    off = vector(float(there.at[0]) - axle[0], float(there.at[1]) - axle[1])
    return _Half(
        float(there.at[2]), unit(off), there.along,
        host=max(right.diameter_at(place.at)) / 2, own=place.diameter / 2, radius=place.radius or 0.0,
    )  # fmt: skip


def bridge_rise(path: Path) -> float:
    """How far the middle of a bridge's axis stands off the straight line between its ends, mm."""
    off = path.at(path.length / 2).at - (path.first.at + path.last.at) / 2
    return float(math.sqrt(float(off @ off)))

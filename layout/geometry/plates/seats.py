r"""Where along a tube its two cradles stand: wide apart, out of the way of every other tube.

Seen from above with the frame lying flat, a cradle is a box square to the tube's axis. Its horns
rise beside the tube as far as no other tube or stay is in their way; so at each station along
the tube there is a highest left and a highest right horn, found here from all tubes in space.

      other tube  \ |left horn|
    ------------====|=========|------------  tube, seen from above; stations to the right
                    |right horn|
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from layout.geometry.plates.contour import Array, Point
from layout.geometry.plates.convex import Polygon, box, clear
from layout.geometry.plates.foot import Foot
from layout.geometry.plates.uprights import Bed, cradle_half
from layout.geometry.space.tube import Tube

STEP = 2.0
"""Between the stations that are looked at, mm."""
SAMPLE = 3.0
"""Between the balls that stand for a tube, mm: they leave a tube of 20 by 0.06."""
TUBE_GAP = 2.0
"""Left free between a cradle and any tube that it does not hold, mm; common practice."""
END_GAP = 1.0
"""From a tube's end to the cradle's face, mm."""
TORCH_ROOM = 25.0
"""A cradle this far from every joint hinders neither torch nor heat; common practice."""
LEAST_GRIP = 10.0
"""A horn that holds the tube less far up than this places nothing, degrees."""
FULL_GRIP = 45.0
"""More than this does not place a tube better, degrees."""
SPREAD_WEIGHT, GRIP_WEIGHT, ROOM_WEIGHT = 2.0, 0.7, 0.3
"""How a pair is judged: the distance between its cradles over the tube's length first, then how
well each holds, then the room round it. The angle a pair holds gets worse with its distance only."""
LEVEL = 1e-9
"""An axis leaves the frame's middle plane by less than this, or no cradle of ours holds it."""
FITTING_ROOM = 10.0
"""From the middle of a fitting on the tube to a cradle's face, mm; common practice."""


class Seat(NamedTuple):
    """A cradle's place: `station` on the tube, its middle `at` and the axis's unit direction in plan.

    `left` and `right` of the bed are as seen looking along the axis, first end to second.
    """

    tube: str
    station: float
    at: Point
    along: Point
    bed: Bed

    def footprint(self, foot: Foot) -> Polygon:
        """What it takes of the base, foot and body."""
        across = (-self.along[1], self.along[0])
        half = max(cradle_half(self.bed, foot), foot.slot_reach)
        return box(self.at, across, half, max(foot.slot_half, foot.process.thickness / 2))


def balls(tubes: Sequence[Tube], forward: float) -> Array:
    """Balls (n, 4) that fill the tubes: x, y, z and radius. `forward` is -1 where x is mirrored."""
    rows = []
    for tube in tubes:
        stations = np.linspace(0.0, tube.length, max(2, math.ceil(tube.length / SAMPLE) + 1))
        height, width = tube.profile.halves(stations)
        for station, r in zip(stations, np.maximum(height, width), strict=True):
            x, y, z = tube.path.at(float(station)).at
            rows.append((forward * x, y, forward * z, float(r)))
    return np.array(rows)


class Site(NamedTuple):
    """Everything that decides where the cradles of one tube can stand."""

    tube: Tube
    others: Array
    taken: Sequence[Polygon]
    avoided: Sequence[float]
    forward: float
    foot: Foot

    def pair(self) -> tuple[Seat, Seat] | None:
        """The best two seats, nearest the tube's first end first; None where there are no two."""
        rated = [(s, self._worth(s, room)) for s, room in self._possible()]
        best, found = -math.inf, None
        for i, (one, worth) in enumerate(rated):
            for two, other in rated[i + 1 :]:
                spread = (two.station - one.station) / self.tube.length
                value = SPREAD_WEIGHT * spread + worth + other
                if value > best and self._apart(one, two):
                    best, found = value, (one, two)
        return found

    def _apart(self, one: Seat, two: Seat) -> bool:
        """Two cradles of one tube stand parallel: their distance is along it."""
        least = self.foot.web + 2 * max(self.foot.slot_half, self.foot.process.thickness / 2)
        return two.station - one.station >= least

    def _worth(self, seat: Seat, room: float) -> float:
        grip = min(seat.bed.grips(self.foot.process.clearance))
        held, free = min(grip, FULL_GRIP) / FULL_GRIP, min(room, TORCH_ROOM) / TORCH_ROOM
        return GRIP_WEIGHT * held + ROOM_WEIGHT * free

    def _possible(self) -> Iterator[tuple[Seat, float]]:
        """Every station where a cradle can stand, with the room round it."""
        t = self.foot.process.thickness
        margin = t / 2 + END_GAP
        count = int((self.tube.length - 2 * margin) / STEP)
        for k in range(max(count + 1, 0)):
            station = margin + k * STEP
            if any(abs(station - s) < t / 2 + FITTING_ROOM for s in self.avoided):
                continue
            found = self._seat(station)
            if found is None:
                continue
            place = found[0].footprint(self.foot)
            if all(clear(place, other, self.foot.web) for other in self.taken):
                yield found

    def _seat(self, station: float) -> tuple[Seat, float] | None:
        """The seat at a station and the room round it, None where it cannot hold the tube."""
        tube, t = self.tube, self.foot.process.thickness
        here = tube.path.at(station)
        straight = tube.path.piece_at(station - t / 2) is tube.path.piece_at(station + t / 2)
        if not (straight and tube.path.piece_at(station).straight):
            return None
        if max(abs(float(here.at[2])), abs(float(here.along[2]))) > LEVEL:
            return None
        halves = _greatest(tube, station - t / 2, station + t / 2)
        if halves is None:
            return None
        across, below = halves
        clearance = self.foot.process.clearance
        full = Bed(across, below, 0.0, 0.0).nominal_top(clearance)
        at = (self.forward * float(here.at[0]), float(here.at[1]))
        along = (self.forward * float(here.along[0]), float(here.along[1]))
        half = cradle_half(Bed(across, below, full, full), self.foot)
        left, right, room = _limits(self.others, at, along, half, half_thick=t / 2, full=full)
        bed = Bed(across, below, min(full, left), min(full, right))
        if min(bed.grips(clearance)) < LEAST_GRIP:
            return None
        return Seat(tube.name, station, at, along, bed=bed), room


def _greatest(tube: Tube, low: float, high: float) -> tuple[float, float] | None:
    """Greatest half width and half height between two stations; None for an oval that lies askew."""
    stations = np.array([low, high, *(s for s in tube.profile.stations if low < s < high)])
    height, width = tube.profile.halves(stations)
    if tube.profile.is_round:
        r = float(height.max())
        return r, r
    if abs(math.remainder(tube.profile.turned, 90.0)) > LEVEL:
        return None
    upright = abs(math.remainder(tube.profile.turned, 180.0)) > LEVEL
    across, below = (width, height) if upright else (height, width)
    return float(across.max()), float(below.max())


def _limits(
    balls: Array, at: Point, along: Point, half: float, half_thick: float, full: float
) -> tuple[float, float, float]:
    """How high the left and the right horn may rise above the axis, and the room round full horns, mm."""
    dx, dy = balls[:, 0] - at[0], balls[:, 1] - at[1]
    ahead = np.maximum(np.abs(dx * along[0] + dy * along[1]) - half_thick, 0.0)
    left = dy * along[0] - dx * along[1]
    reach, z = balls[:, 3] + TUBE_GAP, balls[:, 2]
    tops, rooms = [], []
    for side in (left, -left):
        beside = np.maximum(np.maximum(-side, side - half), 0.0)
        away = np.hypot(ahead, beside)
        over = away < reach
        under = z[over] - np.sqrt(reach[over] ** 2 - away[over] ** 2)
        tops.append(float(under.min()) if under.size else math.inf)
        low = z - balls[:, 3] < full
        rooms.append(float((away - balls[:, 3])[low].min()) if low.any() else math.inf)
    return tops[0], tops[1], max(min(rooms), 0.0)

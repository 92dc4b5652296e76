r"""Where a hole drilled in one tube opens into another that is cut on it: inside the footprint of its bore.

          |  |   the other tube, its bore inside its wall
        __|__|__
       /   ()   \      the hole: on the skin of the tube it is cut on, where that skin faces the bore, inside
      |          |     the bore all round, and not inside a third tube

A tube that stands partly beside another covers only part of it: its axis may pass where there is no tube.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from layout.geometry.space.meeting import nearest_host_axis
from layout.geometry.space.mitre import Cut
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, Flags

ALONG, ROUND = 61, 120
"""Places looked at along the tube that is drilled and round it."""
REACH = 1.3
"""They lie this much further out than the other tube can reach."""
LEAST_SINE = 0.3
"""Of the angle of the tubes: a joint flatter than 17 degrees is not looked at to its ends."""
FACING = 0.1
"""The skin faces the bore where the cosine is at least this: a drill does not start on a glancing surface."""
CLEAR = 1.0
"""From the hole's edge to the bore's wall, mm, where there is room: it stays open under the weld."""
RIM = 24
"""Points of a hole's edge that are looked at."""
TRIED = 400
"""Places tried for a hole before a smaller one is taken."""
WALL = 1.0
"""A wall that is not known, mm: about the thickest of the usual steel tubes."""


class Hole(NamedTuple):
    """A hole in a tube's skin: its middle's station and phi, and its diameter, mm and degrees."""

    station: float
    phi: float
    diameter: float


class Footprint(NamedTuple):
    """The bore of a cut end on the skin of one of the tubes it is cut on, its host `k`."""

    cut: Cut
    k: int

    @property
    def host(self) -> Tube:
        """The tube that is drilled."""
        return self.cut.hosts[self.k].tube

    def inside(self, station: Array, phi: Array) -> Flags:
        """Whether places on the host's skin, station (mm) and phi (degrees), open into the bore."""
        return self.room(station, phi) > 0.0

    def room(self, station: Array, phi: Array) -> Array:
        """How far places lie inside the bore's wall, mm, at least; negative outside the footprint."""
        t, f = np.broadcast_arrays(np.asarray(station, dtype=np.float64), np.asarray(phi, dtype=np.float64))
        axis, a = self.host.path.first, np.radians(f)
        spoke = np.cos(a)[..., None] * axis.reference + np.sin(a)[..., None] * axis.across
        points = axis.at + t[..., None] * axis.along + self.host.profile.radius(f, t)[..., None] * spoke
        end = self.cut.end
        facing = spoke @ (end.inward * end.triad.along) >= FACING
        facing &= (t > 0.0) & (t < self.host.length)
        for j, other in enumerate(self.cut.hosts):
            if j != self.k:
                facing &= other.tube.outside(points, other.low, other.high) > 0.0
        return np.where(facing, self._room_in_bore(points), -1.0)

    def _room_in_bore(self, points: Array) -> Array:
        tube, end = self.cut.end.tube, self.cut.end
        there = end.triad.local(points)
        c, s = math.cos(math.radians(tube.profile.turned)), math.sin(math.radians(tube.profile.turned))
        up, over = there[..., 1] * c + there[..., 2] * s, there[..., 2] * c - there[..., 1] * s
        height, width = tube.profile.halves(end.t + there[..., 0])
        wall = wall_of(tube)
        height, width = height - wall, width - wall
        found: Array = (1.0 - np.hypot(up / height, over / width)) * np.minimum(height, width)
        return found

    def holds(self, hole: Hole) -> bool:
        """Whether a hole opens into the bore all round its edge."""
        a = np.linspace(0.0, 2 * math.pi, RIM, endpoint=False)
        r = hole.diameter / 2
        radius = float(self.host.profile.radius(hole.phi, hole.station))
        stations = hole.station + r * np.cos(a)
        phis = hole.phi + np.degrees(r * np.sin(a) / radius)
        return bool(self.inside(stations, phis).all())

    def hole(self, diameters: Sequence[float]) -> Hole | None:
        """The first of some diameters, largest first, that has room, nearest the bore's middle.

        None where none has, and in a bent tube.
        """
        near = nearest_host_axis(self.cut.end, self.host)
        if near is None or not self.host.path.straight:
            return None
        end, axis = self.cut.end, self.host.path.first
        into = end.inward * end.triad.along
        middle = math.degrees(math.atan2(float(into @ axis.across), float(into @ axis.reference)))
        half = REACH * (end.tube.profile.greatest + self.host.profile.greatest / 2)
        sine = max(math.sin(math.radians(near.angle)), LEAST_SINE)
        stations = near.second + np.linspace(-half, half, ALONG) / sine
        phis: Array = middle + np.linspace(0.0, 360.0, ROUND, endpoint=False)
        room = self.room(stations[:, None], phis[None, :])
        for diameter in diameters:
            for wanted in (diameter / 2 + CLEAR, diameter / 2):
                for i, j in self._nearest(stations, phis, room >= wanted, near.second):
                    hole = Hole(float(stations[i]), float(phis[j]) % 360.0, diameter)
                    if self.holds(hole):
                        return hole
        return None

    def _nearest(
        self, stations: Array, phis: Array, roomy: Flags, middle: float
    ) -> list[tuple[int, int]]:
        """Places with room, nearest where the axes pass first."""
        i, j = np.nonzero(roomy)
        if not len(i):
            return []
        radius = self.host.profile.greatest
        turn = (phis - phis[0] + 180.0) % 360.0 - 180.0
        far = np.hypot(stations[i] - middle, np.radians(turn[j]) * radius)
        order = np.lexsort((turn[j], far.round(6)))[:TRIED]
        return [(int(i[k]), int(j[k])) for k in order]


def wall_of(tube: Tube) -> float:
    """The thickest wall of a tube, WALL where it is not known, mm."""
    return WALL if tube.walls is None else max(tube.walls.first, tube.walls.middle, tube.walls.second)

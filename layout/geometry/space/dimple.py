r"""Dimples: where a bar laid across a tube is pressed in, so that something passes.

____    __________      length of the trough along the tube, its depth at the middle
bar     \__/  | depth
____|length|______      The skin reaches no further towards the bar than the bar lets it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from layout.geometry.space.profile import Profile
from layout.geometry.space.vectors import Array


class Dimple(NamedTuple):
    """A trough with its middle at station `at`, pressed in from phi = `plane`; mm and degrees."""

    at: float
    length: float
    depth: float
    plane: float

    @property
    def bar(self) -> float:
        """Radius of the bar that leaves a trough so long and so deep, mm."""
        return (self.length**2 / 4 + self.depth**2) / (2 * self.depth)

    @property
    def mirrored(self) -> Dimple:
        """The same dimple on the other stay of a pair."""
        return Dimple(self.at, self.length, self.depth, -self.plane)

    def limit(self, profile: Profile, station: Array) -> Array:
        """How far the skin may reach towards the bar at stations, mm; infinite where there is no bar."""
        a = math.radians(self.plane)
        reach = profile.half_extent(self.at, math.cos(a), math.sin(a))
        off = np.minimum(np.abs(station - self.at), self.bar)
        trough = reach - self.depth + self.bar - np.sqrt(self.bar**2 - off**2)
        return np.where(off < self.bar, trough, np.inf)

    def pressed(self, profile: Profile, station: Array, up: Array, over: Array) -> tuple[Array, Array]:
        """Points of the skin, up the reference line and across, as the bar leaves them."""
        c, s = math.cos(math.radians(self.plane)), math.sin(math.radians(self.plane))
        much = np.maximum(up * c + over * s - self.limit(profile, station), 0.0)
        return up - much * c, over - much * s

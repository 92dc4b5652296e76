"""Least gaps between the stays and what turns between them: tyre, chainring, crank.

A part is a solid with a known distance function (mm, below 0 inside):

    Tyre    a ring: its section a circle of the tyre's width, its outermost circle the wheel's
    Disc    a flat round plate about an axis along z: a chainring with its chain, the crank's sweep

The gap to a tube is the least of that function over the tube's outside: looked for on a grid, then
on ever finer ones about the best place. Below 0: they touch, and the part is that deep in.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from layout.geometry.space.path import PathPiece
from layout.geometry.space.tube import Tube, surface_on
from layout.geometry.space.vectors import Array
from layout.geometry.wheel import rising

STATION_STEP = 1.5
PHI_STEP = 4.0
"""First looks, mm along and degrees round: the best is within 0.02 mm of the least gap already."""
ZOOMS, ZOOM_SAMPLES, ZOOM = 18, 17, 0.5
"""Each finer grid is half as wide as the one before: slow enough to follow a long shallow valley."""
BISECTIONS = 16
"""A tyre's greatest width to 0.002 mm between the narrowest and the widest made."""


@dataclass(frozen=True)
class TyreSolid:
    """A tyre `width` mm wide on a wheel of `radius` mm, in the middle plane about `axle` (x, y)."""

    axle: tuple[float, float]
    radius: float
    width: float

    def distance(self, points: Array) -> Array:
        """Distance of points (..., 3) from the tyre, mm."""
        x, y = points[..., 0] - self.axle[0], points[..., 1] - self.axle[1]
        found: Array = np.hypot(np.hypot(x, y) - (self.radius - self.width / 2), points[..., 2])
        return found - self.width / 2


@dataclass(frozen=True)
class DiscSolid:
    """A flat disc of `radius` mm about the line along z through `axle` (x, y), from `near` to `far` in z."""

    axle: tuple[float, float]
    radius: float
    near: float
    far: float

    def distance(self, points: Array) -> Array:
        """Distance of points (..., 3) from the disc, mm."""
        x, y = points[..., 0] - self.axle[0], points[..., 1] - self.axle[1]
        out = np.hypot(x, y) - self.radius
        off = np.abs(points[..., 2] - (self.near + self.far) / 2) - (self.far - self.near) / 2
        outside = np.hypot(np.maximum(out, 0.0), np.maximum(off, 0.0))
        found: Array = outside + np.minimum(np.maximum(out, off), 0.0)
        return found


Part = TyreSolid | DiscSolid


class Gap(NamedTuple):
    """The least gap between a tube and a part, mm, and where on the tube it is."""

    tube: str
    part: str
    value: float
    at: tuple[float, float, float]
    station: float
    phi: float


def least_gap(tube: Tube, part: Part, name: str, low: float = 0.0, high: float | None = None) -> Gap:
    """The least gap between `part`, called `name`, and the outside of `tube` from station `low` to `high`."""
    end = tube.length if high is None else high
    best: tuple[float, PathPiece, float, float] | None = None
    for piece in tube.path.pieces:
        a, b = max(piece.low, low), min(piece.high, end)
        if b <= a:
            continue
        found = _zoom_least(tube, piece, part, a=a, b=b)
        if best is None or found[0] < best[0]:
            best = (found[0], piece, found[1], found[2])
    if best is None:
        raise ValueError(f"{tube.name} has nothing between stations {low:g} and {end:g}")
    value, piece, station, phi = best
    x, y, z = (float(v) for v in surface_on(piece, tube.profile, station, phi, dimples=tube.dimples))
    return Gap(tube.name, name, value, (x, y, z), station=station, phi=phi % 360.0)


def skin(tube: Tube, low: float = 0.0, high: float | None = None) -> Array:
    """Points (n, 3) all over a tube's outside, as dense as a gap is first looked for."""
    end = tube.length if high is None else high
    clouds = []
    for piece in tube.path.pieces:
        a, b = max(piece.low, low), min(piece.high, end)
        if b > a:
            stations, phis = _grid(a, b)
            found = surface_on(piece, tube.profile, stations[:, None], phis[None, :], dimples=tube.dimples)
            clouds.append(found.reshape(-1, 3))
    return np.concatenate(clouds)


def widest_tyre(
    skins: Iterable[Array],
    axle: tuple[float, float],
    radius_of: Callable[[float], float],
    gap: float,
    between: tuple[float, float],
) -> float | None:
    """The width of the widest tyre that keeps `gap` mm from every point of the `skins`.

    `radius_of` gives the wheel's radius for a tyre's width; widths are looked for `between` two.
    None where none fits; the widest where that fits. A narrow tyre may stand higher than one a little
    wider, so that they are looked for in the spans in which a wider one stands higher, the widest first.
    """
    x, y, beside = np.concatenate(list(skins)).T
    out, beside_2 = np.hypot(x - axle[0], y - axle[1]), beside * beside

    def fits(width: float) -> bool:
        off = out - (radius_of(width) - width / 2)
        return math.sqrt((off * off + beside_2).min()) - width / 2 >= gap

    for low, high in rising(*between):
        if fits(high):
            return high
        if fits(low):
            for _ in range(BISECTIONS):
                middle = (low + high) / 2
                low, high = (middle, high) if fits(middle) else (low, middle)
            return low
    return None


def chain_wheel(teeth: int) -> float:
    """Radius of a chainring with its chain, mm: the pitch circle and half the height of a link plate.

    Pitch 12.7, pitch diameter pitch / sin(180 / teeth) after ISO 606; a plate is about 8.6 high
    (both from memory).
    """
    return 12.7 / 2 / math.sin(math.pi / teeth) + 8.6 / 2


def _grid(a: float, b: float) -> tuple[Array, Array]:
    count = max(2, math.ceil((b - a) / STATION_STEP) + 1)
    return np.linspace(a, b, count), np.arange(0.0, 360.0, PHI_STEP)


def _zoom_least(tube: Tube, piece: PathPiece, part: Part, a: float, b: float) -> tuple[float, float, float]:
    """Least distance, station and phi over a stretch of one piece."""
    stations, phis = _grid(a, b)
    value, station, phi = _best(tube, piece, part, stations=stations, phis=phis)
    along, round_ = (b - a) / (len(stations) - 1), PHI_STEP
    for _ in range(ZOOMS):
        near = np.clip(np.linspace(station - along, station + along, ZOOM_SAMPLES), a, b)
        around = np.linspace(phi - round_, phi + round_, ZOOM_SAMPLES)
        value, station, phi = _best(tube, piece, part, stations=near, phis=around)
        along, round_ = along * ZOOM, round_ * ZOOM
    return value, station, phi


def _best(
    tube: Tube, piece: PathPiece, part: Part, stations: Sequence[float] | Array, phis: Sequence[float] | Array
) -> tuple[float, float, float]:
    s, f = np.asarray(stations), np.asarray(phis)
    distance = part.distance(surface_on(piece, tube.profile, s[:, None], f[None, :], dimples=tube.dimples))
    i, j = np.unravel_index(int(distance.argmin()), distance.shape)
    return float(distance[i, j]), float(s[i]), float(f[j])

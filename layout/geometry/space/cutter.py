r"""The hole saw that fits a joint best: what a mill is set to, and how far its cut misses the true curve.

A hole saw cuts the curve of a cylinder. It fits a joint only as far as the tube met is a round cylinder
there; for any other the best cylinder is looked for, over the part of the cut that lies on that tube.

    \                     angle     of the cutter's axis to this tube's, 0 to 180 from the acute side
     \   cutter           offset    distance of the axes: that of the tubes
    --o------------- s    place     where the cutter's axis crosses this one, as s

With psi counted from the acute side, e the offset, t the angle, R the cutter's radius and r the tube's, the
cylinder cuts at s = place + (r cos psi cos t + sqrt(R^2 - (e + r sin psi)^2)) / sin t.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from layout.geometry.space.meeting import nearest_host_axis
from layout.geometry.space.mitre import Cut
from layout.geometry.space.vectors import Approach, Array, cross, square_to, unit

MISFIT = 0.25
"""A gap that welding thin wall allows at the most, mm; common practice: over it, template only."""
WHOLE = tuple(float(size) for size in range(12, 81))
"""Annular cutters come by the whole millimetre; common practice."""
SIXTEENTHS = tuple(math.floor(25.4 * n / 16 * 10 + 0.5) / 10 for n in range(8, 51))
"""Hole saws come by the sixteenth of an inch; to the nearest 0.1, as tubes are written: 28.6 for 1 1/8."""
SIZES: Array = np.array(sorted({*WHOLE, *SIXTEENTHS}))
"""Diameters of the cutters that exist, mm."""
AROUND = 6.0
"""Cutters this much smaller and larger than the tube is anywhere in the joint are tried, mm."""
LEAN = 8.0
"""The cutter is tried at angles this far from the tube's own, degrees: half a steep cone's is less than 3."""
ANGLES, KEPT, NARROWED = 33, 3, 26
"""Angles first looked at, sizes kept, and steps of the golden section: the angle to 1e-5 degrees."""
COARSE = 4
"""Every fourth sample of a curve is enough to tell sizes and angles apart."""
EXACT = 1e-6
"""A cutter that fits this well is not bettered, mm."""
FINE = 1440
"""Samples once round where a part has ends, at which the misfit may be largest."""
TANGENT = 1e-9
"""A generator that the cylinder only touches: this far below 0, over the radius squared, is rounding."""
TAPERS = 3
"""Rounds in which a tapering tube's own radius is taken where the cutter meets it."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


class Cutter(NamedTuple):
    """The best hole saw for one part of a cut, mm and degrees.

    `angle` is between its axis and the tube's, 0 to 90, and `acute` the phi of the side of that angle;
    `misfit` is the largest less the smallest of its curve minus the true one, along the tube; `place` is
    where its axis crosses the tube's, as s.
    """

    diameter: float
    angle: float
    acute: float
    misfit: float
    place: float


def best_cutter(cut: Cut, k: int) -> Cutter | None:
    """The cutter that fits the part of a cut on its host `k` best, None where it has no part.

    None also where no cutter of the sizes that exist meets every generator of the part.
    """
    passing = nearest_host_axis(cut.end, cut.hosts[k].tube)
    if passing is None or not (cut.host == k).any():
        return None
    joint = _part(cut, k, passing, cut.phi)
    sizes, angle = _sizes(cut, k, joint), passing.angle
    exact = float(sizes[int(np.abs(sizes - joint.diameter).argmin())])
    ways = [(float(joint.spread(np.array(angle), np.array(exact))), angle, exact)]
    if ways[0][0] > EXACT:
        ways += joint.searched(angle, sizes)
    _, lean, size = min(ways, key=lambda way: (round(way[0], 9), way[2]))
    if cut.partial or len(cut.hosts) > 1:
        joint = _part(cut, k, passing, np.linspace(0.0, 360.0, FINE, endpoint=False))
    misfit, place = joint.fit(lean, size)
    if not math.isfinite(misfit):
        return None
    acute = joint.acute if lean <= 90.0 else joint.acute + 180.0
    return Cutter(size, min(lean, 180.0 - lean), acute % 360.0, misfit=misfit, place=place)


class _Part(NamedTuple):
    """The part of a cut on one host: its phi and s; `acute` the phi that psi counts from, `offset` signed.

    `diameter` is the host's where the axes pass.
    """

    cut: Cut
    phi: Array
    s: Array
    acute: float
    offset: float
    start: float
    diameter: float

    def every(self, step: int) -> _Part:
        """The same with fewer samples, first and last included."""
        keep = np.unique(np.append(np.arange(0, len(self.phi), step), len(self.phi) - 1))
        return _Part(
            self.cut, self.phi[keep], self.s[keep], self.acute,
            offset=self.offset, start=self.start, diameter=self.diameter,
        )  # fmt: skip

    def spread(self, angle: Array, diameter: Array) -> Array:
        """The misfit of cylinders, of the shape of `angle` and `diameter`; infinite where one is missed."""
        off = self._off(angle, diameter)
        found: Array = off.max(axis=-1) - off.min(axis=-1)
        return np.where(np.isnan(found), np.inf, found)

    def fit(self, angle: float, diameter: float) -> tuple[float, float]:
        """The misfit of one cylinder, and where its axis crosses this one's as s: half over, half under."""
        off = self._off(np.array(angle), np.array(diameter))
        low, high = float(off.min()), float(off.max())
        return (math.inf if math.isnan(high - low) else high - low), self.start - (low + high) / 2

    def searched(self, angle: float, sizes: Array) -> list[tuple[float, float, float]]:
        """The best sizes, each at its best angle about `angle`: misfit, angle, diameter."""
        angles = np.linspace(angle - LEAN, angle + LEAN, ANGLES)
        rough = self.every(COARSE).spread(angles[:, None], sizes[None, :])
        best = rough.min(axis=0)
        kept = [i for i in np.argsort(best)[:KEPT] if np.isfinite(best[i])]
        near = angles[rough[:, kept].argmin(axis=0)]
        return self.narrowed(sizes[kept], near, 2 * LEAN / (ANGLES - 1))

    def narrowed(self, sizes: Array, angles: Array, step: float) -> list[tuple[float, float, float]]:
        """The least misfit of each size (n,) between two neighbours of its angle: misfit, angle, diameter."""
        a, b = angles - step, angles + step
        for _ in range(NARROWED):
            c, d = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
            at_c, at_d = self.spread(np.stack([c, d]), sizes)
            a, b = np.where(at_c < at_d, a, c), np.where(at_c < at_d, d, b)
        middle = (a + b) / 2
        found = np.stack([self.spread(middle, sizes), middle, sizes], axis=1)
        return [(misfit, angle, size) for misfit, angle, size in found.tolist()]

    def _off(self, angle: Array, diameter: Array) -> Array:
        """Cylinder minus curve, mm, its samples last; the cylinder's axis crosses at `start`."""
        t = np.radians(angle)[..., None]
        psi = np.radians(self.phi - self.acute)
        tube, s = self.cut.end.tube.profile, np.broadcast_to(self.s, np.broadcast_shapes(t.shape, psi.shape))
        for _ in range(1 if tube.constant else TAPERS):
            known = np.where(np.isnan(s), self.s, s)
            r = tube.radius(np.broadcast_to(self.phi, s.shape), self.cut.stations(known))
            s = self.start + _cylinder(r, psi, t, radius=diameter[..., None] / 2, offset=self.offset)
        found: Array = s - self.s
        return found


def _cylinder(r: Array, psi: Array, t: Array, radius: Array, offset: float) -> Array:
    """The cylinder's s, from where its axis crosses this one; NaN where a generator misses it."""
    room = radius**2 - (r * np.sin(psi) - offset) ** 2
    room = np.where((room < 0.0) & (room > -TANGENT * radius**2), 0.0, room)
    with np.errstate(invalid="ignore"):
        found: Array = (r * np.cos(psi) * np.cos(t) + np.sqrt(room)) / np.sin(t)
    return found


def _part(cut: Cut, k: int, passing: Approach, phi: Array) -> _Part:
    """The part of a cut that lies on host `k`, at samples `phi`."""
    s, host = (cut.s, cut.host) if phi is cut.phi else cut.at(phi)
    mine = host == k
    here, there = cut.end.triad, cut.hosts[k].tube.path.at(passing.second)
    into = cut.end.inward * here.along
    along = there.along if float(there.along @ into) >= 0.0 else -there.along
    towards = unit(square_to(along, here.along))
    acute = math.degrees(math.atan2(float(towards @ here.across), float(towards @ here.reference)))
    side = cross(here.along, towards)
    apart = float((there.at - here.at) @ side)
    height, _ = cut.hosts[k].tube.diameter_at(passing.second)
    start = cut.end.inward * (passing.first - cut.origin)
    return _Part(cut, phi[mine], s[mine], acute, offset=apart, start=start, diameter=height)


def _sizes(cut: Cut, k: int, joint: _Part) -> Array:
    """The cutters about as large as the host is between the ends of the part."""
    host = cut.hosts[k].tube
    points = cut.points(joint.phi, joint.s)
    near = nearest_host_axis(cut.end, host)
    middle = 0.0 if near is None else near.second
    axis = host.path.at(middle)
    stations = middle + (points - axis.at) @ axis.along
    heights, widths = host.profile.halves(np.append(stations, middle))
    low, high = 2 * min(heights.min(), widths.min()), 2 * max(heights.max(), widths.max())
    near_by: Array = SIZES[(low - AROUND <= SIZES) & (high + AROUND >= SIZES)]
    return near_by if len(near_by) else SIZES

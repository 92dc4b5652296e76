"""Where the generators of one tube's end meet another tube.

A generator is the line on the branch at one phi. In stations t of the branch,

    P(t) = axis(t) + r(phi, t) w(phi),    w = cos(phi) reference + sin(phi) across

Where both tubes' sections keep their shape (round, cone, an oval that does not change), P is straight
and the host's surface is a quadric: the root is had in closed form. Else it is found by looking
for changes of sign along the generator and halving, on all generators at once.

Of several roots the one furthest into the branch counts: what lies beyond it, towards the end, is cut off.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from layout.geometry.space.profile import TaperSpan, polar_radius
from layout.geometry.space.tube import Tube, TubeEnd
from layout.geometry.space.vectors import PARALLEL, Approach, Array, Indices, approach

TOUCH = 1e-12
"""A generator that only touches (equal diameters, tangent tubes): a discriminant this far below 0,
relative to its terms, is rounding."""
EDGE = 1e-9
"""A root on the border of two spans belongs to both, mm."""
COARSE, FINE = 64, 8
"""Stretches of a generator, and looks in each where it may meet the host: 0.5 mm apart or less over the
longest cut of two 40 mm tubes at 20 degrees."""
SURE = 1.5
"""A stretch is passed over where even a measure that falls so many times as fast as it can is not 0 in it."""
FAR_OUT = 3.0
"""The measure up to which that is asked, at the surface of a cone."""
ROUNDS, BY_CHORD = 84, 40
CLOSE = 1e-12
EXACT = 1e-14
"""A root is had when its bracket (mm) or the measure at it is down to rounding."""
DIPS = 26
"""Steps of the golden section: the bottom of a dip to 4e-6 of a sample's width, its depth to rounding."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
WIDENED = 1.25
"""The stretch looked at, over the longest that two tubes can share."""


class Host(NamedTuple):
    """A tube that another is cut against, taken as endless but where `low` or `high` end it.

    Limits are stations on the host, mm; there it has a flat face. The first tube an end is cut against is
    endless, so that the curve is whole even at a short head tube; one that may or may not be met is there
    only where it is.
    """

    tube: Tube
    low: float = -math.inf
    high: float = math.inf


def nearest_host_axis(end: TubeEnd, host: Tube) -> Approach | None:
    """Where the end's axis passes the host's, the nearest of its pieces; None where all run parallel.

    `first` is the station on the branch, `second` the one on the host.
    """
    best: Approach | None = None
    least = math.inf
    here = end.triad
    for k, piece in enumerate(host.path.pieces):
        middle = piece.start if piece.straight else piece.at((piece.low + piece.high) / 2)
        from_station = piece.low if piece.straight else (piece.low + piece.high) / 2
        found = approach(here, middle)
        if found is None:
            continue
        station = from_station + found.second
        low = -math.inf if k == 0 else piece.low
        high = math.inf if k == len(host.path.pieces) - 1 else piece.high
        beyond = max(low - station, station - high, 0.0)
        if beyond < least:
            least = beyond
            best = Approach(end.t + found.first, station, found.distance, found.angle)
    return best


def window(end: TubeEnd, host: Tube, near: Approach) -> tuple[float, float]:
    """The stations of the branch between which it can meet the host."""
    reach = end.tube.profile.greatest + host.profile.greatest
    half = WIDENED * reach / max(math.sin(math.radians(near.angle)), PARALLEL)
    return near.first - half, near.first + half


def meet(end: TubeEnd, host: Host, phi: Array, near: Approach) -> Array:
    """Stations t of the branch where its generators at `phi` (n,) meet `host`; NaN where they miss."""
    looked = window(end, host.tube, near)
    if (
        host.tube.path.straight
        and _is_closed(_between(end.tube, looked))
        and _is_closed(host.tube.profile.spans())
    ):
        return _closed_form(end, host, phi, looked)
    return _search_roots(end, host, phi, looked)


def _is_closed(spans: Iterable[TaperSpan]) -> bool:
    return all(s.ratio is not None for s in spans)


def _closed_form(end: TubeEnd, host: Host, phi: Array, looked: tuple[float, float]) -> Array:
    """The innermost root over every pair of spans, and over the host's shoulders."""
    best = np.full(phi.shape, -np.inf)
    into = end.inward
    piece, profile = host.tube.path.pieces[0], host.tube.profile
    for span in _between(end.tube, looked):
        start, slope = _line(end, span, phi)
        q, v = piece.start.local(start), piece.start.local_direction(slope)
        q[:, 0] += piece.low
        roots = [(t, over.low, over.high)
                 for over in profile.spans() for t in _quadric_roots(q, v, over, profile.turned)]  # fmt: skip
        roots += [(t, -math.inf, math.inf) for t in _shoulder_roots(q, v, host.tube)]
        roots += [(t, -math.inf, math.inf) for t in _end_roots(q, v, host)]
        for t, low, high in roots:
            x = q[:, 0] + t * v[:, 0]
            held = (t >= span.low - EDGE) & (t <= span.high + EDGE)
            held &= (x >= max(low, host.low) - EDGE) & (x <= min(high, host.high) + EDGE)
            best = np.where(held, np.fmax(best, into * t), best)
    found: Array = np.where(np.isinf(best), np.nan, into * best)
    return found


def _between(tube: Tube, looked: tuple[float, float]) -> list[TaperSpan]:
    """The spans of a branch that reach into the stretch looked at."""
    return [s for s in tube.profile.spans() if s.high >= looked[0] and s.low <= looked[1]]


def _line(end: TubeEnd, span: TaperSpan, phi: Array) -> tuple[Array, Array]:
    """A span's generators as P = start + t * slope, both (n, 3)."""
    here, profile = end.triad, end.tube.profile
    ratio = span.ratio
    if ratio is None:
        raise ValueError("the generators of a section that changes its shape are not straight")
    shape = np.ones(phi.shape)
    if not span.is_round:
        shape = polar_radius(shape, ratio * shape, phi - profile.turned)
    a = np.radians(phi)
    spoke = (np.cos(a) * shape)[:, None] * here.reference + (np.sin(a) * shape)[:, None] * here.across
    start = here.at - end.t * here.along + span.height * spoke
    return start, here.along + span.height_slope * spoke


def _quadric_roots(q: Array, v: Array, span: TaperSpan, turned: float) -> tuple[Array, Array]:
    """Both stations where q + t v lies on an elliptic cylinder or cone of constant ratio; NaN if none.

    In the host's own coordinates (x along, y up its height, z across): y^2 + (z / ratio)^2 = h(x)^2.
    """
    ratio = span.ratio or 1.0
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    qx, vx = q[:, 0], v[:, 0]
    qy, vy = q[:, 1] * c + q[:, 2] * s, v[:, 1] * c + v[:, 2] * s
    qz, vz = (q[:, 2] * c - q[:, 1] * s) / ratio, (v[:, 2] * c - v[:, 1] * s) / ratio
    k = span.height_slope
    h = span.height + k * qx
    a = vy * vy + vz * vz - k * k * vx * vx
    b = qy * vy + qz * vz - k * vx * h
    # The discriminant b^2 - a c as the radius less the line's distance from the axis: no cancelling
    # of the large terms that a distant start brings.
    cross = qy * vz - qz * vy
    disc = (vy * vy + vz * vz) * h * h - 2.0 * k * vx * h * (qy * vy + qz * vz)
    disc += k * k * vx * vx * (qy * qy + qz * qz) - cross * cross
    size = a * h * h + cross * cross
    disc = np.where((disc < 0.0) & (disc > -TOUCH * np.abs(size)), 0.0, disc)
    with np.errstate(invalid="ignore", divide="ignore"):
        root = np.sqrt(disc)
        one, two = (-b - root) / a, (-b + root) / a
    ok_one = span.height + k * (qx + one * vx) > 0.0
    ok_two = span.height + k * (qx + two * vx) > 0.0
    return np.where(ok_one, one, np.nan), np.where(ok_two, two, np.nan)


def _shoulder_roots(q: Array, v: Array, host: Tube) -> list[Array]:
    """Stations where generators cross the flat shoulder of a step in the host; NaN where they do not."""
    found = []
    profile = host.profile
    c, s = math.cos(math.radians(profile.turned)), math.sin(math.radians(profile.turned))
    for station, before, after in profile.steps():
        with np.errstate(invalid="ignore", divide="ignore"):
            t = (station - q[:, 0]) / v[:, 0]
            y, z = q[:, 1] + t * v[:, 1], q[:, 2] + t * v[:, 2]
            up, over = y * c + z * s, z * c - y * s
            inner = np.minimum(np.hypot(up / before[0], over / before[1]),
                               np.hypot(up / after[0], over / after[1]))  # fmt: skip
            outer = np.maximum(np.hypot(up / before[0], over / before[1]),
                               np.hypot(up / after[0], over / after[1]))  # fmt: skip
        found.append(np.where((inner <= 1.0) & (outer >= 1.0), t, np.nan))
    return found


def _end_roots(q: Array, v: Array, host: Host) -> list[Array]:
    """Stations where generators cross the flat face of an end of the host; NaN where they do not."""
    found = []
    c, s = (f(math.radians(host.tube.profile.turned)) for f in (math.cos, math.sin))
    for station in (host.low, host.high):
        if math.isinf(station):
            continue
        height, width = host.tube.profile.halves(station)
        with np.errstate(invalid="ignore", divide="ignore"):
            t = (station - q[:, 0]) / v[:, 0]
            y, z = q[:, 1] + t * v[:, 1], q[:, 2] + t * v[:, 2]
            inside = np.hypot((y * c + z * s) / height, (z * c - y * s) / width) <= 1.0
        found.append(np.where(inside, t, np.nan))
    return found


class _Looks(NamedTuple):
    """The host's measure at stations `grid` (m,) of generators `phi` (n,): `value` (n, m), below 0 inside.

    The grid runs from far in the branch out to its end, so the first look inside the host is what counts.
    """

    end: TubeEnd
    host: Host
    phi: Array
    grid: Array
    value: Array

    def entering(self) -> tuple[Array, Array]:
        """Stations inside and outside the host with the innermost root between them, (n,); NaN where none is.

        That is at the first look inside, or where a generator dips into the host between two looks.
        """
        bracket = _first_inside(self.value)
        known = bracket >= 0
        low, high = np.full(self.phi.shape, np.nan), np.full(self.phi.shape, np.nan)
        high[known], low[known] = self.grid[bracket[known] - 1], self.grid[bracket[known]]
        rows, bottom, start = self._grazing(np.where(known, bracket, len(self.grid)))
        low[rows], high[rows] = bottom, start
        return low, high

    def _grazing(self, limit: Indices) -> tuple[Indices, Array, Array]:
        """Generators that dip into the host before their look `limit`: which, the bottom, where it begins."""
        value, none = self.value, np.empty(0)
        before, here, after = value[:, :-2], value[:, 1:-1], value[:, 2:]
        dip = (here <= before) & (here <= after) & (here > 0.0) & np.isfinite(before + after)
        dip &= np.arange(1, len(self.grid) - 1)[None, :] < limit[:, None] - 1
        rows: Indices = np.flatnonzero(dip.any(axis=1))
        if len(rows) == 0:
            return rows, none, none
        at = dip[rows].argmax(axis=1) + 1
        start = self.grid[at - 1]
        bottom = self._lowest(rows, start, self.grid[at + 1])
        touches = _outside(self.end, self.host, self.phi[rows], bottom) <= TOUCH
        return rows[touches], bottom[touches], start[touches]

    def _lowest(self, rows: Indices, a: Array, b: Array) -> Array:
        """Where between stations `a` and `b` the measure is least, by golden section."""
        for _ in range(DIPS):
            c, d = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
            at_c, at_d = (_outside(self.end, self.host, self.phi[rows], t) for t in (c, d))
            a, b = np.where(at_c < at_d, a, c), np.where(at_c < at_d, d, b)
        found: Array = (a + b) / 2
        return found


def _search_roots(end: TubeEnd, host: Host, phi: Array, looked: tuple[float, float]) -> Array:
    """The innermost root on every generator, by sampling, then halving; grazing contact included."""
    inner, outer = (looked[1], looked[0]) if end.inward > 0 else looked
    grid = np.linspace(inner, outer, COARSE * FINE + 1)
    value = _looked_at(end, host, phi, grid)
    low, high = _Looks(end, host, phi, grid, value=value).entering()
    hit = ~np.isnan(low)
    found = np.full(phi.shape, np.nan)
    found[hit] = _narrow_roots(end, host, phi[hit], low=low[hit], high=high[hit])
    return found


def _looked_at(end: TubeEnd, host: Host, phi: Array, grid: Array) -> Array:
    """The host's measure along each generator (n, m); infinite in stretches that are surely outside."""
    value = np.full((len(phi), len(grid)), math.inf)
    value[:, ::FINE] = _outside(end, host, phi[:, None], grid[None, ::FINE])
    rows, stretch = np.nonzero(value[:, :-1:FINE] + value[:, FINE::FINE] <= _least_sum(end, host, grid))
    looks = stretch[:, None] * FINE + np.arange(1, FINE)
    value[rows[:, None], looks] = _outside(end, host, phi[rows][:, None], grid[looks])
    return value


def _least_sum(end: TubeEnd, host: Host, grid: Array) -> float:
    """Measures at a stretch's ends with a greater sum leave no room for the host between them.

    Endless where the measure leaps: at a step, and at the end of a host.
    """
    branch, there = end.tube.profile, host.tube.profile
    if branch.steps() or there.steps() or math.isfinite(host.low) or math.isfinite(host.high):
        return math.inf
    speed = 1.0 + branch.steepest
    falls = speed * (1.0 + FAR_OUT * there.steepest) / there.least
    return SURE * falls * FINE * abs(float(grid[1] - grid[0]))


def _narrow_roots(end: TubeEnd, host: Host, phi: Array, low: Array, high: Array) -> Array:
    """The root between `low` (inside) and `high` (outside), by false position with the Illinois rule.

    Every fourth step halves the bracket, and all after the first forty: at a step of the host, or at a
    contact so flat that its chord is no guide.
    """
    at_low, at_high = _outside(end, host, phi, low), _outside(end, host, phi, high)
    for step in range(ROUNDS):
        with np.errstate(invalid="ignore", divide="ignore"):
            chord = low - at_low * (high - low) / (at_high - at_low)
        halved = (low + high) / 2
        usable = np.isfinite(chord) & (step % 4 < 3 and step < BY_CHORD)
        mid = np.where(usable, chord, halved)
        value = _outside(end, host, phi, mid)
        inside = value <= 0.0
        at_high = np.where(inside, at_high / np.where(usable, 2.0, 1.0), value)
        at_low = np.where(inside, value, at_low / np.where(usable, 2.0, 1.0))
        low, high = np.where(inside, mid, low), np.where(inside, high, mid)
        if (
            float(np.abs(high - low).max(initial=0.0)) < CLOSE
            or float(np.abs(value).max(initial=0.0)) < EXACT
        ):
            break
    return np.where(np.abs(at_low) < np.abs(at_high), low, high)


def _first_inside(value: Array) -> Indices:
    """Index of the first sample inside the host on each row, coming from the branch; -1 if none."""
    inside = value <= 0.0
    inside[:, 0] = False
    first = inside.argmax(axis=1)
    found: Indices = np.where(inside.any(axis=1), first, -1)
    return found


def _outside(end: TubeEnd, host: Host, phi: Array, t: Array) -> Array:
    """The host's measure at the branch's surface; `phi` and `t` broadcast."""
    r, here, a = end.tube.profile.radius(phi, t), end.triad, np.radians(phi)
    c, s, ahead = np.cos(a), np.sin(a), t - end.t
    axes = zip(here.at, here.along, here.reference, here.across, strict=True)
    points = np.stack([at + ahead * along + r * (c * up + s * over) for at, along, up, over in axes])
    return host.tube.outside(np.moveaxis(points, 0, -1), host.low, host.high)

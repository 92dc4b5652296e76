"""A tube's outside laid flat, as the paper wrapped round it is, and a mitre's curve traced on it.

The paper's middle, which neither stretches nor shrinks, lies half its thickness outside the tube:

    round       x = (r + p/2) phi                       p: the paper's thickness
    oval        x = arc of the ellipse + (p/2) psi      psi: the direction of the surface's normal
    cone        a sector: rho = r' / sin(a), theta = phi sin(a)     tan(a): the taper, r' at the middle

x grows with phi, y with the station. An oval that changes its shape cannot be laid flat; it is taken as the
oval at the curve's mid-station, and `strain` says how far off that is at worst.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from layout.geometry.space.mitre import Cut
from layout.geometry.space.profile import Profile, TaperSpan, polar_radius
from layout.geometry.space.vectors import Array

PAPER = 0.1
"""Thickness of office and plotter paper of 80 g/m2, mm; common practice."""
ARC_SAMPLES = 28801
"""Samples of an ellipse's arc over two turns each way, 0.05 degrees apart: its length to 2e-6 mm."""
TOLERANCE = 0.002
"""A traced curve's chords keep this near the curve, mm: a tenth of what a template may be off."""
DEEPEST = 18
"""Halvings of a degree where a curve ends or jumps: 4e-6 degrees."""
FLAT_CONE = 1e-9
"""Under this taper a cone is a cylinder: its apex is out of reach of the arithmetic."""


@dataclass(frozen=True)
class Development:
    """How phi and station are laid flat; see the module. `station` is where y = 0."""

    station: float
    height: float
    width: float
    turned: float = 0.0
    taper: float = 0.0
    paper: float = PAPER
    strain: float = 0.0

    def flat(self, phi: Array, station: Array) -> tuple[Array, Array]:
        """Both x and y, mm, of points at `phi` (degrees, not wrapped: 370 is past 360) and `station`."""
        ahead = np.asarray(station, dtype=np.float64) - self.station
        f = np.asarray(phi, dtype=np.float64)
        if abs(self.taper) >= FLAT_CONE:
            return self._cone(f, ahead)
        if self.height == self.width:
            return np.radians(f) * (self.height + self.paper / 2) + 0.0 * ahead, ahead + 0.0 * f
        return self._arc(f) + 0.0 * ahead, ahead + 0.0 * f

    @property
    def girth(self) -> float:
        """Length of the paper once round at `station`, mm."""
        if abs(self.taper) >= FLAT_CONE:
            return 2 * math.pi * (self.height + self.paper / 2 * math.cos(math.atan(self.taper)))
        x, _ = self.flat(np.array([-180.0, 180.0]), np.full(2, self.station))
        return float(x[1] - x[0])

    def _cone(self, phi: Array, ahead: Array) -> tuple[Array, Array]:
        slope = math.atan(self.taper)
        sine, cosine = math.sin(slope), math.cos(slope)
        middle = self.height + self.paper / 2 * cosine
        rho = (middle + self.taper * ahead) / sine
        theta = np.radians(phi) * sine
        apex = middle / sine
        # About the apex, with y along the generator at phi = 0; 1 - cos as a sine keeps its digits.
        return rho * np.sin(theta), (rho - apex) - 2.0 * rho * np.sin(theta / 2) ** 2

    def _arc(self, phi: Array) -> Array:
        """Length of the paper from phi = 0 to `phi` round an oval, mm."""
        polar, total = self._table
        zero = np.interp(math.radians(-self.turned), polar, total)
        found: Array = np.interp(np.radians(phi - self.turned), polar, total) - zero
        return found

    @cached_property
    def _table(self) -> tuple[Array, Array]:
        """Polar angle from the height (radians) and the paper's length from it, over four turns."""
        e = np.linspace(-4 * math.pi, 4 * math.pi, ARC_SAMPLES)
        speed = np.hypot(self.height * np.sin(e), self.width * np.cos(e))
        length = np.concatenate([[0.0], np.cumsum((speed[1:] + speed[:-1]) / 2) * (e[1] - e[0])])
        length -= length[len(e) // 2]
        normal = _same_turn(np.arctan2(self.height * np.sin(e), self.width * np.cos(e)), e)
        polar = _same_turn(np.arctan2(self.width * np.sin(e), self.height * np.cos(e)), e)
        return polar, length + self.paper / 2 * normal


def development(cut: Cut, paper: float = PAPER) -> Development:
    """How the paper for a mitre is laid flat, y = 0 at the station of the cut's origin."""
    profile = cut.end.tube.profile
    stations = cut.stations(np.array([cut.least.s, cut.greatest.s]))
    middle = float(stations.mean())
    span = _span_at(profile, middle)
    height, width = (float(v) for v in span.halves(cut.origin))
    taper = span.height_slope
    if not span.is_round:
        height, width = (float(v) for v in profile.halves(middle))
        taper = 0.0
    laid = Development(cut.origin, height, width, turned=profile.turned, taper=taper, paper=paper)
    strain = _strain(profile, laid, stations)
    return Development(
        cut.origin, height, width, turned=profile.turned, taper=taper, paper=paper, strain=strain
    )


def trace(cut: Cut, laid: Development, first: float = 0.0) -> list[tuple[Array, Array]]:
    """The curve once round from phi `first`, as runs of (phi, s) with chords within TOLERANCE when laid flat.

    Each run is a stretch without a miss, its ends where the tube begins to pass beside the others.
    Where there is any, the first run begins at one, at `first` or after it; else the one run goes
    from `first` to `first` + 360.
    """
    phi = np.linspace(first, first + 360.0, 361)
    s = cut.at(phi)[0]
    start = int(np.isnan(s).argmax())
    phi, s = phi + start, np.concatenate([s[start:-1], s[: start + 1]])
    open_ = np.ones(len(phi) - 1, dtype=bool)
    for _ in range(DEEPEST):
        k = np.flatnonzero(open_)
        if len(k) == 0:
            break
        mid = (phi[k] + phi[k + 1]) / 2
        s_mid = cut.at(mid)[0]
        bad = _off_chord(cut, laid, (phi[k], s[k]), mid=(mid, s_mid), b=(phi[k + 1], s[k + 1]))
        open_ = np.zeros(len(phi) - 1, dtype=bool)
        open_[k[bad]] = True
        phi, s = np.insert(phi, k[bad] + 1, mid[bad]), np.insert(s, k[bad] + 1, s_mid[bad])
        open_ = np.repeat(open_, np.where(open_, 2, 1))
    return _runs(phi, s)


def _off_chord(
    cut: Cut,
    laid: Development,
    a: tuple[Array, Array],
    mid: tuple[Array, Array],
    b: tuple[Array, Array],
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which middles are further from their chords than allowed, or are hit where an end is missed."""
    (xa, ya), (xm, ym), (xb, yb) = (laid.flat(phi, cut.stations(s)) for phi, s in (a, mid, b))
    run_x, run_y = xb - xa, yb - ya
    size = np.maximum(np.hypot(run_x, run_y), 1e-12)
    off = np.abs((xm - xa) * run_y - (ym - ya) * run_x) / size
    some = np.isnan(a[1]).astype(int) + np.isnan(mid[1]).astype(int) + np.isnan(b[1]).astype(int)
    found: np.ndarray[tuple[int], np.dtype[np.bool_]] = np.where(some == 0, off > TOLERANCE, some < 3)
    return found


def _runs(phi: Array, s: Array) -> list[tuple[Array, Array]]:
    hit = ~np.isnan(s)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], hit, [False]]).astype(int)))
    return [(phi[a:b], s[a:b]) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def _span_at(profile: Profile, station: float) -> TaperSpan:
    return next(s for s in profile.spans() if station <= s.high)


def _strain(profile: Profile, laid: Development, stations: Array) -> float:
    """How far round, mm, the paper is off at worst where the tube is not what it was laid flat as."""
    phi = np.arange(0.0, 360.0, 5.0)
    worst = 0.0
    for station in np.linspace(stations.min(), stations.max(), 9):
        change = laid.taper * (station - laid.station)
        height, width = np.array(laid.height + change), np.array(laid.width + change)
        shown = polar_radius(height, width, phi - profile.turned)
        true = profile.radius(phi, np.full(phi.shape, station))
        worst = max(worst, float(np.abs(true - shown).max()) * math.pi)
    return worst


def _same_turn(angle: Array, like: Array) -> Array:
    """Angles (radians) moved by whole turns to lie nearest those of `like`."""
    found: Array = angle + 2 * math.pi * np.round((like - angle) / (2 * math.pi))
    return found

"""Tubes in space as seen square to a plane: edges, cut ends, axes, at true scale.

The plane lies through two directions at right angles, `ahead` and `aside`, and a point; what is drawn is the
shadow on it. Along it true lengths stay true; what leans out of it is shortened.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from layout.drafting.entities import Line, Point, Polyline, Stroke
from layout.drafting.style import Layer, Pen
from layout.geometry.space.assembly import Assembly
from layout.geometry.space.mitre import Cut
from layout.geometry.space.path import PathPiece
from layout.geometry.space.tube import FIRST, SECOND, Tube, TubeEnd
from layout.geometry.space.vectors import Array

SAGITTA = 0.005
"""A bend's edges are drawn in chords this near, mm."""
COARSEST = 400.0
DIMPLE_CHORDS = 33
"""Points of a dimple's edge: chords within 0.005 mm of a trough of 60, 3 deep."""


class ProjectionPlane(NamedTuple):
    """A plane of projection: `origin`, and the unit vectors that become x and y on paper."""

    origin: Array
    ahead: Array
    aside: Array

    def point(self, p: Array) -> Point:
        """One point's shadow."""
        off = p - self.origin
        return float(off @ self.ahead), float(off @ self.aside)

    def points(self, many: Array) -> tuple[Point, ...]:
        """Shadows of points (n, 3)."""
        off = many - self.origin
        return tuple((float(x), float(y)) for x, y in zip(off @ self.ahead, off @ self.aside, strict=True))

    @property
    def towards(self) -> Array:
        """The direction towards the viewer."""
        found: Array = np.cross(self.ahead, self.aside)
        return found


def axis(tube: Tube, plane: ProjectionPlane, low: float, high: float) -> Polyline:
    """The axis from one station to another, on past the ends."""
    stations = _stations(tube, low, high)
    return Polyline(plane.points(np.array([tube.path.at(t).at for t in stations])), Layer.CENTRE)


def outline(
    frame: Assembly,
    tube: Tube,
    plane: ProjectionPlane,
    pen: Pen | None = None,
    *,
    without: str = "",
    facing: bool = False,
) -> Iterator[Stroke]:
    """Both edges of a tube between its cut ends, and the ends: mitres in full, square ends as a line.

    Where a mitre lies on the tube called `without` it is not drawn: it runs on a line that is there
    already. `facing` draws only the half of a mitre that faces the viewer.
    """
    cuts = [frame.cut_of(tube.name, k) for k in (FIRST, SECOND)]
    for side in (1.0, -1.0):
        ends = [_edge_end(frame, tube, plane, k, side=side) for k in (FIRST, SECOND)]
        stations = _stations(tube, ends[0], ends[1])
        edge = np.array([_edge_point(tube, plane, t, side) for t in stations])
        yield Polyline(plane.points(edge), Layer.OUTLINE, pen=pen)
    for which, cut in enumerate(cuts):
        if cut is None:
            t = 0.0 if which == FIRST else tube.length
            a, b = (plane.point(_edge_point(tube, plane, t, side)) for side in (1.0, -1.0))
            yield Line(a, b, Layer.OUTLINE, pen)
            continue
        phi = np.arange(0.0, 361.0)
        if facing:
            phi = _sideways_phi(cut.end, plane, 1.0) + np.arange(0.0, 181.0)
        for curve in _mitre(cut, phi, without):
            yield Polyline(plane.points(curve), Layer.OUTLINE, pen=pen)


def _mitre(cut: Cut, phi: Array, without: str) -> Iterator[Array]:
    """Points (n, 3) of a mitre's pieces over `phi`, those on the tube called `without` left out.

    A piece that ends where another tube takes over reaches the first point on that one.
    """
    s, host = cut.at(phi)
    left_out = [k for k, name in enumerate(cut.against) if name == without]
    hit = ~np.isnan(s)
    drawn = hit & ~np.isin(host, left_out)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], drawn, [False]]).astype(int)))
    for a, b in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        first = a - 1 if a > 0 and hit[a - 1] else a
        last = b + 1 if b < len(phi) and hit[b] else b
        if last - first > 1:
            yield cut.points(phi[first:last], s[first:last])


def half_width(tube: Tube, plane: ProjectionPlane, station: float) -> float:
    """Half the tube's width on paper at a station."""
    return tube.half_extent(station, _sideways(plane, tube.path.at(station).along))


def section(tube: Tube, plane: ProjectionPlane, station: float) -> Polyline:
    """The tube's section at a station, seen on the plane: for a tube that stands up out of it."""
    here = tube.path.at(station)
    phi = np.arange(0.0, 361.0, 3.0)
    r = tube.profile.radius(phi, np.full(phi.shape, station))
    a = np.radians(phi)
    ring = here.at + (r * np.cos(a))[:, None] * here.reference + (r * np.sin(a))[:, None] * here.across
    return Polyline(plane.points(ring), Layer.OUTLINE)


def _sideways(plane: ProjectionPlane, along: Array) -> Array:
    """The direction in the plane square to the axis's shadow."""
    x, y = float(along @ plane.ahead), float(along @ plane.aside)
    size = math.hypot(x, y)
    found: Array = (-y * plane.ahead + x * plane.aside) / size
    return found


def _edge_point(tube: Tube, plane: ProjectionPlane, station: float, side: float) -> Array:
    here = tube.path.at(station)
    way = side * _sideways(plane, here.along)
    found: Array = here.at + tube.reach(station, way) * way
    return found


def _edge_end(frame: Assembly, tube: Tube, plane: ProjectionPlane, which: int, side: float) -> float:
    """The station where an edge meets the cut: at the generator that faces sideways there."""
    cut = frame.cut_of(tube.name, which)
    end = tube.end(which)
    if cut is None:
        return end.t
    s = float(cut.at(np.array([_sideways_phi(end, plane, side)]))[0][0])
    if math.isnan(s):
        return end.t
    return float(cut.stations(np.array([s]))[0])


def _sideways_phi(end: TubeEnd, plane: ProjectionPlane, side: float) -> float:
    """The generator (degrees) at the end that makes the edge on one side."""
    sideways = side * _sideways(plane, end.triad.along)
    return math.degrees(math.atan2(float(sideways @ end.triad.across), float(sideways @ end.triad.reference)))


def _stations(tube: Tube, low: float, high: float) -> list[float]:
    """Stations to draw through: ends, where the profile changes, and chords round bends."""
    stops = {low, high, *(t for t in tube.profile.stations if low < t < high)}
    for dimple in tube.dimples:
        span = np.linspace(-dimple.length / 2, dimple.length / 2, DIMPLE_CHORDS) + dimple.at
        stops |= {float(t) for t in span if low < t < high}
    for piece in tube.path.pieces:
        stops |= {t for t in (piece.low, piece.high) if low < t < high}
        if not piece.straight:
            stops |= {t for t in _stations_round_bend(piece, tube.profile.greatest) if low < t < high}
    return sorted(stops)


def _stations_round_bend(piece: PathPiece, reach: float) -> Sequence[float]:
    radius = 1.0 / piece.curvature + reach
    step = min(math.sqrt(8 * SAGITTA * radius), COARSEST)
    count = max(2, math.ceil((piece.high - piece.low) / step))
    return [piece.low + (piece.high - piece.low) * k / count for k in range(1, count)]

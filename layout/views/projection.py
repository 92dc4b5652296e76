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
from layout.geometry.space.vectors import Array, Indices

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
    frame: Assembly, tube: Tube, plane: ProjectionPlane, pen: Pen | None = None, *, without: str = ""
) -> Iterator[Stroke]:
    """Both edges of a tube between its cut ends, and the ends: a mitre's half facing the viewer, or a line.

    Where a mitre lies on the tube called `without` it is not drawn: it runs on a line that is there
    already.
    """
    cuts = [frame.cut_of(tube.name, k) for k in (FIRST, SECOND)]
    curves = [None if cut is None else _facing_curve(cut, plane) for cut in cuts]
    lows, highs = (_edge_ends(tube.end(k), curve) for k, curve in enumerate(curves))
    for side, low, high in zip((1.0, -1.0), lows, highs, strict=True):
        edge = np.array([_edge_point(tube, plane, t, side) for t in _stations(tube, low, high)])
        yield Polyline(plane.points(edge), Layer.OUTLINE, pen=pen)
    for which, curve in enumerate(curves):
        if curve is None:
            t = 0.0 if which == FIRST else tube.length
            a, b = (plane.point(_edge_point(tube, plane, t, side)) for side in (1.0, -1.0))
            yield Line(a, b, Layer.OUTLINE, pen)
            continue
        for points in _mitre(curve, without):
            yield Polyline(plane.points(points), Layer.OUTLINE, pen=pen)


class _FacingCurve(NamedTuple):
    """The half of a mitre that faces the viewer, from one edge to the other: phi, s, which tube is met."""

    cut: Cut
    phi: Array
    s: Array
    host: Indices


def _facing_curve(cut: Cut, plane: ProjectionPlane) -> _FacingCurve:
    phi = _sideways_phi(cut.end, plane) + np.arange(0.0, 181.0)
    return _FacingCurve(cut, phi, *cut.at(phi))


def _mitre(curve: _FacingCurve, without: str) -> Iterator[Array]:
    """Points (n, 3) of a mitre's pieces, those on the tube called `without` left out.

    A piece that ends where another tube takes over reaches the first point on that one.
    """
    cut, phi, s, host = curve
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


def _edge_ends(end: TubeEnd, curve: _FacingCurve | None) -> Sequence[float]:
    """The stations where both edges meet the cut: at the generators that face sideways there."""
    if curve is None:
        return end.t, end.t
    stations = curve.cut.stations(curve.s[[0, -1]])
    return [end.t if math.isnan(t) else t for t in stations.tolist()]


def _sideways_phi(end: TubeEnd, plane: ProjectionPlane) -> float:
    """The generator (degrees) at the end that makes the edge on the first side; the other's is opposite."""
    sideways = _sideways(plane, end.triad.along)
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

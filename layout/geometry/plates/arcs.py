"""A curve as few lines and arcs that run on into each other, within a stated distance.

Between two points of the curve with their tangents lies a biarc: two arcs that meet with one
tangent, of which there is one where both take an equal share of the turning (K. M. Bolton's form,
"Biarc curves", 1975; from memory). Where it leaves the curve too far, the stretch is halved.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from layout.geometry.plates.contour import Array, ContourPiece, Point

FLAT = 1e-12
"""Sine of a turning under which an arc is a line."""
KINK = math.radians(4.0)
"""A curve that turns by more than this between samples, and much more than beside, has a corner there."""
SHARPER = 4.0


def fit_arcs(points: Array, within: float) -> list[ContourPiece]:
    """Lines and arcs along densely sampled points (n, 2), none of them over `within` mm off.

    Corners of the curve stay corners. Raises ValueError for fewer than two points.
    """
    if len(points) < 2:
        raise ValueError("a curve has two points or more")
    stops = [0, *_kinks(points), len(points) - 1]
    pieces: list[ContourPiece] = []
    for low, high in pairwise(stops):
        stretch = points[low : high + 1]
        pieces.extend(_fit(stretch, _tangents(stretch), within))
    return pieces


def _kinks(points: Array) -> list[int]:
    step = np.diff(points, axis=0)
    direction = np.unwrap(np.arctan2(step[:, 1], step[:, 0]))
    turn = np.abs(np.diff(direction))
    found = []
    for k in np.flatnonzero(turn > KINK):
        beside = np.concatenate([turn[max(k - 2, 0) : k], turn[k + 1 : k + 3]])
        if beside.size == 0 or turn[k] > SHARPER * beside.min():
            found.append(int(k) + 1)
    return found


def _tangents(points: Array) -> Array:
    """Direction of the curve at each sample, radians, by parabolas through three neighbours."""
    if len(points) == 2:
        way = points[1] - points[0]
        return np.full(2, math.atan2(way[1], way[0]))
    way = np.hypot(*np.diff(points, axis=0).T)
    station = np.concatenate([[0.0], np.cumsum(way)])
    slope = np.stack([np.gradient(points[:, k], station, edge_order=2) for k in (0, 1)], axis=1)
    found: Array = np.arctan2(slope[:, 1], slope[:, 0])
    return found


def _fit(points: Array, tangents: Array, within: float) -> list[ContourPiece]:
    """The stretch as one biarc where it is near enough, else as two halves."""
    last = len(points) - 1
    arcs = biarc(_point(points[0]), float(tangents[0]), _point(points[last]), float(tangents[last]))
    if last == 1 or (arcs and off(points, arcs) <= within):
        return arcs or [ContourPiece(_point(points[0]), _point(points[last]))]
    half = last // 2
    return [
        *_fit(points[: half + 1], tangents[: half + 1], within),
        *_fit(points[half:], tangents[half:], within),
    ]


def biarc(start: Point, first: float, end: Point, second: float) -> list[ContourPiece]:
    """Two arcs from `start` with direction `first` (radians) to `end` with `second`; a line where straight.

    Empty where no such arcs exist that turn by less than half a circle.
    """
    v = (end[0] - start[0], end[1] - start[1])
    t0, t1 = (math.cos(first), math.sin(first)), (math.cos(second), math.sin(second))
    t = (t0[0] + t1[0], t0[1] + t1[1])
    vt, vv = v[0] * t[0] + v[1] * t[1], v[0] ** 2 + v[1] ** 2
    denominator = 2.0 * (1.0 - (t0[0] * t1[0] + t0[1] * t1[1]))
    if denominator < FLAT:
        along = v[0] * t1[0] + v[1] * t1[1]
        if along <= 0.0:
            return []
        d = vv / (4.0 * along)
    else:
        root = vt * vt + denominator * vv
        d = (math.sqrt(root) - vt) / denominator
    if d <= 0.0:
        return []
    meet = (
        (start[0] + end[0]) / 2 + d * (t0[0] - t1[0]) / 2,
        (start[1] + end[1]) / 2 + d * (t0[1] - t1[1]) / 2,
    )
    one, two = _arc(start, first, meet), _arc_into(meet, end, second)
    return [p for p in (one, two) if p.chord > 0.0]


def _arc(start: Point, direction: float, end: Point) -> ContourPiece:
    """The arc that leaves `start` in a direction and comes to `end`."""
    chord = math.atan2(end[1] - start[1], end[0] - start[0])
    half = math.remainder(chord - direction, 2 * math.pi)
    return ContourPiece(start, end, 0.0 if abs(half) < FLAT else math.tan(half / 2))


def _arc_into(start: Point, end: Point, direction: float) -> ContourPiece:
    """The arc from `start` that arrives at `end` in a direction."""
    chord = math.atan2(end[1] - start[1], end[0] - start[0])
    half = math.remainder(direction - chord, 2 * math.pi)
    return ContourPiece(start, end, 0.0 if abs(half) < FLAT else math.tan(half / 2))


def off(points: Array, pieces: Sequence[ContourPiece]) -> float:
    """The greatest distance of points (n, 2) from the nearest of the pieces, mm."""
    least = np.full(len(points), np.inf)
    for piece in pieces:
        least = np.minimum(least, _distance(points, piece))
    return float(least.max())


def _distance(points: Array, piece: ContourPiece) -> Array:
    """Distance of points from one line or arc, to its ends where they lie beyond it."""
    ends = np.minimum(*(np.hypot(points[:, 0] - x, points[:, 1] - y) for x, y in (piece.start, piece.end)))
    (x0, y0), (x1, y1) = piece.start, piece.end
    if piece.bulge == 0.0:
        way = ((points[:, 0] - x0) * (x1 - x0) + (points[:, 1] - y0) * (y1 - y0)) / piece.chord**2
        beside = np.abs((points[:, 1] - y0) * (x1 - x0) - (points[:, 0] - x0) * (y1 - y0)) / piece.chord
        return np.where((way >= 0.0) & (way <= 1.0), beside, ends)
    cx, cy = piece.centre
    dx, dy = points[:, 0] - cx, points[:, 1] - cy
    middle = math.atan2(piece.at(0.5)[1] - cy, piece.at(0.5)[0] - cx)
    angle = np.abs(np.angle(np.exp(1j * (np.arctan2(dy, dx) - middle))))
    on = angle <= abs(piece.sweep) / 2
    return np.where(on, np.abs(np.hypot(dx, dy) - piece.radius), ends)


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])

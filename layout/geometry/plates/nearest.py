"""What lies how near to what on a part: webs between cuts, lines that stay on the material.

Rings are the chords of contours (`Shape.loop`), points (n, 2), the last one joined to the first.
Two rings that do not cross are nearest at a vertex of one of them, so distances are exact but for
the chords' sagitta.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from layout.geometry.plates.contour import Array, Point

BLOCK = 256
"""Vertices compared at once with all sides of a ring: bounds the memory, not the result."""
FEW = 32
"""The same where sides far away from all of them are left out first."""
COARSE = 8
"""One vertex in so many gives a first bound on a distance: any of them would do."""
AROUND = 3.0
"""Two places of one ring have a web between them where the way round is at least this many times
the way across; on the two sides of a square corner it is at most twice."""
LOOKS = 4.0
"""Between the places on a straight side where a web is looked for, mm."""
NARROWING = 0.1
NARROWING_LOOKS = 16
"""A tip of 12 degrees or more loses at least this part of its width over half of it; what loses less
is a sliver, and counts as a neck."""


class Near(NamedTuple):
    """The nearest two places of two rings, or of one with itself: mm, and where."""

    distance: float
    first: Point
    second: Point


def between(a: Array, b: Array) -> Near:
    """The nearest places of two rings that do not cross."""
    bound = float(np.hypot(*(a[:, None, :] - b[None, ::COARSE, :]).transpose(2, 0, 1)).min())
    one, two = _vertices_to_sides(a, b, bound), _vertices_to_sides(b, a, bound)
    return one if one.distance <= two.distance else Near(two.distance, two.second, two.first)


def _vertices_to_sides(a: Array, b: Array, bound: float) -> Near:
    """The nearest of a's vertices to b's sides; only those are looked at that may be within `bound`."""
    start, end = b, np.roll(b, -1, axis=0)
    near = _away(np.minimum(start, end), np.maximum(start, end), a.min(axis=0), a.max(axis=0)) <= bound
    start, end = start[near], end[near]
    points = a[_away(a, a, b.min(axis=0), b.max(axis=0)) <= bound]
    if len(points) == 0 or len(start) == 0:
        return Near(math.inf, (0.0, 0.0), (0.0, 0.0))
    best = Near(math.inf, (0.0, 0.0), (0.0, 0.0))
    for low in range(0, len(points), BLOCK):
        p = points[low : low + BLOCK]
        foot, distance = _feet(p, start, end)
        i, j = np.unravel_index(int(distance.argmin()), distance.shape)
        if distance[i, j] < best.distance:
            best = Near(float(distance[i, j]), _point(p[i]), _point(foot[i, j]))
    return best


def _away(low: Array, high: Array, box_low: Array, box_high: Array) -> Array:
    """Distance of boxes (n, 2), (n, 2) from one box."""
    apart = np.maximum(np.maximum(box_low - high, low - box_high), 0.0)
    found: Array = np.hypot(apart[:, 0], apart[:, 1])
    return found


def _feet(p: Array, start: Array, end: Array) -> tuple[Array, Array]:
    """Each point's nearest place on each side (n, m, 2), and how far it is (n, m)."""
    along = end - start
    size = np.maximum((along**2).sum(axis=1), 1e-300)
    off = p[:, None, :] - start[None, :, :]
    part = np.clip((off * along).sum(axis=2) / size, 0.0, 1.0)
    foot = start + part[:, :, None] * along
    return foot, np.hypot(p[:, None, 0] - foot[:, :, 0], p[:, None, 1] - foot[:, :, 1])


def neck(ring: Array, solid_inside: bool = True, under: float = math.inf) -> Near | None:
    """The narrowest web of a ring with itself, or None where it has none narrower than `under`, mm.

    `solid_inside` says on which side the material is: inside an outline, outside a cut-out. A
    tip is no neck: there the way across shrinks all the way to the point.
    """
    ring = _looked_along(ring)
    end = np.roll(ring, -1, axis=0)
    lower, upper = np.minimum(ring, end), np.maximum(ring, end)
    along = end - ring
    sizes = np.hypot(along[:, 0], along[:, 1])
    station = np.concatenate([[0.0], np.cumsum(sizes)])
    total = float(station[-1])
    found: list[tuple[float, int, float, Point]] = []
    for low in range(0, len(ring), FEW):
        p = ring[low : low + FEW]
        near = np.flatnonzero(_away(lower, upper, p.min(axis=0), p.max(axis=0)) < under)
        start = ring[near]
        foot, distance = _feet(p, start, end[near])
        at = station[near] + np.hypot(foot[:, :, 0] - start[:, 0], foot[:, :, 1] - start[:, 1])
        way = np.abs(at - station[low : low + len(p), None])
        way = np.minimum(way, total - way)
        kept = (way >= AROUND * distance) & (distance > 0.0) & (distance < under)
        masked = np.where(kept, distance, np.inf)
        for i in np.flatnonzero(np.isfinite(masked.min(axis=1))):
            j = int(masked[i].argmin())
            found.append((float(masked[i, j]), low + int(i), float(at[i, j]), _point(foot[i, j])))
    for across, k, there, foot_at in sorted(found):
        first = _point(ring[k])
        middle = ((first[0] + foot_at[0]) / 2, (first[1] + foot_at[1]) / 2)
        if bool(inside(ring, np.array([middle]))[0]) != solid_inside:
            continue
        if not _narrows(ring, station, float(station[k]), there, across=across):
            return Near(across, first, foot_at)
    return None


def _looked_along(ring: Array) -> Array:
    """The ring with points on its long sides too: a web between two of them is nearest anywhere."""
    rows = []
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        count = max(1, math.ceil(math.hypot(*(b - a)) / LOOKS))
        rows.append(a + np.arange(count)[:, None] / count * (b - a))
    return np.concatenate(rows)


def _narrows(ring: Array, station: Array, here: float, there: float, across: float) -> bool:
    """Whether the way across goes on shrinking to either side, as it does towards a tip."""
    looks = np.arange(2 * NARROWING_LOOKS + 1) / NARROWING_LOOKS
    for step in (across / 2, -across / 2):
        p = _on(ring, station, np.array([here + step]))
        others = _on(ring, station, there - step * looks)
        if float(np.hypot(*(others - p).T).min()) < (1.0 - NARROWING) * across:
            return True
    return False


def _on(ring: Array, station: Array, at: Array) -> Array:
    """Points (n, 2) of a ring at stations (n,), mm from its first vertex; `station` has its length last."""
    closed = np.vstack([ring, ring[:1]])
    s = at % station[-1]
    return np.stack([np.interp(s, station, closed[:, k]) for k in (0, 1)], axis=1)


def inside(ring: Array, points: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether points (n, 2) lie inside a ring: a ray to the right crosses it an odd number of times.

    Of all pairs of point and side only those that are level with each other are looked at.
    """
    closed = np.concatenate([ring, ring[:1]])
    over = closed[:, 1] > points[:, 1][:, None]
    point, side = np.nonzero(over[:, 1:] != over[:, :-1])
    start = closed[side]
    along, off = closed[side + 1] - start, points[point] - start
    right = (off[:, 0] * along[:, 1] < off[:, 1] * along[:, 0]) == (along[:, 1] > 0.0)
    found: np.ndarray[tuple[int], np.dtype[np.bool_]] = (
        np.bincount(point[right], minlength=len(points)) % 2 == 1
    )
    return found


def on_material(rings: Sequence[Array], points: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether points (n, 2) lie inside the first ring and in none of the others."""
    found = inside(rings[0], points)
    for ring in rings[1:]:
        found[found] = ~inside(ring, points[found])
    return found


def kept_pieces(
    rings: Sequence[Array], start: Point, end: Point, clear: float
) -> Iterator[tuple[Point, Point]]:
    """The parts of a straight line that lie on the material, `clear` mm from every edge ahead and beside.

    `rings` are the outline and the cut-outs.
    """
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    kept = [(0.0, length)]
    for beside in (0.0, clear, -clear):
        at = (start[0] - beside * uy, start[1] + beside * ux)
        kept = _common_intervals(kept, list(_spans_on_material(rings, at, (ux, uy), length, clear=clear)))
    for low, high in kept:
        yield (start[0] + low * ux, start[1] + low * uy), (start[0] + high * ux, start[1] + high * uy)


def _spans_on_material(
    rings: Sequence[Array], start: Point, u: Point, length: float, clear: float
) -> Iterator[tuple[float, float]]:
    """Stations from and to which a line lies on the material, `clear` mm short of the edges it meets.

    It is looked at a little beyond its ends, so that an end near an edge is drawn back from it too.
    """
    begin = (start[0] - clear * u[0], start[1] - clear * u[1])
    far = length + 2 * clear
    marks = [0.0, *sorted({s for ring in rings for s in _crossings(ring, begin, u, far)}), far]
    middles = np.array([(begin[0] + s * u[0], begin[1] + s * u[1]) for s in _middles(marks)])
    for (low, high), held in zip(pairwise(marks), on_material(rings, middles), strict=True):
        a, b = max(low, 0.0), min(high - 2 * clear, length)
        if held and b > a:
            yield a, b


def _common_intervals(
    first: Sequence[tuple[float, float]], second: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What two rows of intervals have in common."""
    both = ((max(a, c), min(b, d)) for a, b in first for c, d in second)
    return [(low, high) for low, high in both if high > low]


def _middles(marks: Sequence[float]) -> list[float]:
    return [(a + b) / 2 for a, b in pairwise(marks)]


def _crossings(ring: Array, start: Point, u: Point, length: float) -> list[float]:
    """Stations along a line where it crosses a ring."""
    off = ring - np.array(start)
    side = off[:, 1] * u[0] - off[:, 0] * u[1]
    ahead = off[:, 0] * u[0] + off[:, 1] * u[1]
    side2, ahead2 = np.roll(side, -1), np.roll(ahead, -1)
    over = (side > 0.0) != (side2 > 0.0)
    part = side[over] / (side[over] - side2[over])
    at = ahead[over] + part * (ahead2[over] - ahead[over])
    return [float(s) for s in at if 0.0 < s < length]


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])

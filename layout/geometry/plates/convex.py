"""Convex polygons: hulls, half planes, and rounded contours made of them.

Polygons are counter-clockwise tuples of points. Growing a convex polygon gives lines and arcs
that run on into each other without a kink, whatever its shape.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from layout.geometry.plates.contour import Contour, ContourPiece, Point, join_pieces

Polygon = tuple[Point, ...]

LEAST_SIDE = 1e-6
"""Vertices nearer than this are one, mm."""


def hull(points: Iterable[Point]) -> Polygon:
    """The least convex polygon that holds all points, counter-clockwise (Andrew's monotone chain).

    >>> hull([(0.0, 0.0), (2.0, 0.0), (1.0, 0.5), (2.0, 2.0), (0.0, 2.0)])
    ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    """
    rows = sorted(set(points))
    if len(rows) < 3:
        return tuple(rows)
    return (*_chain(rows)[:-1], *_chain(rows[::-1])[:-1])


def _chain(rows: Sequence[Point]) -> list[Point]:
    found: list[Point] = []
    for p in rows:
        while len(found) >= 2 and cross(found[-2], found[-1], p) <= LEAST_SIDE**2:
            found.pop()
        found.append(p)
    return found


def simplify(polygon: Polygon, within: float) -> Polygon:
    """The polygon without vertices that stand out by less than `within` mm from their neighbours' line."""
    kept = list(polygon)
    while len(kept) > 3:
        out = [_to_side(p, (kept[k - 1], kept[(k + 1) % len(kept)])) for k, p in enumerate(kept)]
        least = min(range(len(kept)), key=lambda k: out[k])
        if out[least] >= within:
            break
        del kept[least]
    return tuple(kept)


def cross(o: Point, a: Point, b: Point) -> float:
    """Twice the signed area of the triangle o, a, b."""
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def clip_half_plane(polygon: Polygon, normal: Point, offset: float) -> Polygon:
    """The part of a convex polygon where normal . p >= offset; `normal` is a unit vector. May be empty."""
    kept: list[Point] = []
    for a, b in pairwise((*polygon, *polygon[:1])):
        da = normal[0] * a[0] + normal[1] * a[1] - offset
        db = normal[0] * b[0] + normal[1] * b[1] - offset
        if da >= 0.0:
            kept.append(a)
        if (da > 0.0) != (db > 0.0) and da != db:
            part = da / (da - db)
            kept.append((a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])))
    return _without_doubles(kept)


def _without_doubles(points: Sequence[Point]) -> Polygon:
    kept = [p for k, p in enumerate(points) if math.dist(p, points[k - 1]) > LEAST_SIDE]
    return tuple(kept) if len(kept) >= 3 else ()


def sides(polygon: Polygon) -> list[tuple[Point, float]]:
    """Each side as a half plane: its inward unit normal and offset."""
    found = []
    for a, b in pairwise((*polygon, *polygon[:1])):
        size = math.dist(a, b)
        n = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
        found.append((n, n[0] * a[0] + n[1] * a[1]))
    return found


def shrunk(polygon: Polygon, by: float) -> Polygon:
    """The polygon with every side moved in by `by` mm; empty where nothing is left."""
    found = polygon
    for normal, offset in sides(polygon):
        if not found:
            break
        found = clip_half_plane(found, normal, offset + by)
    return found


def grow(polygon: Polygon, by: float) -> Contour:
    """The polygon with every side moved out by `by` mm and joined by arcs of that radius."""
    normals = [n for n, _ in sides(polygon)]
    pieces: list[ContourPiece] = []
    for k, at in enumerate(polygon):
        before, after = normals[k - 1], normals[k]
        turn = math.atan2(
            before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1]
        )
        first = (at[0] - by * before[0], at[1] - by * before[1])
        last = (at[0] - by * after[0], at[1] - by * after[1])
        pieces.append(ContourPiece(first, last, math.tan(turn / 4)))
        following = polygon[(k + 1) % len(polygon)]
        pieces.append(ContourPiece(last, (following[0] - by * after[0], following[1] - by * after[1])))
    return join_pieces(pieces)


def soften(polygon: Polygon, radius: float) -> Contour | None:
    """The polygon with its corners rounded from inside; None where it is too small for that."""
    core = shrunk(polygon, radius)
    return grow(core, radius) if core else None


def area(polygon: Polygon) -> float:
    """Enclosed area, mm2."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise((*polygon, *polygon[:1]))) / 2


def box(centre: Point, along: Point, half_length: float, half_width: float) -> Polygon:
    """A rectangle about `centre`, its length along the unit vector `along`."""
    (x, y), (c, s) = centre, along
    return tuple(
        (x + a * half_length * c - b * half_width * s, y + a * half_length * s + b * half_width * c)
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )


def gap(a: Polygon, b: Polygon) -> float:
    """Distance between two convex polygons, mm; 0 where they touch or overlap.

    >>> gap(box((0.0, 0.0), (1.0, 0.0), 1.0, 1.0), box((4.0, 5.0), (1.0, 0.0), 1.0, 1.0))
    3.605551275463989
    """
    if not any(_has_parting_side(p, q) for p, q in ((a, b), (b, a))):
        return 0.0
    return min(_to_side(p, s) for one, other in ((a, b), (b, a)) for p in one for s in _pairs(other))


def clear(a: Polygon, b: Polygon, least: float) -> bool:
    """Whether two convex polygons are at least `least` mm apart; quick where they are far apart."""
    (al, ab, ar, at), (bl, bb, br, bt) = _box(a), _box(b)
    if math.hypot(max(bl - ar, al - br, 0.0), max(bb - at, ab - bt, 0.0)) >= least:
        return True
    return gap(a, b) >= least


def _box(polygon: Polygon) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
    return min(xs), min(ys), max(xs), max(ys)


def _has_parting_side(a: Polygon, b: Polygon) -> bool:
    """Whether a side of `a` has all of `b` on its other side."""
    return any(all(n[0] * x + n[1] * y < offset for x, y in b) for n, offset in sides(a))


def _pairs(polygon: Polygon) -> list[tuple[Point, Point]]:
    return list(pairwise((*polygon, *polygon[:1])))


def _to_side(p: Point, side: tuple[Point, Point]) -> float:
    (ax, ay), (bx, by) = side
    dx, dy = bx - ax, by - ay
    part = ((p[0] - ax) * dx + (p[1] - ay) * dy) / (dx * dx + dy * dy)
    part = min(max(part, 0.0), 1.0)
    return math.hypot(p[0] - ax - part * dx, p[1] - ay - part * dy)

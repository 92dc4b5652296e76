"""Strokes as straight pieces, near enough for judging what lies on them or comes close."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from layout.drafting.entities import Arc, Circle, Entity, Line, Polyline
from layout.drafting.vector import Point, along

NEAR = 0.3
"""A polyline's pieces leave it by no more than this, mm."""
SKIPPED = 12
"""At most so many of its points are passed over at once."""

Piece = tuple[Point, Point]


def pieces(e: Entity) -> Sequence[Piece]:
    """A stroke as straight pieces; entities that are not one stroke have none.

    >>> from layout.drafting.style import Layer
    >>> pieces(Polyline(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)), Layer.OUTLINE))
    [((0.0, 0.0), (2.0, 0.0))]
    """
    match e:
        case Line():
            return [(e.start, e.end)]
        case Circle():
            return arc_pieces(Arc(e.centre, e.radius, 0.0, 360.0, layer=e.layer), 12.0)
        case Polyline():
            closing = e.points[:1] if e.closed else ()
            return list(pairwise(_thin_polyline((*e.points, *closing))))
        case Arc():
            return arc_pieces(e)
        case _:
            return []


@lru_cache(maxsize=512)
def arc_pieces(arc: Arc, step: float = 10.0) -> tuple[Piece, ...]:
    """Chords of at most `step` degrees; each sheet asks again."""
    sweep = arc.end_angle - arc.start_angle
    count = max(1, math.ceil(sweep / step))
    pts = [along(arc.centre, arc.start_angle + sweep * k / count, arc.radius) for k in range(count + 1)]
    return tuple(pairwise(pts))


@lru_cache(maxsize=512)
def _thin_polyline(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Fewer points through which a polyline still runs within NEAR of where it did; each sheet asks again."""
    kept, i, last = list(points[:1]), 0, len(points) - 1
    while i < last:
        j = min(i + SKIPPED, last)
        while j > i + 1 and any(_off(p, points[i], points[j]) > NEAR for p in points[i + 1 : j]):
            j -= 1
        kept.append(points[j])
        i = j
    return tuple(kept)


def _off(p: Point, a: Point, b: Point) -> float:
    """How far p lies from the line through a and b, or from a where they are one."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    if length == 0.0:
        return math.hypot(p[0] - a[0], p[1] - a[1])
    return abs((p[0] - a[0]) * dy - (p[1] - a[1]) * dx) / length

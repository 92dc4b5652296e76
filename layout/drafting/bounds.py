"""The room that entities take, from their real ink lines: arcs exactly, lettering by its own metrics.

Lettering counts with its pen, other strokes by their middle: add half a width where it matters.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import assert_never

from layout.drafting.dimensions import explode
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Entity,
    LengthDimension,
    Line,
    Point,
    Polyline,
    Text,
)
from layout.drafting.lettering import text_box
from layout.drafting.rect import Rect
from layout.drafting.vector import along


def bounds(entities: Iterable[Entity]) -> Rect | None:
    """The least upright rectangle (mm) that holds what is drawn of `entities`; None if nothing is.

    A control point counts as its point. A datum line is endless and counts as nothing.

    >>> from layout.drafting.style import Layer
    >>> bounds([Circle((1.0, 2.0), 3.0, Layer.WHEEL)])
    Rect(left=-2.0, bottom=-1.0, right=4.0, top=5.0)
    """
    reached = [point for entity in entities for point in _extremes(entity)]
    return rect_around(reached) if reached else None


def box_of(entities: Iterable[Entity]) -> Rect:
    """The same of entities of which something is drawn. Raises ValueError where nothing is."""
    box = bounds(entities)
    if box is None:
        raise ValueError("nothing is drawn")
    return box


def entity_bounds(e: Entity) -> Rect | None:
    """The least upright rectangle (mm) that holds one entity as drawn; None for a datum line."""
    reached = _extremes(e)
    return rect_around(reached) if reached else None


def _extremes(e: Entity) -> Sequence[Point]:
    """Points of what is drawn of an entity, or corners about it, that reach as far as it does."""
    match e:
        case Line():
            return e.start, e.end
        case Polyline():
            return e.points
        case Text():
            return text_box(e) if e.text.strip() else ()
        case Circle():
            (x, y), r = e.centre, e.radius
            return (x - r, y - r), (x + r, y + r)
        case Arc():
            return arc_extremes(e)
        case ControlPoint():
            return (e.at,)
        case LengthDimension() | AngleDimension():
            return [point for part in explode(e) for point in _extremes(part)]
        case DatumLine():
            return ()
        case _:
            assert_never(e)


def rect_around(points: Iterable[Point]) -> Rect:
    """The least upright rectangle (mm) that holds `points`, of which there is at least one."""
    xs, ys = zip(*points, strict=True)
    return Rect(min(xs), min(ys), max(xs), max(ys))


def arc_extremes(arc: Arc) -> tuple[Point, ...]:
    """An arc's ends and the points where it runs level or upright.

    >>> from layout.drafting.style import Layer
    >>> arc_extremes(Arc((0.0, 0.0), 2.0, 80.0, 100.0, layer=Layer.DIM))[1:-1]
    ((0.0, 2.0),)
    """
    first = math.ceil(arc.start_angle / 90.0)
    last = math.floor(arc.end_angle / 90.0)
    (x, y), r = arc.centre, arc.radius
    axes = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    quadrants = tuple(
        (x + r * axes[k % 4][0], y + r * axes[k % 4][1]) for k in range(first, min(last, first + 3) + 1)
    )
    return (on_arc(arc, arc.start_angle), *quadrants, on_arc(arc, arc.end_angle))


def on_arc(arc: Arc | Circle, angle: float) -> Point:
    """The point of an arc or circle at `angle` (degrees)."""
    return along(arc.centre, angle, arc.radius)

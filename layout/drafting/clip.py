"""Cutting entities at an upright rectangle, exactly: what is inside, or what is outside.

A stroke is cut where it meets the rectangle's sides: lines stay lines, arcs stay arcs
(a circle becomes arcs), a polyline becomes the polylines that are left of it. Whatever
means more than its ink (lettering, control points, dimensions) is whole or not there.
The rectangle counts as closed: a stroke along a side is inside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import assert_never

from layout.drafting.bounds import entity_bounds, on_arc
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
    Stroke,
    Text,
)
from layout.drafting.rect import Rect
from layout.drafting.vector import middle

SHORTEST = 1e-6
"""Pieces shorter than this (mm) are dropped: coordinates in files are no finer."""

Span = tuple[float, float]
"""A piece of a stroke, by its parameter: 0 to 1 along a line, degrees along an arc."""


def clip(entity: Entity, rect: Rect) -> tuple[Entity, ...]:
    """What of `entity` lies inside `rect` (mm); nothing if nothing does.

    Text, control points and dimensions (their extension lines included) are kept only where
    wholly inside. A datum line becomes the line across the rectangle. To cut through lettering,
    turn it into strokes first.

    >>> from layout.drafting.style import Layer
    >>> clip(Line((-5.0, 1.0), (5.0, 1.0), Layer.DIM), Rect(0.0, 0.0, 9.0, 9.0))[0].start
    (0.0, 1.0)
    """
    match entity:
        case Line() | Arc() | Circle() | Polyline():
            return tuple(_pieces(entity, rect, inside=True))
        case DatumLine():
            return _across(entity, rect)
        case Text() | ControlPoint() | LengthDimension() | AngleDimension():
            box = entity_bounds(entity)
            return (entity,) if box is not None and rect.contains(box) else ()
        case _:
            assert_never(entity)


def break_lines(entity: Entity, holes: Sequence[Rect]) -> tuple[Entity, ...]:
    """What of a stroke lies outside all `holes` (mm): how a line passes under a panel.

    Anything that is not a stroke comes back as it is.
    """
    if not isinstance(entity, Line | Arc | Circle | Polyline):
        return (entity,)
    left: list[Stroke] = [entity]
    box = entity_bounds(entity)
    room = None if box is None else box.grown(SHORTEST)
    for hole in holes:
        if room is not None and room.overlaps(hole):
            left = [piece for stroke in left for piece in _pieces(stroke, hole, inside=False)]
    return tuple(left)


def _pieces(stroke: Stroke, rect: Rect, *, inside: bool) -> list[Stroke]:
    match stroke:
        case Line():
            return _line_pieces(stroke, rect, inside)
        case Polyline():
            return _polyline_pieces(stroke, rect, inside)
        case Arc():
            spans = _arc_spans(stroke, stroke.start_angle, stroke.end_angle, rect, inside=inside)
            if spans == [(stroke.start_angle, stroke.end_angle)]:
                return [stroke]
            return [replace(stroke, start_angle=a, end_angle=b) for a, b in spans]
        case Circle():
            return _circle_pieces(stroke, rect, inside)
        case _:
            assert_never(stroke)


def _line_spans(a: Point, b: Point, rect: Rect, inside: bool) -> list[Span]:
    """The pieces of the line a to b inside or outside (Liang and Barsky's parametric cut)."""
    t0, t1 = 0.0, 1.0
    for p, d, low, high in (
        (a[0], b[0] - a[0], rect.left, rect.right),
        (a[1], b[1] - a[1], rect.bottom, rect.top),
    ):
        if d == 0.0:
            if not low <= p <= high:
                return [] if inside else [(0.0, 1.0)]
            continue
        near, far = sorted(((low - p) / d, (high - p) / d))
        t0, t1 = max(t0, near), min(t1, far)
    length = math.dist(a, b)
    if (t1 - t0) * length <= SHORTEST:
        return [] if inside else [(0.0, 1.0)]
    kept = [(t0, t1)] if inside else [(0.0, t0), (t1, 1.0)]
    return [(s, t) for s, t in kept if (t - s) * length > SHORTEST]


def _line_pieces(line: Line, rect: Rect, inside: bool) -> list[Stroke]:
    return [
        Line(middle(line.start, line.end, s), middle(line.start, line.end, t), line.layer, line.pen)
        for s, t in _line_spans(line.start, line.end, rect, inside)
    ]


def _polyline_pieces(line: Polyline, rect: Rect, inside: bool) -> list[Stroke]:
    corners = (*line.points, line.points[0]) if line.closed and line.points else line.points
    runs: list[list[Point]] = []
    open_end = False
    whole = True
    for a, b in pairwise(corners):
        if a == b:
            continue
        spans = _line_spans(a, b, rect, inside)
        whole = whole and spans == [(0.0, 1.0)]
        for s, t in spans:
            if not (open_end and s == 0.0 and runs[-1][-1] == a):
                runs.append([middle(a, b, s)])
            runs[-1].append(middle(a, b, t))
            open_end = t == 1.0
        open_end = open_end and bool(spans)
    if whole:
        return [line] if runs else []
    if line.closed and len(runs) > 1 and runs[-1][-1] == runs[0][0]:
        runs[0] = [*runs.pop(), *runs[0][1:]]
    return [replace(line, points=tuple(run), closed=False) for run in runs]


def _circle_pieces(circle: Circle, rect: Rect, inside: bool) -> list[Stroke]:
    cuts = _crossings(circle, rect)
    first = min(cuts) if cuts else 0.0
    spans = _arc_spans(circle, first, first + 360.0, rect, inside=inside)
    if spans == [(first, first + 360.0)]:
        return [circle]
    if len(spans) > 1 and spans[-1][1] == first + 360.0 and spans[0][0] == first:
        spans = [*spans[1:-1], (spans[-1][0], spans[0][1] + 360.0)]
    return [Arc(circle.centre, circle.radius, a, b, layer=circle.layer, pen=circle.pen) for a, b in spans]


def _arc_spans(arc: Arc | Circle, start: float, end: float, rect: Rect, inside: bool) -> list[Span]:
    """The pieces from `start` to `end` degrees whose middles are inside (or outside), neighbours joined."""
    turns = [
        angle + 360.0 * k
        for angle in _crossings(arc, rect)
        for k in range(math.floor((start - angle) / 360.0), math.ceil((end - angle) / 360.0) + 1)
    ]
    stops = [start, *sorted({t for t in turns if start < t < end}), end]
    spans: list[Span] = []
    for a, b in pairwise(stops):
        if rect.holds(on_arc(arc, (a + b) / 2), SHORTEST) is not inside:
            continue
        if spans and spans[-1][1] == a:
            spans[-1] = (spans[-1][0], b)
        else:
            spans.append((a, b))
    return [(a, b) for a, b in spans if math.radians(b - a) * arc.radius > SHORTEST]


def _crossings(arc: Arc | Circle, rect: Rect) -> list[float]:
    """Directions (degrees, 0 up to 360) in which the circle meets the lines of the rectangle's sides."""
    (x, y), r = arc.centre, arc.radius
    angles: list[float] = []
    for offset, base in (
        (rect.left - x, 0.0),
        (rect.right - x, 0.0),
        (rect.bottom - y, 90.0),
        (rect.top - y, 90.0),
    ):
        if abs(offset) <= r and r > 0.0:
            half = math.degrees(math.acos(offset / r))
            angles += [(base + half) % 360.0, (base - half) % 360.0]
    return angles


def _across(datum: DatumLine, rect: Rect) -> tuple[Entity, ...]:
    a = math.radians(datum.angle)
    direction = (math.cos(a), math.sin(a))
    if datum.angle % 90.0 == 0.0:
        direction = (float(round(direction[0])), float(round(direction[1])))
    reach = math.dist(datum.through, rect.centre) + rect.width + rect.height
    (x, y), (u, v) = datum.through, direction
    line = Line((x - reach * u, y - reach * v), (x + reach * u, y + reach * v), datum.layer, datum.pen)
    return tuple(_line_pieces(line, rect, inside=True))

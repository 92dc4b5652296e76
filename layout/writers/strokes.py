"""What a pen draws of a drawing, once for every writer that draws with a pen.

    entity  ->  Drawn      lines, arcs, circles and polylines of one pen
            ->  Lettered   one line of lettering

Dimensions come apart into both. Coordinates stay the drawing's; `placement_matrix` gives the
matrix to the page, in mm from the paper's lower left corner, printer compensation last:

    x' = a x + c y + e
    y' = b x + d y + f        written (a, b, c, d, e, f)
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import NamedTuple, assert_never

from layout.drafting.dimensions import parts
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Point,
    Polyline,
    Stroke,
    Text,
    pen_of,
)
from layout.drafting.style import Layer, Pen
from layout.errors import Fault, WriteError
from layout.sheets.sheet import Placement, Rect, Sheet

Matrix = tuple[float, float, float, float, float, float]

CURVE_SPAN = 30.0
"""Widest Bezier piece of an arc, degrees: 0.00013 mm off at radius 350 (90 degrees: 0.095)."""

PAPER_SLACK = 1e-6
"""A point on the clip's or the paper's edge counts as held; coordinates are no finer than this, mm."""


class Drawn(NamedTuple):
    """Strokes of one entity, all with one pen; `of` names the dimension they are part of, if any."""

    layer: Layer
    pen: Pen
    strokes: tuple[Stroke, ...]
    of: str = ""


class Lettered(NamedTuple):
    """A line of lettering: its words, and through `letters.letters` the strokes that draw them.

    `of` names the dimension it is part of, if any.
    """

    layer: Layer
    text: Text
    of: str = ""


Mark = Drawn | Lettered


def marks_of(drawing: Drawing) -> tuple[Mark, ...]:
    """All marks of a drawing in drawing order.

    Raises WriteError where a datum line is left: `lay` should have ended it on the sheet.
    """
    return tuple(mark for entity in drawing for mark in marks(entity))


def marks(entity: Entity) -> Iterator[Mark]:
    """What the pen draws of one entity; a control point is not drawn.

    Raises WriteError for a datum line.
    """
    match entity:
        case Line() | Arc() | Circle() | Polyline():
            yield Drawn(entity.layer, pen_of(entity), (entity,))
        case Text():
            if entity.text.strip():
                yield Lettered(entity.layer, entity)
        case LengthDimension() | AngleDimension():
            drawn, *words = parts(entity)
            if drawn:
                yield Drawn(entity.layer, pen_of(entity), drawn, entity.name)
            for text in words:
                if text is not None and text.text.strip():
                    yield Lettered(text.layer, text, entity.name)
        case ControlPoint():
            return
        case DatumLine():
            raise endless(entity)
        case _:
            assert_never(entity)


def endless(line: DatumLine) -> WriteError:
    """The error that a datum line deserves in a writer: it has no ends to draw to."""
    x, y = line.through
    return WriteError(
        Fault(f"the datum line through ({x:.1f}, {y:.1f}) was not ended at the sheet's edge", "output")
    )


def placement_matrix(sheet: Sheet, placement: Placement | None) -> Matrix:
    """The matrix from a placement's drawing (None: from the sheet's furniture) to the page."""
    a, b, c, d, e, f = 1.0, 0.0, 0.0, 1.0, 0.0, 0.0
    if placement is not None:
        for _ in range(placement.turn % 4):
            a, b, c, d = -b, a, -d, c
        e, f = placement.dx, placement.dy
    sx, sy = sheet.stretch
    ex, fy = sheet.to_page((e, f))
    return sx * a, sy * b, sx * c, sy * d, ex, fy


def apply(m: Matrix, p: Point) -> Point:
    """A point through a matrix."""
    return m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5]


def held_points(sheet: Sheet, known: dict[int, dict[str, Point]] | None = None) -> dict[str, Point]:
    """The control points a sheet holds (inside the clip and the paper), in page coordinates, mm.

    `known` keeps each drawing's points by identity, for sheets that share a drawing.
    Raises WriteError where one name stands for two places.
    """
    known = {} if known is None else known
    held: dict[str, Point] = {}
    for placement in sheet.placements:
        key = id(placement.drawing)
        if key not in known:
            known[key] = placement.drawing.points()
        for name, at in known[key].items():
            on_sheet = placement.to_sheet(at)
            page = sheet.to_page(on_sheet)
            if placement.clip is not None and not placement.clip.holds(on_sheet, PAPER_SLACK):
                continue
            if not Rect(0.0, 0.0, sheet.width, sheet.height).holds(page, PAPER_SLACK):
                continue
            if math.dist(held.setdefault(name, page), page) > PAPER_SLACK:
                raise WriteError(
                    Fault(f"the point {name} is on sheet {sheet.name} twice, in two places", "output")
                )
    return held


def spans(start: float, end: float, widest: float) -> list[tuple[float, float]]:
    """The range of angles in equal pieces no wider than `widest`, degrees."""
    count = max(1, math.ceil((end - start) / widest - 1e-9))
    stops = [start + (end - start) * i / count for i in range(count)] + [end]
    return list(itertools.pairwise(stops))


def arc_curves(centre: Point, radius: float, start: float, end: float) -> list[tuple[Point, Point, Point]]:
    """An arc as cubic Beziers of at most CURVE_SPAN: handle, handle, end for each piece.

    Handles are (4/3) tan(span/4) radii long, which puts the middle of each piece on the circle.
    """
    curves: list[tuple[Point, Point, Point]] = []
    x, y = centre
    for a, b in spans(start, end, CURVE_SPAN):
        handle = 4 / 3 * math.tan(math.radians(b - a) / 4) * radius
        ca, sa = math.cos(math.radians(a)), math.sin(math.radians(a))
        cb, sb = math.cos(math.radians(b)), math.sin(math.radians(b))
        xa, ya, xb, yb = x + radius * ca, y + radius * sa, x + radius * cb, y + radius * sb
        curves.append(((xa - handle * sa, ya + handle * ca), (xb + handle * sb, yb - handle * cb), (xb, yb)))
    return curves


def plain(value: float) -> str:
    """A coordinate for a file: at most six decimals, no exponent, no "-0", no trailing zeros.

    >>> plain(612.5), plain(-1e-9), plain(100.0), plain(1 / 3)
    ('612.5', '0', '100', '0.333333')
    """
    shown = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown

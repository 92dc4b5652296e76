"""What lies on what on a Drawing, measured with the real lettering: shapely judges."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from shapely import STRtree
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from layout.drafting.dimensions import explode
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    Drawing,
    LengthDimension,
    Line,
    Polyline,
    Text,
    pen_of,
)
from layout.drafting.lettering import text_box
from layout.drafting.style import THICK, Layer

TOUCH = 0.05
"""Boxes hold clear paper already; sharing less than this is rounding, mm."""
LINE = "line"


def lettering(drawing: Drawing) -> list[tuple[str, Polygon]]:
    """Every text, those of dimensions too, with the box of its lettering."""
    return [
        (part.text, Polygon(text_box(part)))
        for e in drawing
        for part in explode(e)
        if isinstance(part, Text) and part.text.strip()
    ]


def stroke(e: Line | Polyline | Arc | Circle) -> LineString:
    """The middle of what the pen draws."""
    match e:
        case Line():
            return LineString([e.start, e.end])
        case Polyline():
            return LineString([*e.points, *(e.points[:1] if e.closed else ())])
        case Arc():
            turns = np.radians(np.linspace(e.start_angle, e.end_angle, 65))
            (x, y), r = e.centre, e.radius
            return LineString(np.column_stack([x + r * np.cos(turns), y + r * np.sin(turns)]))
        case Circle():
            return Spot(e.centre).buffer(e.radius, quad_segs=64).exterior
    raise AssertionError(f"a {type(e).__name__} that this measure does not know")


def thick_lines(drawing: Drawing) -> list[LineString]:
    """The middles of all thick lines."""
    return [
        stroke(e)
        for e in drawing
        if not isinstance(e, Text | ControlPoint | LengthDimension | AngleDimension)
        and pen_of(e).width >= THICK
    ]


def overlaps(drawing: Drawing) -> list[tuple[str, str]]:
    """Every text that lies on another, and every one that a thick line or a table's rule runs through."""
    words = lettering(drawing)
    tree = STRtree([box.buffer(-TOUCH) for _, box in words])
    pairs = zip(*tree.query(tree.geometries, predicate="intersects"), strict=True)
    bad = [(words[i][0], words[j][0]) for i, j in pairs if i < j]
    crossed = (k for ink in _inked(drawing) for k in tree.query(ink, predicate="intersects"))
    return bad + [(words[k][0], LINE) for k in crossed]


def _inked(drawing: Drawing) -> Iterator[Polygon | LineString]:
    """Thick lines as wide as the pen draws them, and the thin rules and frames of tables."""
    yield from (line.buffer(THICK / 2) for line in thick_lines(drawing))
    for e in drawing:
        if isinstance(e, Line | Polyline) and e.layer is Layer.SHEET and pen_of(e).width < THICK:
            yield stroke(e)

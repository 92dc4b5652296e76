"""A Drawing as DXF R2010: model space at 1:1 in millimetres, y up, never compensated.

    Line, Arc, Circle, Polyline   LINE, ARC, CIRCLE, LWPOLYLINE
    Text                          TEXT fitted between two points, so that its width is ours anywhere
    ControlPoint                  POINT on layer POINT, its name in extended data
    Dimension, AngleDimension     DIMENSION with its measured value and a block of our own drawing;
                                  the label is a TEXT of its own

Sheets become paper-space layouts with a viewport at 1:1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any, assert_never

from layout.drafting.bounds import bounds
from layout.drafting.dimensions import AnyDimension, feet, label_text, lines, value_text
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
)
from layout.drafting.lettering import text_start, text_width
from layout.drafting.numbers import format_number
from layout.drafting.style import Layer, Pen, lettering_pen
from layout.sheets.sheet import Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf.file import library, write_document
from layout.writers.dxf.layouts import add_layout
from layout.writers.dxf.tables import (
    APPLICATION,
    TEXT_STYLE,
    define_layers,
    define_line_type,
    define_styles,
    dimension_style,
    hide_points,
    line_weight,
    set_header,
)
from layout.writers.dxf.text import dxf_plain, dxf_text
from layout.writers.strokes import endless

_DECIMALS = 6
"""Coordinates are rounded to 1e-6 mm, so that files are the same on every machine."""
_ANGLE_DECIMALS = 9
"""Angles are rounded to 1e-9 degrees: under 1e-8 mm at any radius drawn."""

_ROTATED, _ANGULAR = 0, 2
_OWN_BLOCK, _TEXT_PLACED = 32, 128
"""DIMENSION type flags: the block is this dimension's alone; its text was placed by hand."""
_MIDDLE_CENTRE = 5
_FIT = 5
"""TEXT justification: between two points, at the given height."""
_FITTABLE = 0.2
"""Narrowest lettering over its height that is fitted: an upright stroke has no width to fit to."""


def write(drawing: Drawing, path: Path, info: DocumentInfo, sheets: Sequence[Sheet] = ()) -> None:
    """Write a drawing; each of `sheets` becomes a paper-space layout that shows it at 1:1.

    Raises WriteError where the file cannot be written or a datum line was left unended.
    """

    def fill(doc: Any) -> None:
        _fill(doc, drawing, info)
        if sheets:
            hide_points(doc)
        for sheet in sheets:
            add_layout(doc, sheet, drawing, add_entity)

    write_document(path, fill)


def prepare() -> None:
    """Import the library, so that a file written later need not wait for it."""
    library()


def _fill(doc: Any, drawing: Drawing, info: DocumentInfo) -> None:
    define_layers(doc)
    define_styles(doc)
    model = doc.modelspace()
    for entity in drawing:
        add_entity(doc, model, entity)
    set_header(doc, bounds(drawing))
    for tag, value in (
        ("Title", info.title),
        ("Author", info.author),
        ("Subject", info.subject),
        ("Date", info.date),
        ("Mark", info.mark),
    ):
        if value:
            doc.header.custom_vars.append(tag, dxf_plain(value))


def add_entity(doc: Any, space: Any, entity: Entity) -> None:
    """Add one entity to a layout or block."""
    match entity:
        case Line() | Arc() | Circle() | Polyline():
            _add_stroke(doc, space, entity)
        case Text():
            _add_text(space, entity)
        case ControlPoint():
            point = space.add_point(_at(entity.at), dxfattribs={"layer": Layer.POINT.value})
            point.set_xdata(APPLICATION, [(1000, entity.name)])
        case LengthDimension() | AngleDimension():
            _add_dimension(doc, space, entity)
        case DatumLine():
            raise endless(entity)
        case _:
            assert_never(entity)


def _add_stroke(doc: Any, space: Any, stroke: Stroke) -> None:
    attribs = _pen_attributes(doc, stroke.layer, stroke.pen)
    match stroke:
        case Line():
            space.add_line(_at(stroke.start), _at(stroke.end), dxfattribs=attribs)
        case Arc():
            start, end = round(stroke.start_angle, _ANGLE_DECIMALS), round(stroke.end_angle, _ANGLE_DECIMALS)
            if end - start >= 360:
                space.add_circle(_at(stroke.centre), _size(stroke.radius), dxfattribs=attribs)
            else:
                angles = round(start % 360, _ANGLE_DECIMALS), round(end % 360, _ANGLE_DECIMALS)
                space.add_arc(_at(stroke.centre), _size(stroke.radius), *angles, dxfattribs=attribs)
        case Circle():
            space.add_circle(_at(stroke.centre), _size(stroke.radius), dxfattribs=attribs)
        case Polyline():
            points = [_at(p) for p in stroke.points]
            space.add_lwpolyline(points, close=stroke.closed, dxfattribs=attribs)
        case _:
            assert_never(stroke)


def _pen_attributes(doc: Any, layer: Layer, pen: Pen | None) -> dict[str, Any]:
    """The layer alone, or with line type and width where the entity has a pen of its own."""
    if pen is None:
        return {"layer": layer.value}
    return {"layer": layer.value, "linetype": define_line_type(doc, pen), "lineweight": line_weight(pen)}


def _add_text(space: Any, text: Text) -> None:
    """TEXT between its two ends, which fixes its width in any program's font.

    The width factor is what the stroke font needs by itself: its letters advance about
    one height (from memory).
    """
    if not text.text.strip():
        return
    width = text_width(text.text, text.height)
    start = text_start(text)
    attribs: dict[str, Any] = {
        "layer": text.layer.value,
        "style": TEXT_STYLE,
        "height": _size(text.height),
        "rotation": round(text.angle, _ANGLE_DECIMALS),
        "lineweight": line_weight(lettering_pen(text.height)),
        "insert": _at(start),
    }
    if width > _FITTABLE * text.height:
        a = math.radians(text.angle)
        end = (start[0] + width * math.cos(a), start[1] + width * math.sin(a))
        factor = round(width / (text.height * len(text.text)), 3)
        attribs |= {"halign": _FIT, "align_point": _at(end), "width": factor}
    space.add_text(dxf_text(text.text), dxfattribs=attribs)


def _add_dimension(doc: Any, space: Any, d: AnyDimension) -> None:
    """The DIMENSION, its block of lines and value, and its label beside it."""
    block = doc.blocks.new_anonymous_block(type_char="D")
    for line in lines(d):
        _add_stroke(doc, block, line)
    _add_text(block, value_text(d))
    match d:
        case LengthDimension():
            own = _linear(d)
            drawn, level = d.line_drawn, _tilt(d.text_angle - d.direction) > 1e-6
        case AngleDimension():
            own = _angular(d)
            drawn, level = True, _tilt(d.text_angle) <= 1e-6
        case _:
            assert_never(d)
    attribs = {
        "layer": d.layer.value,
        "geometry": block.name,
        "dimstyle": dimension_style(doc, d.height, d.decimals, drawn, level=level),
        "text": format_number(d.value, d.decimals),
        "text_midpoint": _at(_value_middle(d)),
        "attachment_point": _MIDDLE_CENTRE,
    }
    space.new_entity("DIMENSION", attribs | own)
    label = label_text(d)
    if label is not None:
        _add_text(space, label)


def _linear(d: LengthDimension) -> dict[str, Any]:
    return {
        "dimtype": _ROTATED | _OWN_BLOCK | _TEXT_PLACED,
        "actual_measurement": round(d.value, _ANGLE_DECIMALS),
        "defpoint": _at(feet(d)[1]),
        "defpoint2": _at(d.start),
        "defpoint3": _at(d.end),
        "angle": round(d.direction, _ANGLE_DECIMALS),
    }


def _angular(d: AngleDimension) -> dict[str, Any]:
    """An angle between two lines from its vertex. Its measured value is in radians, as CAD programs store it.

    Not the kind that has three points: some programs draw none of those.
    """
    middle = math.radians(d.start_angle + d.value / 2)
    on_arc = (d.vertex[0] + d.radius * math.cos(middle), d.vertex[1] + d.radius * math.sin(middle))
    return {
        "dimtype": _ANGULAR | _OWN_BLOCK | _TEXT_PLACED,
        "actual_measurement": round(math.radians(d.value), 12),
        "defpoint": _at(d.end),
        "defpoint2": _at(d.vertex),
        "defpoint3": _at(d.start),
        "defpoint4": _at(d.vertex),
        "defpoint5": _at(on_arc),
    }


def _value_middle(d: AnyDimension) -> Point:
    """The middle of the value's lettering, half its height above the baseline."""
    value = value_text(d)
    half, a = text_width(value.text, value.height) / 2, math.radians(value.angle)
    up = value.height / 2
    return (
        value.at[0] + half * math.cos(a) - up * math.sin(a),
        value.at[1] + half * math.sin(a) + up * math.cos(a),
    )


def _tilt(angle: float) -> float:
    """How far a direction is from level, degrees, either way round."""
    return abs(math.remainder(angle, 180.0))


def _at(p: Point) -> Point:
    return round(p[0], _DECIMALS) + 0.0, round(p[1], _DECIMALS) + 0.0


def _size(length: float) -> float:
    return round(length, _DECIMALS)

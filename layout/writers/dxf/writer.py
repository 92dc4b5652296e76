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
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, assert_never

from layout.drafting.bounds import bounds
from layout.drafting.dimensions import AnyDimension, feet, parts
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
    Polyline,
    Stroke,
    Text,
)
from layout.drafting.lettering import text_start, text_width
from layout.drafting.numbers import format_number
from layout.drafting.style import Layer, lettering_pen
from layout.drafting.vector import along
from layout.sheets.sheet import Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import codes
from layout.writers.dxf.file import CodeDocument, CodeSpace, library, write_document
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

_ANGLE_DECIMALS = 9
"""Angles are rounded to 1e-9 degrees: under 1e-8 mm at any radius drawn."""

_FITTABLE = 0.2
"""Narrowest lettering over its height that is fitted: an upright stroke has no width to fit to."""


def write(drawing: Drawing, path: Path, info: DocumentInfo, sheets: Sequence[Sheet] = ()) -> None:
    """Write a drawing; each of `sheets` becomes a paper-space layout that shows it at 1:1.

    Raises WriteError where the file cannot be written or a datum line was left unended.
    """

    def fill(document: CodeDocument) -> None:
        _fill(document, drawing, info)
        if sheets:
            hide_points(document.doc)
        for sheet in sheets:
            add_layout(document.doc, sheet, drawing, partial(add_entities, document))

    write_document(path, fill)


def prepare() -> None:
    """Import the library, so that a file written later need not wait for it."""
    library()


def _fill(document: CodeDocument, drawing: Drawing, info: DocumentInfo) -> None:
    doc = document.doc
    define_layers(doc)
    define_styles(doc)
    add_entities(document, doc.modelspace(), drawing)
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


def add_entities(document: CodeDocument, space: Any, entities: Iterable[Entity]) -> None:
    """Add entities to a layout or block, in their order."""
    filled = _Space(document, document.space(space))
    for entity in entities:
        filled.add(entity)


@dataclass(frozen=True)
class _Space:
    """A layout or block of a document, to which entities are added."""

    document: CodeDocument
    space: CodeSpace

    def add(self, entity: Entity) -> None:
        """Add one entity."""
        match entity:
            case Line() | Arc() | Circle() | Polyline():
                self._add_stroke(entity)
            case Text():
                self._add_text(entity)
            case ControlPoint():
                own = codes.point(entity.at, APPLICATION, entity.name)
                self.space.add("POINT", Layer.POINT, own)
            case LengthDimension() | AngleDimension():
                self._add_dimension(entity)
            case DatumLine():
                raise endless(entity)
            case _:
                assert_never(entity)

    def _add_stroke(self, stroke: Stroke) -> None:
        kind, own = _stroke_codes(stroke)
        pen = ""
        if stroke.pen is not None:
            pen = f"  6\n{define_line_type(self.document.doc, stroke.pen)}\n370\n{line_weight(stroke.pen)}\n"
        self.space.add(kind, stroke.layer, own, pen)

    def _add_text(self, text: Text) -> None:
        """TEXT between its two ends, which fixes its width in any program's font.

        The width factor is what the stroke font needs by itself: its letters advance about
        one height (from memory).
        """
        if not text.text.strip():
            return
        width = text_width(text.text, text.height)
        start, fit = text_start(text), None
        if width > _FITTABLE * text.height:
            a = math.radians(text.angle)
            end = (start[0] + width * math.cos(a), start[1] + width * math.sin(a))
            fit = codes.TextFit(end, round(width / (text.height * len(text.text)), 3))
        pen = f"370\n{line_weight(lettering_pen(text.height))}\n"
        words, angle = dxf_text(text.text), _turn(text.angle)
        own = codes.text(words, TEXT_STYLE, text.height, angle=angle, start=start, fit=fit)
        self.space.add("TEXT", text.layer, own, pen)

    def _add_dimension(self, d: AnyDimension) -> None:
        """The DIMENSION, its block of lines and value, and its label beside it."""
        doc, (drawn, label, value) = self.document.doc, parts(d)
        block = doc.blocks.new_anonymous_block(type_char="D")
        add_entities(self.document, block, (*drawn, value))
        self.space.add("DIMENSION", d.layer, _measured(doc, d, block.name))
        if label is not None:
            self._add_text(label)


def _stroke_codes(stroke: Stroke) -> tuple[str, codes.Codes]:
    """As which kind of entity a stroke is written, and its codes."""
    match stroke:
        case Line():
            return "LINE", codes.line(stroke.start, stroke.end)
        case Arc():
            start, end = _turn(stroke.start_angle), _turn(stroke.end_angle)
            if end - start >= 360:
                return "CIRCLE", codes.circle(stroke.centre, stroke.radius)
            start, end = _turn(start % 360), _turn(end % 360)
            return "ARC", codes.arc(stroke.centre, stroke.radius, start, end)
        case Circle():
            return "CIRCLE", codes.circle(stroke.centre, stroke.radius)
        case Polyline():
            return "LWPOLYLINE", codes.polyline(stroke.points, stroke.closed)
        case _:
            assert_never(stroke)


def _measured(doc: Any, d: AnyDimension, block: str) -> codes.Codes:
    """The codes of a dimension whose drawing is in that block. CAD programs store angles in radians."""
    match d:
        case LengthDimension():
            shown = _shown(doc, d, block, d.line_drawn, level=_tilt(d.text_angle - d.direction) > 1e-6)
            return codes.length(
                shown,
                round(d.value, _ANGLE_DECIMALS),
                foot=feet(d)[1],
                start=d.start,
                end=d.end,
                direction=_turn(d.direction),
            )
        case AngleDimension():
            return codes.angle(
                _shown(doc, d, block, True, level=_tilt(d.text_angle) <= 1e-6),
                round(math.radians(d.value), 12),
                vertex=d.vertex,
                start=d.start,
                end=d.end,
                on_arc=along(d.vertex, d.start_angle + d.value / 2, d.radius),
            )
        case _:
            assert_never(d)


def _shown(doc: Any, d: AnyDimension, block: str, line_drawn: bool, level: bool) -> codes.DimensionShown:
    """What a dimension shows; the middle of its value is half its height above the baseline."""
    value = parts(d).value
    half, up, a = text_width(value.text, value.height) / 2, value.height / 2, math.radians(value.angle)
    middle = (
        value.at[0] + half * math.cos(a) - up * math.sin(a),
        value.at[1] + half * math.sin(a) + up * math.cos(a),
    )
    style = dimension_style(doc, d.height, d.decimals, line_drawn, level=level)
    return codes.DimensionShown(block, style, format_number(d.value, d.decimals), middle)


def _tilt(angle: float) -> float:
    """How far a direction is from level, degrees, either way round."""
    return abs(math.remainder(angle, 180.0))


def _turn(angle: float) -> float:
    return float(round(angle, _ANGLE_DECIMALS))

"""Ruled panels: tables, blocks of words, the title block.

    +--------------------------------+  frame 0.5, on the panel's edges
    | Title, one size larger         |
    +-------------+-------+----------+  rules 0.25
    | heading     |    mm | measured |  headings one size smaller
    +-------------+-------+----------+
    | rear centre | 430.0 |          |  numbers line up on the decimal point;
    | trail       |  61.4 |          |  blank columns take handwriting
    +-------------+-------+----------+

Every text stays inside its cell: it is broken into lines and its row grows, or, in the title
block, it is set smaller and cut short. Rows of one text height are of one height in all
tables, so panels of one width stack on one grid.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from layout.drafting.columns import NARROWEST, Cells, Column, Sized, before_point, columns_across, pad
from layout.drafting.entities import Align, Drawing, Entity, Line, Polyline, Text
from layout.drafting.lettering import line_step, text_width
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, THICK, Layer, Pen
from layout.drafting.wrapping import shorten, widest_piece, wrap

__all__ = ["Cells", "Column", "Field", "cut_short", "larger", "smaller", "table", "text_block", "title_block"]

HAND_ROW = 10.0
"""Least height of a row that a pencil writes in."""
TITLE_BLOCK_WIDTH = 180.0
"""ISO 7200 and ISO 5457: at most this wide, so that it fits an A4 sheet (from memory)."""

_INK = 1.6
"""From the tails (0.3) to the accents on capitals (1.3), over text height."""
_CLEAR = 1.2
"""Of a row beside that: the pen's 0.35 and the rule's 0.25, and 0.3 clear below and above."""
_SIZES = (2.5, 3.5, 5.0, 7.0, 10.0, 14.0)
"""Lettering heights of ISO 3098 (from memory)."""
_FIELD_HEADING = 2.5
_FIELD_VALUE = 5.0
_FIELD_SMALL = 3.5
_FIELD_CLEAR = 2.0
"""Of a row of fields beside its lettering: a third above, between heading and value, and below."""
_BLOCK_MARGIN = 0.3
"""Above the first and below the last line of a block of words, over text height."""
_PARAGRAPH_GAP = 0.6
"""Between paragraphs, over text height."""


class Field(NamedTuple):
    """One field of a title block: a small heading over its value, `share` of the row's width.

    A value too long for one line may take up to `lines`.
    """

    heading: str
    value: str
    share: float = 1.0
    lines: int = 2


def table(
    name: str,
    title: str,
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    *,
    text_height: float = TEXT_TABLE,
    width: float | None = None,
) -> Panel:
    """A ruled table, as wide as its contents, or stretched or narrowed to `width` mm.

    Raises ValueError where a row has not one cell for each column, or a column would be too
    narrow to take a character.
    """
    for row in rows:
        if len(row) != len(columns):
            raise ValueError(f"table {name}: a row of {len(row)} cells under {len(columns)} columns")
    small = smaller(text_height)
    laid = columns_across(columns, rows, text_height, small, total=width)
    hand = any(c.cells is Cells.BLANK for c in columns)
    bands = [_band(laid, row, text_height, hand) for row in rows]
    if any(c.heading for c in columns):
        bands.insert(0, _band(laid, [c.heading for c in columns], small, hand=False, heading=True))
    total = laid[-1].right
    top = sum(b.height for b in bands)
    entities: list[Entity] = []
    y = top
    for i, band in enumerate(bands):
        if i or title:
            entities.append(Line((0.0, y), (total, y), Layer.SHEET))
        y -= band.height
        for place, lines in zip(laid, band.cells, strict=True):
            entities.extend(_cell(place, lines, band, y))
    if top:
        entities.extend(Line((p.left, 0.0), (p.left, top), Layer.SHEET) for p in laid[1:])
    return _frame_with_title(name, title, entities, total, height=top, text_height=text_height)


def text_block(
    name: str, title: str, paragraphs: Sequence[str], width: float, text_height: float = TEXT_NOTE
) -> Panel:
    """Paragraphs broken into lines within a frame `width` mm wide.

    Raises ValueError where `width` takes no character.
    """
    inner = width - 2 * pad(text_height)
    if inner < NARROWEST * text_height:
        raise ValueError(f"text block {name}: {width:g} mm is too narrow for lettering of {text_height:g}")
    step, gap = line_step(text_height), _PARAGRAPH_GAP * text_height
    blocks = [lines for p in paragraphs if (lines := wrap(p, inner, text_height))]
    height = sum(len(b) * step + gap for b in blocks) - step - gap
    height = height + _height(1, text_height) + 2 * _BLOCK_MARGIN * text_height if blocks else 0.0
    entities: list[Entity] = []
    if title and blocks:
        entities.append(Line((0.0, height), (width, height), Layer.SHEET))
    y = height - _BLOCK_MARGIN * text_height - _height(1, text_height) / 2 - text_height / 2
    for lines in blocks:
        for line in lines:
            entities.append(Text((pad(text_height), y), line, text_height))
            y -= step
        y -= gap
    return _frame_with_title(name, title, entities, width, height=height, text_height=text_height)


def title_block(name: str, rows: Sequence[Sequence[Field]], width: float = TITLE_BLOCK_WIDTH) -> Panel:
    """Rows of fields, headings 2.5 high over values 5 high, in a frame `width` mm wide.

    A value too long for its field is set 3.5 high on up to `lines` lines, 2.5 high where a word is
    too long at that, and what is still too long ends in an ellipsis: `cut_short` tells which these are.
    """
    entities: list[Entity] = []
    y = sum(_field_row(_field_widths(row, width), row)[0] for row in rows)
    total = y
    for i, row in enumerate(rows):
        widths = _field_widths(row, width)
        height, values = _field_row(widths, row)
        if i:
            entities.append(Line((0.0, y), (width, y), Layer.SHEET))
        left = 0.0
        for field, w, (lines, size) in zip(row, widths, values, strict=True):
            if left:
                entities.append(Line((left, y - height), (left, y), Layer.SHEET))
            entities.extend(_field(field, lines, size, left, width=w, top=y))
            left += w
        y -= height
    return _frame_with_title(name, "", entities, width, height=total, text_height=_FIELD_VALUE)


def cut_short(rows: Sequence[Sequence[Field]], width: float) -> list[Field]:
    """The fields whose values a title block of that width does not show whole."""
    return [
        field
        for row in rows
        for field, across in zip(row, _field_widths(row, width), strict=True)
        if _field_value(field, across - 2 * pad(_FIELD_SMALL))[2]
    ]


def smaller(height: float) -> float:
    """The lettering height of ISO 3098 next below `height`, not under 2.5."""
    return max((s for s in _SIZES if s < height - 1e-9), default=_SIZES[0])


def larger(height: float) -> float:
    """The lettering height of ISO 3098 next above `height`, not over 14."""
    return min((s for s in _SIZES if s > height + 1e-9), default=_SIZES[-1])


class _Band(NamedTuple):
    """One row of a table: the lines of each cell and how high they are."""

    cells: tuple[tuple[str, ...], ...]
    text_height: float
    height: float
    heading: bool


def _height(lines: int, text_height: float) -> float:
    """What so many lines need between two rules, mm."""
    return _INK * text_height + (lines - 1) * line_step(text_height) + _CLEAR


def _foot(lines: int, text_height: float, height: float) -> float:
    """How far above the lower rule the first of so many lines stands when they are in the middle."""
    return (height - text_height + (lines - 1) * line_step(text_height)) / 2


def _band(
    laid: Sequence[Sized], row: Sequence[str], text_height: float, hand: bool, heading: bool = False
) -> _Band:
    cells = tuple(wrap(text, place.room, text_height) for place, text in zip(laid, row, strict=True))
    height = _height(max(1, *(len(lines) for lines in cells)), text_height)
    return _Band(cells, text_height, max(height, HAND_ROW) if hand else height, heading)


def _cell(place: Sized, lines: tuple[str, ...], band: _Band, bottom: float) -> Iterator[Text]:
    h = band.text_height
    y = bottom + _foot(len(lines), h, band.height)
    for line in lines:
        front = None if place.point is None or band.heading else before_point(line, h)
        if front is not None and place.point is not None:
            yield Text((place.point - front, y), line, h)
        elif place.column.cells is Cells.NUMBER:
            yield Text((place.right - place.pad, y), line, h, align=Align.END)
        elif place.column.cells is Cells.CENTRED:
            yield Text(((place.left + place.right) / 2, y), line, h, align=Align.MIDDLE)
        else:
            yield Text((place.left + place.pad, y), line, h)
        y -= line_step(h)


def _field_widths(row: Sequence[Field], width: float) -> list[float]:
    shares = sum(f.share for f in row)
    return [width * f.share / shares for f in row]


def _field_row(
    widths: Sequence[float], row: Sequence[Field]
) -> tuple[float, list[tuple[tuple[str, ...], float]]]:
    """The height of a row of fields, and each value's lines with their height."""
    values = [_field_value(f, w - 2 * pad(_FIELD_SMALL))[:2] for f, w in zip(row, widths, strict=True)]
    ink = [_INK * size + (len(lines) - 1) * line_step(size) for lines, size in values]
    return _INK * _FIELD_HEADING + max(_INK * _FIELD_VALUE, *ink) + _FIELD_CLEAR, values


def _field_value(field: Field, room: float) -> tuple[tuple[str, ...], float, bool]:
    """A value's lines, their height, and whether it is cut short."""
    value = field.value
    if text_width(value, _FIELD_VALUE) <= room:
        return ((value,) if value else ()), _FIELD_VALUE, False
    whole = (s for s in (_FIELD_SMALL, smaller(_FIELD_SMALL)) if widest_piece(value, s) <= room)
    size = next(whole, _FIELD_SMALL)
    lines = wrap(value, room, size)
    if len(lines) <= field.lines:
        return lines, size, False
    kept, rest = lines[: field.lines - 1], " ".join(value.split())
    for line in kept:
        rest = rest[len(line) :].lstrip()
    return (*kept, shorten(rest, room, size)), size, True


def _field(
    field: Field, lines: tuple[str, ...], size: float, left: float, width: float, top: float
) -> Iterator[Text]:
    # Heading and value each stand 1.3 of their height under what is above: room for accents.
    x, y = left + pad(_FIELD_SMALL), top - _FIELD_CLEAR / 3 - (_INK - 0.3) * _FIELD_HEADING
    heading = shorten(field.heading, width - 2 * pad(_FIELD_SMALL), _FIELD_HEADING)
    if heading:
        yield Text((x, y), heading, _FIELD_HEADING)
    y -= 0.3 * _FIELD_HEADING + _FIELD_CLEAR / 3 + (_INK - 0.3) * size
    for line in lines:
        yield Text((x, y), line, size)
        y -= line_step(size)


def _frame_with_title(
    name: str, title: str, inside: Sequence[Entity], width: float, height: float, text_height: float
) -> Panel:
    """Put a title of the next larger size over what is drawn, and a thick frame round both."""
    h = larger(text_height)
    lines = wrap(title, width - 2 * pad(text_height), h)
    extra = _height(len(lines), h) if lines else 0.0
    first = height + _foot(len(lines), h, extra)
    heading = [Text((pad(text_height), first - i * line_step(h)), line, h) for i, line in enumerate(lines)]
    total = height + extra
    corners = ((0.0, 0.0), (width, 0.0), (width, total), (0.0, total))
    frame = Polyline(corners, Layer.SHEET, closed=True, pen=Pen(THICK))
    return Panel(name, Drawing(title or name, (*heading, *inside, frame)), width, total)

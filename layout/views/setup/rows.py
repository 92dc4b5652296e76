"""The settings as rows of a page: a number, what it is, the value large, the jig's scale, room to write.

    +---+---------------------------+------------+-----------+----------+
    | 1 | front centre              |            | jig       |          |
    |   | BB centre straight to ... |   612.0    | 70 + 2    |          |
    +---+---------------------------+------------+-----------+----------+

Values are 10 high: they are read from where the builder stands. What the jig cannot be set to has
no number of its own, but a word.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from layout.bench.scale import Scale
from layout.bench.settings import ANGLE, CANNOT, Setting, value_text
from layout.drafting.entities import Align, Drawing, Entity, Line, Polyline, Text
from layout.drafting.lettering import line_step, text_width
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_CALLOUT, TEXT_NOTE, TEXT_TABLE, THICK, Layer, Pen
from layout.drafting.wrapping import wrap

VALUE = 10.0
PAD = 2.4
INK = 1.6
"""From tails to accents, over text height, as in drafting's tables."""
FIGURES = 1.3
"""The same of figures alone, which have neither."""
CLEAR = 1.8
"""Of a row beside its lettering."""
SHARES = (0.05, 0.41, 0.215, 0.185, 0.14)
"""Of the width: number, words, value, jig, reading."""
HEADINGS = ("", "set in this order", "value", "jig", "read")
GAUGE = "from plumb"


class _Line(NamedTuple):
    """One line of lettering in a cell, with the room it takes."""

    text: str
    height: float

    @property
    def step(self) -> float:
        """What it takes of a cell's height."""
        return FIGURES * self.height if self.height > TEXT_TABLE else line_step(self.height)


def settings_panel(found: Sequence[Setting], width: float, jig: bool) -> Panel:
    """The rows in a frame `width` mm wide; `jig`: its own scale is described."""
    edges = _edges(width)
    heading = INK * TEXT_NOTE + 1.4
    rows = [_cells(s, edges, jig) for s in found]
    heights = [max(sum(line.step for line in cell) for cell in row) + CLEAR for row in rows]
    total = heading + sum(heights)
    entities: list[Entity] = [*_headings(edges, total, heading, jig)]
    y = total - heading
    for row, height in zip(rows, heights, strict=True):
        entities.append(Line((0.0, y), (width, y), Layer.SHEET))
        y -= height
        for k, cell in enumerate(row):
            entities.extend(_letter_cell(cell, edges[k], edges[k + 1], y, height=height, column=k))
    entities.extend(Line((x, 0.0), (x, total), Layer.SHEET) for x in edges[1:-1])
    corners = ((0.0, 0.0), (width, 0.0), (width, total), (0.0, total))
    entities.append(Polyline(corners, Layer.SHEET, closed=True, pen=Pen(THICK)))
    return Panel("settings", Drawing("Settings", tuple(entities)), width, total)


def scale_words(scale: Scale) -> list[str]:
    """What the jig is set to: its scale's reading, or the step with the shims on it, and what to know.

    What cannot be set has no number.

    >>> scale_words(Scale(72.0, 70.0, 14, (1.5, 0.5)))
    ['70.0 + 1.5 + 0.5', 'hole 14']
    >>> scale_words(Scale(72.0, limits=(0.0, 70.0)))
    ['cannot be set']
    """
    if not scale.settable:
        return [CANNOT]
    if scale.step is None:
        lines = [format_number(scale.reading, 1)]
    else:
        lines = [" + ".join((format_number(scale.step, 1), *map(plain, scale.shims)))]
    if scale.hole is not None:
        lines.append(f"hole {scale.hole}")
    if not scale.reached:
        lines.append(f"off by {format_number(scale.error, 2)}")
    return lines


def plain(value: float) -> str:
    """A thickness with no more decimals than it has.

    >>> plain(2.0), plain(0.25)
    ('2', '0.25')
    """
    return format_number(value, 3).rstrip("0").rstrip(".")


def _edges(width: float) -> list[float]:
    edges = [0.0]
    for share in SHARES:
        edges.append(edges[-1] + share * width)
    edges[-1] = width
    return edges


def _headings(edges: Sequence[float], top: float, height: float, jig: bool) -> Iterator[Text]:
    words = (*HEADINGS[:3], "jig" if jig else GAUGE, HEADINGS[4])
    y = top - height / 2 - TEXT_NOTE / 2
    for k, word in enumerate(words):
        if k >= 2:
            yield Text(((edges[k] + edges[k + 1]) / 2, y), word, TEXT_NOTE, align=Align.MIDDLE)
        elif word:
            yield Text((edges[k] + PAD, y), word, TEXT_NOTE)


def _cells(setting: Setting, edges: Sequence[float], jig: bool) -> list[list[_Line]]:
    """The lines of a row's five cells."""
    room = edges[2] - edges[1] - 2 * PAD
    words = [_Line(setting.title, TEXT_TABLE)]
    notes = [setting.how]
    if jig and setting.main.unit == ANGLE:
        notes = [f"{setting.how}, {_complement_text(setting)} from plumb"]
    if setting.above_base is not None and not setting.name.endswith("_centre"):
        notes = _with_base(notes[0], setting.above_base, room)
    if setting.main.finished is not None:
        notes.append(f"value: rough end; finished: {format_number(setting.main.finished, 1)}")
    if setting.scale is not None and not setting.scale.settable:
        notes.append(setting.scale.goes)
    words += [_Line(line, TEXT_NOTE) for note in notes for line in wrap(note, room, TEXT_NOTE)]
    value = _fit_text(value_text(setting.main.value, setting.main.unit), edges[3] - edges[2] - 2 * PAD, VALUE)
    order = _fit_text(str(setting.number), edges[1] - PAD, TEXT_CALLOUT)
    return [[order], words, [value], _jig_cell(setting, edges, jig), []]


def _jig_cell(setting: Setting, edges: Sequence[float], jig: bool) -> list[_Line]:
    room = edges[4] - edges[3] - 2 * PAD
    scale = setting.scale
    if scale is None:
        plumb = setting.main.unit == ANGLE and not jig
        return [_fit_text(_complement_text(setting), room, TEXT_CALLOUT)] if plumb else []
    if not scale.settable:
        return [_fit_text(CANNOT, room, TEXT_TABLE)]
    first, *rest = scale_words(scale)
    lines = [_fit_text(first, room, TEXT_CALLOUT)]
    if lines[0].height < TEXT_TABLE:
        lines = [_Line(part, TEXT_TABLE) for part in wrap(first, room, TEXT_TABLE)]
    return [*lines, *(_fit_text(text, room, TEXT_NOTE) for text in rest)]


def _with_base(note: str, above: float, room: float) -> list[str]:
    """The note, and how far above the base that is; on one line where there is room."""
    base = f"base {format_number(above, 1)}"
    joined = f"{note}; {base}"
    return [joined] if text_width(joined, TEXT_NOTE) <= room else [note, f"above the {base}"]


def _complement_text(setting: Setting) -> str:
    """What is left to 90 of the angle as shown, so that the two add up."""
    return value_text(90.0 - float(format_number(setting.main.value, 1)), ANGLE)


def _fit_text(text: str, room: float, height: float) -> _Line:
    """The text at `height`, or smaller where the cell is too narrow."""
    width = text_width(text, height)
    return _Line(text, height if width <= room else height * room / width)


def _letter_cell(
    cell: Sequence[_Line], left: float, right: float, bottom: float, height: float, column: int
) -> Iterator[Entity]:
    """The lines of a cell, in the middle of its height; numbers centred, words from the left."""
    y = bottom + (height + sum(line.step for line in cell)) / 2
    for line in cell:
        y -= line.step
        base = y + (line.step - line.height) / 2
        if column == 1:
            yield Text((left + PAD, base), line.text, line.height)
        else:
            yield Text(((left + right) / 2, base), line.text, line.height, align=Align.MIDDLE)

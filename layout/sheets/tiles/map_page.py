"""The first page of a set of tiles: the map, how to join, the order, the check distances.

Blocks of words flow through columns under the map or beside it; the largest map with
which all of them fit is taken.

    +------------------+     +------------+-----+
    | map              |     | map        | how |
    +--------+---------+     |            +-----+
    | how    | check   |     +-----+------+ or- |
    | order  | dist.   |     | check      | der |
    +--------+---------+     +------------+-----+
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import product
from typing import NamedTuple

from layout.drafting.columns import Cells, Column, pad
from layout.drafting.entities import Drawing, Entity
from layout.drafting.flow import Flow
from layout.drafting.lettering import text_width
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.scales import REDUCTIONS, largest
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import table, text_block
from layout.drafting.transform import move
from layout.errors import Fault, SheetError
from layout.sheets.page import medium_words
from layout.sheets.tiles.grid import Grid
from layout.sheets.tiles.map import map_panel, map_size
from layout.sheets.tiles.order import JoiningStep, joining
from layout.sheets.tiles.page import TilePage

SCALES = REDUCTIONS[1:]
GUTTER = 6.0
"""Between two blocks, mm."""
NARROWEST = 70.0
"""A column takes at least this, mm: fewer words a line do not read."""
SMALL = 2.5

HOW = (
    "1  Print this page first at 100 %. Measure both bars: 100.0 mm each. Each page shows four corner names. "
    "If one is cut off, write the printer's margins in the spec (printer: margins).",
    "2  Print the other pages with the same settings. Wait one hour. Pages marked x are not printed.",
    "3  Where an edge says 'cut here', cut along that line, through the crosses. Lay the edge on the page "
    "named, so that crosses R1, R2 ... and ticks meet.",
    "4  Join each row from left to right. Stick each seam from its middle outwards. Measure the row.",
    "5  Lay each row on the row above. Measure again. More than 0.5 mm wrong: lift and join again.",
)

CheckRow = tuple[str, str]
"""What to measure on the drawing, and its value as shown."""


class _Words(NamedTuple):
    """How the blocks are set: lettering height, a column for readings, most checks after a step."""

    height: float
    hand: bool
    most: int = 2


SETTINGS = (_Words(TEXT_NOTE, True), _Words(SMALL, True), _Words(SMALL, False), _Words(SMALL, False, 1))


def map_page(
    tile_page: TilePage, room: Rect, drawing: Drawing, grid: Grid, *, checks: Sequence[CheckRow]
) -> Drawing:
    """The page's contents in sheet coordinates, inside `room`.

    Raises SheetError (code media) where the page is too small for them.
    """
    found = largest(SCALES, partial(_at_scale, room, drawing, grid, checks))
    if found is not None:
        return found
    medium = tile_page.page.medium
    raise SheetError(
        Fault(
            f"{medium_words(medium)} is too small for the map of {len(grid.kept)} tiles and its "
            f"{len(checks)} check distances. Use larger sheets or a roll.",
            code="media",
            key="media",
        )
    )


def _at_scale(
    room: Rect, drawing: Drawing, grid: Grid, checks: Sequence[CheckRow], scale: int
) -> Drawing | None:
    """The contents with the map at 1:`scale`, or None where they do not fit."""
    width, height = map_size(grid, scale)
    if width > room.width or height > room.height:
        return None
    panel = map_panel(drawing, grid, scale)
    for words, columns in product(SETTINGS, _columns(room, panel)):
        placed = _flow_blocks(grid, checks, words, columns)
        if placed is not None:
            corner = (room.left, room.top - panel.height)
            return Drawing("tile map", (*move(panel.drawing, *corner), *placed))
    return None


def _columns(room: Rect, panel: Panel) -> Iterator[list[Rect]]:
    """Ways of dividing what the map leaves: under it in two or three, or beside it and under it."""
    under = room.top - panel.height - GUTTER
    for count in (2, 3):
        width = (room.width - (count - 1) * GUTTER) / count
        lefts = [room.left + i * (width + GUTTER) for i in range(count)]
        if width >= NARROWEST:
            yield [Rect(x, room.bottom, x + width, under) for x in lefts]
    left = room.left + panel.width + GUTTER
    beside = Rect(left, room.bottom, room.right, room.top)
    below = Rect(room.left, room.bottom, left - GUTTER, under)
    if beside.width >= NARROWEST:
        yield [beside]
        if below.width >= NARROWEST:
            yield [beside, below]
            yield [below, beside]


def _flow_blocks(
    grid: Grid, checks: Sequence[CheckRow], words: _Words, columns: Sequence[Rect]
) -> list[Entity] | None:
    """The blocks one under the other through the columns, or None where they do not fit."""
    flow = Flow(columns, GUTTER)
    for block in range(3):
        panel = _block(block, grid, checks, words, width=flow.width)
        while panel is not None and not flow.fits(panel):
            if not flow.turn():
                return None
            panel = _block(block, grid, checks, words, width=flow.width)
        if panel is not None:
            flow.put(panel)
    return [e for column in flow.columns for placed in column for e in placed.drawing()]


def _step_rows(step: JoiningStep, most: int) -> Iterator[tuple[str, str, str]]:
    """A step, what to measure after it and how much; a row for each further check."""
    words = step.words
    for check in step.checks[:most]:
        yield words, f"{check.first} to {check.second}", format_number(check.distance, 1)
        words = ""
    if not step.checks:
        yield words, "", ""


def _block(index: int, grid: Grid, checks: Sequence[CheckRow], words: _Words, width: float) -> Panel | None:
    """The how, the order or the check distances, `width` mm wide; None where there is nothing to say."""
    if index == 0:
        return text_block("how", "How to join the pages", HOW, width, text_height=words.height)
    if index == 1:
        rows = [row for step in joining(grid) for row in _step_rows(step, words.most)]
        between = text_width("R000 to R000", words.height) + 2 * pad(words.height)
        columns = [
            Column("join"),
            Column("then measure", least=between, share=0.0),
            Column("mm", Cells.NUMBER, share=0.0),
        ]
        return table("order", "Order", columns, rows, text_height=words.height, width=width) if rows else None
    columns = [Column("check"), Column("mm", Cells.NUMBER, share=0.0)]
    if words.hand:
        columns.append(Column("measured", Cells.BLANK, share=0.0))
    values = [(label, value, "") if words.hand else (label, value) for label, value in checks]
    if not checks:
        return None
    return table("checks", "Check distances", columns, values, text_height=words.height, width=width)

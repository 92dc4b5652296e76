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
from functools import cache, partial
from itertools import product
from typing import NamedTuple

from layout.drafting.columns import Cells, Column, pad
from layout.drafting.entities import Drawing
from layout.drafting.flow import Flow, PlacedPanel
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
    blocks = _Blocks(grid, checks)
    found = largest(SCALES, partial(_at_scale, room, drawing, grid, blocks))
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


def _at_scale(room: Rect, drawing: Drawing, grid: Grid, blocks: _Blocks, scale: int) -> Drawing | None:
    """The contents with the map at 1:`scale`, or None where they do not fit. The map is drawn last."""
    width, height = map_size(grid, scale)
    if width > room.width or height > room.height:
        return None
    for words, columns in product(SETTINGS, _columns(room, width, height)):
        placed = _flow_blocks(blocks, words, columns)
        if placed is not None:
            panel = map_panel(drawing, grid, scale)
            shown = move(panel.drawing, room.left, room.top - height)
            return Drawing("tile map", (*shown, *(e for each in placed for e in each.drawing())))
    return None


def _columns(room: Rect, width: float, height: float) -> Iterator[list[Rect]]:
    """Ways of dividing what the map leaves: under it in two or three, or beside it and under it."""
    under = room.top - height - GUTTER
    for count in (2, 3):
        across = (room.width - (count - 1) * GUTTER) / count
        lefts = [room.left + i * (across + GUTTER) for i in range(count)]
        if across >= NARROWEST:
            yield [Rect(x, room.bottom, x + across, under) for x in lefts]
    left = room.left + width + GUTTER
    beside = Rect(left, room.bottom, room.right, room.top)
    below = Rect(room.left, room.bottom, left - GUTTER, under)
    if beside.width >= NARROWEST:
        yield [beside]
        if below.width >= NARROWEST:
            yield [beside, below]
            yield [below, beside]


def _flow_blocks(blocks: _Blocks, words: _Words, columns: Sequence[Rect]) -> list[PlacedPanel] | None:
    """The blocks one under the other through the columns, or None where they do not fit."""
    flow = Flow(columns, GUTTER)
    for made in (blocks.how, blocks.order, blocks.checks):
        panel = made(words, flow.width)
        while panel is not None and not flow.fits(panel):
            if not flow.turn():
                return None
            panel = made(words, flow.width)
        if panel is not None:
            flow.put(panel)
    return [placed for column in flow.columns for placed in column]


class _Blocks:
    """What stands beside the map, by how it is set and how wide: each is made once."""

    def __init__(self, grid: Grid, checks: Sequence[CheckRow]) -> None:
        self._how = cache(_how)
        self._order = cache(partial(_order, joining(grid)))
        self._checks = cache(partial(_check_table, checks))

    def how(self, words: _Words, width: float) -> Panel:
        """How the pages are joined."""
        return self._how(words.height, width)

    def order(self, words: _Words, width: float) -> Panel | None:
        """In which order; None where there is nothing to say."""
        return self._order(words.height, words.most, width)

    def checks(self, words: _Words, width: float) -> Panel | None:
        """The check distances; None where there are none."""
        return self._checks(words.height, words.hand, width)


def _how(height: float, width: float) -> Panel:
    return text_block("how", "How to join the pages", HOW, width, text_height=height)


def _order(steps: Sequence[JoiningStep], height: float, most: int, width: float) -> Panel | None:
    rows = [row for step in steps for row in _step_rows(step, most)]
    if not rows:
        return None
    between = text_width("R000 to R000", height) + 2 * pad(height)
    columns = [
        Column("join"),
        Column("then measure", least=between, share=0.0),
        Column("mm", Cells.NUMBER, share=0.0),
    ]
    return table("order", "Order", columns, rows, text_height=height, width=width)


def _step_rows(step: JoiningStep, most: int) -> Iterator[tuple[str, str, str]]:
    """A step, what to measure after it and how much; a row for each further check."""
    words = step.words
    for check in step.checks[:most]:
        yield words, f"{check.first} to {check.second}", format_number(check.distance, 1)
        words = ""
    if not step.checks:
        yield words, "", ""


def _check_table(checks: Sequence[CheckRow], height: float, hand: bool, width: float) -> Panel | None:
    if not checks:
        return None
    columns = [Column("check"), Column("mm", Cells.NUMBER, share=0.0)]
    if hand:
        columns.append(Column("measured", Cells.BLANK, share=0.0))
    rows = [(label, value, "") if hand else (label, value) for label, value in checks]
    return table("checks", "Check distances", columns, rows, text_height=height, width=width)

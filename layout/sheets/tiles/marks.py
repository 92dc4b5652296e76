"""What is printed on a tile beside its piece of the drawing: crosses, trim lines, bars and words.

A tile that has a neighbour on its left or above is cut along the trim line there and laid on that
neighbour, whose own trim line on the right or below shows where the cut edge comes to lie:

        1-1         |  1-2                   1-2's left edge is cut and laid on 1-1's right line;
        ... content |--- content             half crosses and half ticks on the cut edge
          edge of 1-2   ^cut                 run on into whole ones beneath

Trim lines run to the printable edge, so that a knife can follow them over the whole page.
Words keep to the bands outside the content.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from functools import partial
from typing import NamedTuple

from layout.drafting.cautions import CAUTION
from layout.drafting.entities import Align, Circle, Entity, Line, Text
from layout.drafting.lettering import text_width
from layout.drafting.style import TEXT_NOTE, THIN, Layer, Pen
from layout.drafting.vector import Point
from layout.drafting.wrapping import shorten
from layout.sheets.bar import BAR_LENGTH, bar
from layout.sheets.border import FINE_NOTE
from layout.sheets.page import PRINTING_WORDS, compensation_words, medium_words
from layout.sheets.tiles.cells import Cell
from layout.sheets.tiles.grid import OVERLAP, Grid
from layout.sheets.tiles.margins import GAP, WORDS_HEIGHT, Band, Thing, fill_bands, words
from layout.sheets.tiles.order import Node, corners, tile_name
from layout.sheets.tiles.page import TilePage

ARM = OVERLAP / 2
"""Half a registration cross, mm: as long as the overlap is wide."""
RING = 2.5
"""Radius of the ring round a registration cross, mm: where it closes, both directions are right."""
TICK = 2.5
"""Half a tick across a seam, mm."""
TICK_STEP = 50.0
"""Ticks along a seam, mm: close enough to see a page that is bent or turned."""
BASELINE = 1.25
"""Words stand this far above a band's outer (lower, right) side, mm: the descenders of 3.5 have room."""
NAME_BASELINE = 0.9
"""A tile's name has no descenders and is 3.5 high: this centres it in the band."""
ASIDE = 1.5
"""Between a trim line's end and the words beside it, mm."""
CROSS_NAMES = {TEXT_NOTE: 12.5, WORDS_HEIGHT: 10.0}
"""Heights of the names of crosses, and what is kept for them at both ends of a band, mm: R999 takes less."""
NARROW = 160.0
"""A page that is narrower between its trim lines has the smaller names."""
TITLE_ROOM = 45.0
"""The most of a page's bands that the drawing's title takes, mm: pages of two jobs are told apart."""
MARK_PEN = Pen(THIN)
APART = "do not join this page to the drawing"


class Tile(NamedTuple):
    """One tile of a grid: its cell, its neighbours' names by side, its page's number of `total`, the job."""

    cell: Cell
    left: str | None
    right: str | None
    above: str | None
    below: str | None
    number: int
    total: int
    title: str = ""
    mark: str = ""


def tile_of(grid: Grid, cell: Cell, number: int, total: int, title: str = "", mark: str = "") -> Tile:
    """A kept cell with its neighbours."""
    c, r = cell
    left, right, above, below = (
        tile_name(beside) if beside in grid.kept else None
        for beside in ((c - 1, r), (c + 1, r), (c, r - 1), (c, r + 1))
    )
    return Tile(cell, left, right, above, below=below, number=number, total=total, title=title, mark=mark)


def tile_marks(tile_page: TilePage, tile: Tile, crosses: Mapping[Node, str]) -> tuple[Entity, ...]:
    """Everything on a tile but the drawing, in sheet coordinates."""
    said = partial(page_words, tile_page, tile.number, tile.total, title=tile.title, mark=tile.mark)
    return (
        *_trim_lines(tile_page, tile),
        *_crosses(tile_page, tile, crosses),
        *_names(tile_page, tile_name(tile.cell)),
        *_filled(tile_page, lambda sizes: [*_neighbours(tile, sizes.joining), *_bars(), *said(sizes=sizes)]),
    )


def apart_marks(
    tile_page: TilePage, number: int, total: int, title: str = "", mark: str = ""
) -> tuple[Entity, ...]:
    """The bars and words of a page that is no tile, in sheet coordinates."""
    said = partial(page_words, tile_page, number, total, title=title, mark=mark)
    return tuple(_filled(tile_page, lambda sizes: [*_bars(), _apart(sizes), *said(sizes=sizes)]))


def _apart(sizes: Sizes) -> Thing:
    return words(APART, ("bottom", "top", "left", "right"), height=sizes.joining)


class Sizes(NamedTuple):
    """How high the words in the bands are, the caution among them, and what says how pages join, mm."""

    words: float
    caution: float
    joining: float


SIZES = (
    Sizes(WORDS_HEIGHT, WORDS_HEIGHT, TEXT_NOTE),
    Sizes(WORDS_HEIGHT, FINE_NOTE, TEXT_NOTE),
    Sizes(FINE_NOTE, FINE_NOTE, TEXT_NOTE),
    Sizes(FINE_NOTE, FINE_NOTE, FINE_NOTE),
)
"""The first that has room on a page is taken; a page no larger than A4 takes the caution smaller.

What says how pages join is read at arm's length, over a table: 3.5, a two-hundredth of 0.7 m.
"""


def _filled(tile_page: TilePage, things: Callable[[Sizes], list[Thing]]) -> list[Entity]:
    """The bands filled with things as large as there is room for; at the least size, the longest first."""
    *larger, least = SIZES
    for sizes in larger:
        with suppress(ValueError):
            return fill_bands(_bands(tile_page), things(sizes))
    fitted = sorted(things(least), key=lambda thing: (len(thing.bands), thing.spare, -thing.length))
    return fill_bands(_bands(tile_page), fitted, GAP * least.words / WORDS_HEIGHT)


def page_words(
    tile_page: TilePage, number: int, total: int, title: str, mark: str, sizes: Sizes
) -> list[Thing]:
    """What every page says of itself, of how it is to be printed, and the caution."""
    page, high, least = tile_page.page, sizes.words, sizes is SIZES[-1]
    marked = [words(mark, ("bottom", "top", "left", "right"), height=high)] if mark else []
    return [
        words(f"page {number} of {total}", ("bottom", "top", "left", "right"), height=high),
        words(PRINTING_WORDS, ("top", "left", "right", "bottom"), height=high),
        words(medium_words(page.medium), ("top", "left", "right", "bottom"), spare=least, height=high),
        words(compensation_words(page.printer), ("left", "top", "right", "bottom"), height=high),
        *marked,
        *(words(w, ("left", "top", "right", "bottom"), height=sizes.caution) for w in CAUTION),
        words(shorten(title, TITLE_ROOM, high), ("top", "left", "right", "bottom"), spare=True, height=high),
    ]


def _bands(tile_page: TilePage) -> dict[str, Band]:
    """The four bands between the names of the crosses, by side."""
    edge, content, trim = tile_page.edge, tile_page.content, tile_page.trim
    room = CROSS_NAMES[_cross_name_height(tile_page)]
    left, bottom = trim.left + room, trim.bottom + ASIDE
    across, up = trim.width - 2 * room, trim.height - 2 * ASIDE
    return {
        "bottom": Band((left, edge.bottom + BASELINE), 0.0, across),
        "top": Band((left, content.top + BASELINE), 0.0, across),
        "left": Band((content.left - BASELINE, bottom), 90.0, up),
        "right": Band((edge.right - BASELINE, bottom), 90.0, up),
    }


def _bars() -> list[Thing]:
    """A bar each way, on the sides that are not cut."""
    return [Thing(BAR_LENGTH, bar, ("bottom", "top")), Thing(BAR_LENGTH, bar, ("right", "left"))]


def _neighbours(tile: Tile, height: float) -> Iterable[Thing]:
    for name, side in ((tile.left, "left"), (tile.above, "top")):
        if name:
            yield words(f"cut here, lay on {name}", (side,), height=height)
    for name, side in ((tile.right, "right"), (tile.below, "bottom")):
        if name:
            yield words(f"edge of {name} lies on this line", (side,), height=height)


def _names(tile_page: TilePage, name: str) -> Iterator[Text]:
    """The tile's name in all four corners, outside the trim lines: some always stay in sight."""
    edge, content, trim = tile_page.edge, tile_page.content, tile_page.trim
    room = trim.left - edge.left - ASIDE
    height = TEXT_NOTE if text_width(name, TEXT_NOTE) <= room else WORDS_HEIGHT
    for y in (edge.bottom + NAME_BASELINE, content.top + NAME_BASELINE):
        yield Text(((edge.left + trim.left) / 2, y), name, height, Layer.SHEET, align=Align.MIDDLE)
        yield Text(((edge.right + trim.right) / 2, y), name, height, Layer.SHEET, align=Align.MIDDLE)


def _crosses(tile_page: TilePage, tile: Tile, names: Mapping[Node, str]) -> Iterator[Entity]:
    """A ringed cross at each corner of the trim lines, its name in the band beside it."""
    edge, content, trim = tile_page.edge, tile_page.content, tile_page.trim
    below, above = edge.bottom + BASELINE, content.top + BASELINE
    places: tuple[tuple[Point, Point, Align], ...] = (
        ((trim.left, trim.top), (trim.left + ASIDE, above), Align.START),
        ((trim.right, trim.top), (trim.right - ASIDE, above), Align.END),
        ((trim.left, trim.bottom), (trim.left + ASIDE, below), Align.START),
        ((trim.right, trim.bottom), (trim.right - ASIDE, below), Align.END),
    )
    for node, (at, name_at, align) in zip(corners(tile.cell), places, strict=True):
        yield from cross(at)
        yield Text(name_at, names[node], _cross_name_height(tile_page), Layer.SHEET, align=align)


def _cross_name_height(tile_page: TilePage) -> float:
    return TEXT_NOTE if tile_page.trim.width >= NARROW else WORDS_HEIGHT


def cross(at: Point) -> tuple[Entity, ...]:
    """A registration cross with its ring."""
    x, y = at
    return (
        Line((x - ARM, y), (x + ARM, y), Layer.SHEET, MARK_PEN),
        Line((x, y - ARM), (x, y + ARM), Layer.SHEET, MARK_PEN),
        Circle(at, RING, Layer.SHEET, MARK_PEN),
    )


def _trim_lines(tile_page: TilePage, tile: Tile) -> Iterator[Line]:
    """A line on each side that has a neighbour, over the whole page, with ticks across it."""
    edge, trim = tile_page.edge, tile_page.trim
    for x, name in ((trim.left, tile.left), (trim.right, tile.right)):
        if name:
            yield Line((x, edge.bottom), (x, edge.top), Layer.SHEET, MARK_PEN)
            for y in _ticks(trim.bottom, trim.top):
                yield Line((x - TICK, y), (x + TICK, y), Layer.SHEET, MARK_PEN)
    for y, name in ((trim.bottom, tile.below), (trim.top, tile.above)):
        if name:
            yield Line((edge.left, y), (edge.right, y), Layer.SHEET, MARK_PEN)
            for x in _ticks(trim.left, trim.right):
                yield Line((x, y - TICK), (x, y + TICK), Layer.SHEET, MARK_PEN)


def _ticks(first: float, last: float) -> Iterator[float]:
    """Places between two crosses, TICK_STEP apart and clear of both."""
    at = first + TICK_STEP
    while at < last - TICK_STEP / 2:
        yield at
        at += TICK_STEP

"""A drawing on tiles: pages of a cut sheet's size that are joined to the view at true scale.

The grid is found first, for what the pages must hold; then the callouts are placed among its seams.
All pages lie the same way round, whichever takes fewer of them, and the drawing is never turned. The
first page is the map; title block, tables and cautions stand beside it where the page is wide, and follow
on pages that are not joined. On large sheets all of it stands beside the frame where there is room.
Every tile places the same Drawing, clipped to its content.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from layout.drafting.bounds import bounds
from layout.drafting.entities import ControlPoint, Drawing
from layout.drafting.panel_pages import column_count
from layout.drafting.sheet_number import numbered_sheet
from layout.drafting.transform import move
from layout.errors import Fault, SheetError
from layout.sheets.composition import Arrangement, PagedComposition
from layout.sheets.media import TRUE_PRINTER, Medium, Printer
from layout.sheets.page import Page, cut_pages
from layout.sheets.sheet import TILES, Placement, Sheet
from layout.sheets.tiles.beside import blocks_beside
from layout.sheets.tiles.grid import Choice, Grid, best_grid
from layout.sheets.tiles.ink import ink_of
from layout.sheets.tiles.map_page import CheckRow, map_page
from layout.sheets.tiles.marks import apart_marks, tile_marks, tile_of
from layout.sheets.tiles.order import cross_names, tile_name
from layout.sheets.tiles.page import TilePage


@dataclass(frozen=True)
class Tiling:
    """How a drawing is cut for one medium."""

    page: TilePage
    grid: Grid
    composition: PagedComposition


def lay_tiles(
    arrangement: Arrangement,
    medium: Medium,
    printer: Printer = TRUE_PRINTER,
    checks: Sequence[CheckRow] = (),
) -> list[Sheet]:
    """The map page, the pages of tables, and the tiles in reading order; on large sheets perhaps tiles alone.

    `checks` are the drawing's check distances (label, value as shown), listed on the map page.
    Raises SheetError (code media) where a page is too small for its map.
    """
    tiling = tile_arrangement(arrangement, medium, printer)
    beside = blocks_beside(arrangement, tiling.page, tiling.grid, tiling.composition, checks=checks)
    if beside is not None:
        tiling = replace(tiling, composition=beside.composition)
        return _tile_sheets(tiling, 1, len(tiling.grid.kept), beside.blocks)
    apart = list(_apart_pages(arrangement, tiling, checks))
    total = len(apart) + len(tiling.grid.kept)
    return [*_apart_sheets(tiling, apart, total), *_tile_sheets(tiling, len(apart) + 1, total)]


def tile_arrangement(arrangement: Arrangement, medium: Medium, printer: Printer = TRUE_PRINTER) -> Tiling:
    """Cut an arrangement the better way round: the fewest pages, then the clearest seams.

    Raises SheetError (code media) where the arrangement has nothing that pages must hold.
    """
    held, axes = arrangement.held, arrangement.axes
    room = bounds((*held, *axes))
    if room is None:
        message = "nothing is drawn that tiles could hold. Use a roll."
        raise SheetError(Fault(message, code="media", key="media"))
    ink, liked = ink_of(held, room), ink_of(axes, room)
    points = [e.at for e in held if isinstance(e, ControlPoint)]
    found: list[tuple[Choice, TilePage]] = []
    for page in cut_pages(medium, printer):
        tile_page = TilePage(page)
        found.append((best_grid(ink, liked, points, *tile_page.step), tile_page))
    choice, tile_page = min(found, key=lambda f: f[0].cost)
    return Tiling(tile_page, choice.grid, arrangement.paged(choice.grid.rooms()))


def _apart_pages(
    arrangement: Arrangement, tiling: Tiling, checks: Sequence[CheckRow]
) -> Iterator[tuple[str, Drawing]]:
    """Pages that are not joined, by name, in sheet coordinates: the map, tables next to it, more tables.

    A drawing that one page holds needs no map.
    """
    content, drawn, grid = tiling.page.content, tiling.composition, tiling.grid
    mapped = len(grid.kept) > 1
    columns, each = column_count(content.width)
    room = content._replace(right=content.left + each) if columns > 1 else content
    taken = room.width if mapped else 0.0
    tables = arrangement.table_pages(content.width, content.height, drawn.lost, taken)
    pages = [move(page, content.left, content.bottom) for page in tables]
    if mapped:
        shown = map_page(tiling.page, room, drawn.drawing, grid, checks=checks)
        yield "map", shown.with_entities(pages.pop(0))
    for number, page in enumerate(pages, 1):
        yield "tables" if len(pages) == 1 else f"tables-{number}", page


def _apart_sheets(tiling: Tiling, pages: Sequence[tuple[str, Drawing]], total: int) -> Iterator[Sheet]:
    """The pages that are not joined, with the bars and words that stand on every page."""
    title = tiling.composition.drawing.title
    for number, (name, drawing) in enumerate(pages, 1):
        marks = apart_marks(tiling.page, number, total, title, mark=tiling.composition.mark)
        numbered = numbered_sheet(drawing, number, total)
        yield _sheet(tiling.page.page, name, (Placement(numbered, 0.0, 0.0),), Drawing(name, marks))


def _tile_sheets(tiling: Tiling, first: int, total: int, beside: Sequence[Drawing] = ()) -> list[Sheet]:
    """The tiles; `beside` is what else stands on each, in the view's coordinates."""
    page, grid, drawn = tiling.page, tiling.grid, tiling.composition
    crosses = cross_names(grid)
    sheets: list[Sheet] = []
    for number, cell in enumerate(grid.kept, start=first):
        corner = grid.cell(*cell)
        placement = Placement(
            tiling.composition.drawing,
            round(page.trim.left - corner.left, 6),
            round(page.trim.bottom - corner.bottom, 6),
            clip=page.content,
        )
        blocks = beside[number - first : number - first + 1]
        more = (replace(placement, drawing=numbered_sheet(b, number, total), clip=None) for b in blocks)
        tile = tile_of(grid, cell, number, total, title=drawn.drawing.title, mark=drawn.mark)
        marks = tile_marks(page, tile, crosses)
        name = tile_name(cell)
        sheets.append(_sheet(page.page, name, (placement, *more), Drawing(name, marks)))
    return sheets


def _sheet(page: Page, name: str, placements: tuple[Placement, ...], furniture: Drawing) -> Sheet:
    return Sheet(
        name,
        page.medium.name,
        TILES,
        width=page.width,
        height=page.height,
        placements=placements,
        furniture=furniture,
        stretch=page.stretch,
    )

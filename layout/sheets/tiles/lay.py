"""A drawing on tiles: pages of a cut sheet's size that are taped together to the roll drawing.

All pages lie the same way round, whichever takes fewer of them, and the drawing is never turned.
The first page is the map. Every tile places the same Drawing, clipped to its content.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.drafting.entities import AngleDimension, ControlPoint, Drawing, LengthDimension
from layout.errors import SheetError
from layout.sheets.composition import Arrangement, Composition
from layout.sheets.media import TRUE_PRINTER, Medium, Printer
from layout.sheets.page import Page, cut_pages
from layout.sheets.roll import composed_for_roll, default_roll
from layout.sheets.sheet import Placement, Sheet
from layout.sheets.tiles.grid import Choice, Grid, best_grid
from layout.sheets.tiles.ink import ink_of
from layout.sheets.tiles.map_page import CheckRow, map_page
from layout.sheets.tiles.marks import map_marks, tile_marks, tile_of
from layout.sheets.tiles.order import cross_names, tile_name
from layout.sheets.tiles.page import TilePage
from layout.sheets.tiles.seams import features_of

KIND = "tiles"


@dataclass(frozen=True)
class Tiling:
    """How a composition is cut for one medium."""

    page: TilePage
    grid: Grid
    composition: Composition


def lay_tiles(
    arrangement: Arrangement,
    medium: Medium,
    printer: Printer = TRUE_PRINTER,
    checks: Sequence[CheckRow] = (),
) -> list[Sheet]:
    """The map page and the tiles, in reading order.

    `checks` are the drawing's check distances (label, value as shown), listed on the map page.
    Raises SheetError (code media) where a page is too small for its map.
    """
    tiling = tile_composition(roll_composition(arrangement, printer), medium, printer)
    total = len(tiling.grid.kept) + 1
    return [_map_sheet(tiling, checks, total), *_tile_sheets(tiling, total)]


def roll_composition(arrangement: Arrangement, printer: Printer = TRUE_PRINTER) -> Composition:
    """The composition that lies on the default roll; as much as it takes where no roll holds it."""
    try:
        roll = default_roll(arrangement, printer)
    except SheetError:
        return arrangement.composed(None, None)
    return composed_for_roll(arrangement, roll, printer)[0]


def tile_composition(composition: Composition, medium: Medium, printer: Printer = TRUE_PRINTER) -> Tiling:
    """Cut a composition the better way round: fewest pages, then the cleanest seams."""
    ink = ink_of(composition.core, composition.bounds)
    measured = [e for e in composition.core if isinstance(e, ControlPoint | LengthDimension | AngleDimension)]
    bound = ink_of(measured, composition.bounds)
    features = features_of(composition.drawing)
    found: list[tuple[Choice, TilePage]] = []
    for page in cut_pages(medium, printer):
        tile_page = TilePage(page)
        found.append((best_grid(ink, bound, features, *tile_page.step), tile_page))
    choice, tile_page = min(found, key=lambda f: f[0].cost)
    return Tiling(tile_page, choice.grid, composition)


def _map_sheet(tiling: Tiling, checks: Sequence[CheckRow], total: int) -> Sheet:
    drawing = map_page(tiling.page, tiling.composition.drawing, tiling.grid, checks)
    drawn = tiling.composition
    marks = map_marks(tiling.page, 1, total, drawn.drawing.title, mark=drawn.mark)
    return _sheet(tiling.page.page, "map", (Placement(drawing, 0.0, 0.0),), Drawing("map", marks))


def _tile_sheets(tiling: Tiling, total: int) -> list[Sheet]:
    page, grid, drawn = tiling.page, tiling.grid, tiling.composition
    crosses = cross_names(grid)
    sheets: list[Sheet] = []
    for number, cell in enumerate(grid.kept, start=2):
        corner = grid.cell(*cell)
        placement = Placement(
            tiling.composition.drawing,
            round(page.trim.left - corner.left, 6),
            round(page.trim.bottom - corner.bottom, 6),
            clip=page.content,
        )
        tile = tile_of(grid, cell, number, total, title=drawn.drawing.title, mark=drawn.mark)
        marks = tile_marks(page, tile, crosses)
        name = tile_name(cell)
        sheets.append(_sheet(page.page, name, (placement,), Drawing(name, marks)))
    return sheets


def _sheet(page: Page, name: str, placements: tuple[Placement, ...], furniture: Drawing) -> Sheet:
    return Sheet(
        name,
        page.medium.name,
        KIND,
        width=page.width,
        height=page.height,
        placements=placements,
        furniture=furniture,
        stretch=page.stretch,
    )

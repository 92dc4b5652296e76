"""On large cut sheets map and tables stand in free room beside the frame, where there is room for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from layout.drafting.bounds import box_of
from layout.drafting.clip import break_lines
from layout.drafting.entities import Drawing
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.drafting.transform import move
from layout.sheets.composition import Arrangement, PagedComposition
from layout.sheets.media import OFFICE_PRINTER
from layout.sheets.tiles.free_room import GRAIN, BlockPlace, FreeRoom
from layout.sheets.tiles.grid import Grid
from layout.sheets.tiles.map_page import CheckRow, map_page
from layout.sheets.tiles.page import TilePage

BLOCK = 190.0
"""As wide as the tables are on A4, mm."""
MAP_HEIGHT = 277.0
"""As high as the map is there."""
HEIGHTS = (560.0, 330.0, 230.0, 180.0)
"""Of columns of tables, mm: the fewest for which there is room are taken."""

IN = 7.0
"""Blocks keep so far inside the trim lines, clear of the crosses at their corners, mm."""


class Beside(NamedTuple):
    """The view with its wheels drawn round the blocks, and each page's blocks, in the view's coordinates."""

    composition: PagedComposition
    blocks: tuple[Drawing, ...]


def blocks_beside(
    arrangement: Arrangement,
    tile_page: TilePage,
    grid: Grid,
    composition: PagedComposition,
    *,
    checks: Sequence[CheckRow],
) -> Beside | None:
    """Map and tables in free room of the pages; None on office paper, and where not all have room."""
    if tile_page.page.medium.device is OFFICE_PRINTER:
        return None
    pages = [grid.cell(*cell).grown(-IN) for cell in grid.kept]
    maps = [_map(tile_page, grid, composition, checks)] if len(grid.kept) > 1 else []
    room = FreeRoom.beside(composition.drawing, pages)
    for height in HEIGHTS:
        blocks = [*maps, *arrangement.table_pages(BLOCK, height, composition.lost)]
        boxes = [box_of(block) for block in blocks]
        if sum(box.width * box.height for box in boxes) > room.area:
            break
        places = room.places([(box.width, box.height) for box in boxes])
        if places is not None:
            return _set(composition, len(pages), list(zip(blocks, boxes, places, strict=True)))
    return None


def _set(
    composition: PagedComposition, pages: int, blocks: Sequence[tuple[Drawing, Rect, BlockPlace]]
) -> Beside:
    """The blocks moved to their places, and the view with its wheels drawn round them."""
    moved = [(at.page, move(d, at.left - box.left, at.bottom - box.bottom)) for d, box, at in blocks]
    holes = [box_of(block).grown(GRAIN / 2) for _, block in moved]
    drawing = composition.drawing
    kept = (
        piece for e in drawing for piece in (break_lines(e, holes) if e.layer is Layer.WHEEL else (e,))
    )
    return Beside(
        replace(composition, drawing=Drawing(drawing.title, tuple(kept))),
        tuple(
            Drawing("tables", tuple(e for k, block in moved if k == page for e in block))
            for page in range(pages)
        ),
    )


def _map(
    tile_page: TilePage, grid: Grid, composition: PagedComposition, checks: Sequence[CheckRow]
) -> Drawing:
    return map_page(tile_page, Rect(0.0, 0.0, BLOCK, MAP_HEIGHT), composition.drawing, grid, checks=checks)

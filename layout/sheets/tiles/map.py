"""A reduced view with the tiles over it: where each page lies, and which are not printed.

+-----+-----+
| 1-1 | 1-2 |  x     names stand clear of the view's lines;
+-----+-----+-----+   a cell with an x has nothing that is needed
| 2-1 | 2-2 | 2-3 |
+-----+-----+-----+
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from layout.drafting.bounds import box_of, entity_bounds
from layout.drafting.clip import break_lines, clip
from layout.drafting.entities import Align, Arc, Circle, Drawing, Entity, Line, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.reduce import reduce_drawing
from layout.drafting.scales import reduced_words
from layout.drafting.style import SCRIBE, TEXT_NOTE, THIN, Layer, Pen
from layout.drafting.transform import move
from layout.sheets.tiles.cells import Cell
from layout.sheets.tiles.grid import Grid
from layout.sheets.tiles.order import tile_name

NAME_HEIGHTS = (TEXT_NOTE, 2.5, 1.8)
"""A tile's name on the map: the largest of ISO 3098 that its cell takes."""
NAME_CLEAR = 0.8
"""Kept free of lines round a name, mm."""
SMALLEST = 1.0
"""What would be smaller than this on the map, mm, is left out: it would only be a blot."""
RULES_APART = 2.0
"""Rules of a table closer than this on the map, mm, are thinned out."""
HEADING_ROOM = 7.0
"""Over the map, for its heading."""
STRIKE = 1.5
"""Half the width of the x in a cell that is not printed: seen, but not read as part of the frame."""
TILE_PEN = Pen(SCRIBE)
VIEW_PEN = Pen(THIN)


def map_panel(drawing: Drawing, grid: Grid, scale: int) -> Panel:
    """The map at 1:`scale`, with a heading that says so."""
    factor = 1.0 / scale
    frame = _frame(grid, factor)
    names = list(_names(grid, factor))
    holes = [box_of([name]).grown(NAME_CLEAR) for name in names]
    entities: list[Entity] = [
        piece
        for stroke in _view(drawing, factor)
        for inside in clip(stroke, frame)
        for piece in break_lines(inside, holes)
    ]
    entities += _edges(grid, factor)
    entities += _strikes(grid, factor)
    entities += names
    heading = Text((frame.left, frame.top + 2.0), _heading(scale), TEXT_NOTE, Layer.SHEET)
    content = Drawing("tile map", (*entities, heading))
    return Panel("map", move(content, -frame.left, -frame.bottom), *map_size(grid, scale))


def map_size(grid: Grid, scale: int) -> tuple[float, float]:
    """Width and height of the map at 1:`scale`, mm."""
    frame = _frame(grid, 1.0 / scale)
    return max(frame.width, text_width(_heading(scale), TEXT_NOTE)), frame.height + HEADING_ROOM


def _heading(scale: int) -> str:
    return f"tiles, {reduced_words(scale)}"


def _frame(grid: Grid, factor: float) -> Rect:
    (left, top), (right, bottom) = grid.node(0, 0), grid.node(grid.columns, grid.rows)
    return Rect(left * factor, bottom * factor, right * factor, top * factor)


def _view(drawing: Drawing, factor: float) -> Iterator[Entity]:
    """The view's strokes in one thin pen, closely ruled lines thinned out."""
    ruled: list[Line] = []
    for e in reduce_drawing(drawing, factor):
        box = entity_bounds(e)
        if not isinstance(e, Line | Arc | Circle | Polyline) or box is None:
            continue
        if max(box.width, box.height) < SMALLEST:
            continue
        if isinstance(e, Line) and e.layer is Layer.SHEET:
            if any(_crowds(e, other) for other in ruled):
                continue
            ruled.append(e)
        yield replace(e, pen=VIEW_PEN)


def _crowds(a: Line, b: Line) -> bool:
    """Whether two level or two upright lines run side by side closer than RULES_APART."""
    for along, across in ((0, 1), (1, 0)):
        if a.start[across] == a.end[across] and b.start[across] == b.end[across]:
            beside = min(max(a.start[along], a.end[along]), max(b.start[along], b.end[along])) > max(
                min(a.start[along], a.end[along]), min(b.start[along], b.end[along])
            )
            return beside and abs(a.start[across] - b.start[across]) < RULES_APART
    return False


def _names(grid: Grid, factor: float) -> Iterator[Text]:
    for cell in grid.kept:
        (x, y), name = grid.cell(*cell).centre, tile_name(cell)
        room = grid.step_x * factor - 2 * NAME_CLEAR
        height = next((h for h in NAME_HEIGHTS if text_width(name, h) <= room), NAME_HEIGHTS[-1])
        yield Text((x * factor, y * factor - height / 2), name, height, Layer.SHEET, align=Align.MIDDLE)


def _edges(grid: Grid, factor: float) -> Iterator[Line]:
    """The edges of the tiles that are printed, each once."""
    kept = set(grid.kept)
    for c, r in product(range(grid.columns + 1), range(grid.rows + 1)):
        if {(c - 1, r), (c, r)} & kept:
            yield _edge(grid, factor, (c, r), (c, r + 1), pen=TILE_PEN)
        if {(c, r - 1), (c, r)} & kept:
            yield _edge(grid, factor, (c, r), (c + 1, r), pen=TILE_PEN)


def _strikes(grid: Grid, factor: float) -> Iterator[Line]:
    """A small x in each cell that is not printed."""
    for cell in _left_out(grid):
        x, y = (v * factor for v in grid.cell(*cell).centre)
        for rise in (STRIKE, -STRIKE):
            yield Line((x - STRIKE, y - rise), (x + STRIKE, y + rise), Layer.SHEET, VIEW_PEN)


def _left_out(grid: Grid) -> Iterable[Cell]:
    return [cell for cell in product(range(grid.columns), range(grid.rows)) if cell not in grid.kept]


def _edge(grid: Grid, factor: float, a: Cell, b: Cell, pen: Pen) -> Line:
    (ax, ay), (bx, by) = grid.node(*a), grid.node(*b)
    return Line((ax * factor, ay * factor), (bx * factor, by * factor), Layer.SHEET, pen)

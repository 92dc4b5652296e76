"""Free room on large sheets: where blocks go that else take pages of their own.

A page is looked at in cells of GRAIN: those with ink, and those next to them, are taken. Wheels give way:
they are drawn round a block. Blocks are set from the top left corner, column by column, page after page.

    +-----------------------------+
    | map   |              | more |
    |-------+    frame     | tab- |
    | table |              | les  |
    +-----------------------------+
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.drafting.bounds import bounds
from layout.drafting.dimensions import explode
from layout.drafting.entities import DatumLine, Drawing, Entity, Text
from layout.drafting.pieces import pieces
from layout.drafting.rect import Rect
from layout.drafting.style import Layer

GRAIN = 5.0
"""Side of a cell, mm; a block is at least so far from what is drawn."""

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Size = tuple[float, float]


class BlockPlace(NamedTuple):
    """Where a block lies: on which page, and its lower left corner in the drawing's coordinates."""

    page: int
    left: float
    bottom: float


class FreeRoom(NamedTuple):
    """The free cells of `pages`, which say where blocks may lie on each, in the drawing's coordinates."""

    pages: tuple[Rect, ...]
    cells: tuple[Bools, ...]

    @staticmethod
    def beside(drawing: Drawing, pages: Sequence[Rect]) -> FreeRoom:
        """What a drawing leaves free."""
        ink = np.array(list(_inked(drawing)), dtype=float).reshape(-1, 4)
        return FreeRoom(tuple(pages), tuple(_free_cells(page, ink) for page in pages))

    @property
    def area(self) -> float:
        """Of all free cells, mm²."""
        return float(sum(cells.sum() for cells in self.cells)) * GRAIN**2

    def places(self, blocks: Sequence[Size]) -> list[BlockPlace] | None:
        """A place for each block (width, height in mm), none on an earlier page than the one before.

        None where there is not room for all.
        """
        cells, page = [each.copy() for each in self.cells], 0
        found: list[BlockPlace] = []
        for block in blocks:
            place = None
            while place is None and page < len(self.pages):
                place = _placed(block, page, self.pages[page], cells[page])
                page += place is None
            if place is None:
                return None
            found.append(place)
        return found


def _placed(block: Size, number: int, page: Rect, free: Bools) -> BlockPlace | None:
    """The first place on a page from the left, then from the top; its cells are no longer free."""
    wide, high = (max(1, int(np.ceil(side / GRAIN))) for side in block)
    rows, columns = free.shape
    if high > rows or wide > columns:
        return None
    taken = np.zeros((rows + 1, columns + 1), dtype=int)
    taken[1:, 1:] = np.cumsum(np.cumsum(~free, axis=0), axis=1)
    under = taken[high:, wide:] - taken[:-high, wide:] - taken[high:, :-wide] + taken[:-high, :-wide]
    across, up = np.nonzero(under.T == 0)
    if not len(across):
        return None
    column = int(across[0])
    row = int(up[across == column].max())
    free[max(row - 1, 0) : row + high + 1, max(column - 1, 0) : column + wide + 1] = False
    top = page.bottom + (row + high) * GRAIN
    return BlockPlace(number, page.left + column * GRAIN, top - block[1])


def _free_cells(page: Rect, ink: Floats) -> Bools:
    """The cells of a page, rows from below, that have no ink in them or beside them."""
    rows, columns = int(page.height // GRAIN), int(page.width // GRAIN)
    low = np.floor((ink[:, :2] - (page.left, page.bottom)) / GRAIN).astype(int) - 1
    high = np.floor((ink[:, 2:] - (page.left, page.bottom)) / GRAIN).astype(int) + 2
    near = (high > 0).all(axis=1) & (low < (columns, rows)).all(axis=1)
    free = np.ones((rows, columns), dtype=bool)
    boxes = np.concatenate([np.maximum(low[near], 0), high[near]], axis=1)
    for left, bottom, right, top in boxes.tolist():
        free[bottom:top, left:right] = False
    return free


def _inked(drawing: Drawing) -> Iterator[tuple[float, float, float, float]]:
    """What is drawn, but for wheels, as boxes no longer than a cell where it is a line."""
    for whole in drawing:
        for e in explode(whole) if not isinstance(whole, DatumLine) else ():
            if isinstance(e, Text):
                box = bounds([e])
                if box is not None:
                    yield box.left, box.bottom, box.right, box.top
            elif e.layer is not Layer.WHEEL:
                yield from _steps(e)


def _steps(e: Entity) -> Iterator[tuple[float, float, float, float]]:
    for (x1, y1), (x2, y2) in pieces(e):
        count = max(1, math.ceil(max(abs(x2 - x1), abs(y2 - y1)) / GRAIN))
        dx, dy = (x2 - x1) / count, (y2 - y1) / count
        for k in range(count):
            x, y = x1 + k * dx, y1 + k * dy
            yield min(x, x + dx), min(y, y + dy), max(x, x + dx), max(y, y + dy)

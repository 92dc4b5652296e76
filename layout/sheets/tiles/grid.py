"""Cutting a drawing into tiles: which grid takes the fewest pages, and which of its pages are needed.

Neighbouring tiles meet at a trim line and both print OVERLAP round it, half on either side.
Columns run left to right, rows from the top down; nodes are where trim lines cross.

    node (0, 0)   node (1, 0)
        +-------------+-------------+
        |             |             |  row 0
        |  cell (0,0) |  cell (1,0) |
        +-------------+-------------+
        |             |             |  row 1

A cell is needed where its middle, printed on no other page, has ink that must be had; ink in
an overlap is had by either page. Where the cells with points or dimensions would fall apart, those
that join them are added back; tables may lie on a sheet of their own. Of grids that are equally
good the one whose pages lie most evenly about the drawing is taken.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rect import Rect
from layout.drafting.vector import Point
from layout.sheets.tiles.cells import Cell, covers
from layout.sheets.tiles.ink import Ink
from layout.sheets.tiles.seams import Bools, Features, Floats, clearance, hits

OVERLAP = 10.0
"""What neighbouring tiles both print, mm."""
GRAIN = 3
"""Grids are tried this far apart, mm: 2 found no fewer pages on any frame tried and took twice as long."""
MOST_PLACES = 140
"""Along one axis, so that a large sheet takes no longer than A4 does: its grids are tried farther apart."""


@dataclass(frozen=True)
class Grid:
    """A grid in drawing coordinates: node (0, 0) at (left, top), the cells kept in reading order.

    `bridges` are those of them kept only to join the rest.
    """

    left: float
    top: float
    step_x: float
    step_y: float
    columns: int
    rows: int
    kept: tuple[Cell, ...]
    bridges: frozenset[Cell] = frozenset()

    def node(self, column: int, row: int) -> Point:
        """Where two trim lines cross."""
        return self.left + column * self.step_x, self.top - row * self.step_y

    def cell(self, column: int, row: int) -> Rect:
        """A cell between its trim lines."""
        (left, top), (right, bottom) = self.node(column, row), self.node(column + 1, row + 1)
        return Rect(left, bottom, right, top)


@dataclass(frozen=True)
class Choice:
    """A grid and its cost: pages, then points, dimensions and words on seams, then clearance."""

    cost: tuple[float, ...]
    grid: Grid


def best_grid(ink: Ink, bound: Ink, features: Features, step_x: float, step_y: float) -> Choice:
    """The grid of that step with the fewest pages; among those, the one with the cleanest seams.

    All `ink` is had, and the pages with `bound` ink hang together.
    """
    across, up = offsets(step_x), offsets(step_y)
    kept, bridges = covers(ink, bound, (across, up), (step_x, step_y), half=OVERLAP / 2)
    pages = kept.sum(axis=(1, 2))
    left = np.flatnonzero(pages == pages.min())
    x, y = across[left % len(across)] + ink.left, up[left // len(across)] + ink.bottom
    cost = [float(pages.min())]
    step = (step_x, step_y)
    for boxes in (features.points, features.dimensions, features.texts):
        count = hits(boxes, x, y, step, kept=kept[left], reach=OVERLAP / 2)
        best = count == count.min()
        left, x, y = left[best], x[best], y[best]
        cost.append(float(count.min()))
    clear = clearance(features.points, x, y, step)
    i = int(np.lexsort((_off_centre(ink, kept[left], x, y, step=step), -clear))[0])
    grid = _grid(kept[left[i]], bridges[left[i]], (float(x[i]), float(y[i])), step)
    return Choice((*cost, -float(clear[i])), grid)


def _off_centre(ink: Ink, kept: Bools, x: Floats, y: Floats, step: tuple[float, float]) -> Floats:
    """How far the middle of each grid's kept cells is from the middle of the raster, along x plus along y."""
    total = np.zeros(len(kept))
    for axis, start, pitch, middle in (
        (1, x, step[0], ink.left + ink.width / 2),
        (2, y, step[1], ink.bottom + ink.height / 2),
    ):
        used = np.asarray(kept.any(axis=axis))
        low, high = used.argmax(axis=1), used.shape[1] - used[:, ::-1].argmax(axis=1)
        total += np.abs(start + pitch * (low + high) / 2 - middle)
    return np.round(total, 6)


def offsets(step: float) -> NDArray[np.float64]:
    """Where the first node may lie on a raster that begins at 0: every place, once, GRAIN apart or more.

    The first cell's outer overlap may hold ink too, so the first node is at most half an overlap in.
    """
    grain = max(GRAIN, math.ceil(step / MOST_PLACES))
    return OVERLAP / 2 - grain * np.arange(math.ceil(step / grain), dtype=float)


def _grid(kept: Bools, bridges: Bools, at: tuple[float, float], step: tuple[float, float]) -> Grid:
    """The cells as rows from the top down, without empty rows and columns round them."""
    rows, columns = np.flatnonzero(kept.any(axis=1)), np.flatnonzero(kept.any(axis=0))
    low, high, first, last = int(rows[0]), int(rows[-1]), int(columns[0]), int(columns[-1])

    def cells(mask: Bools) -> tuple[Cell, ...]:
        return tuple(
            (c - first, high - r)
            for r in range(high, low - 1, -1)
            for c in range(first, last + 1)
            if mask[r, c]
        )

    return Grid(
        left=at[0] + first * step[0],
        top=at[1] + (high + 1) * step[1],
        step_x=step[0],
        step_y=step[1],
        columns=last - first + 1,
        rows=high - low + 1,
        kept=cells(kept),
        bridges=frozenset(cells(bridges)),
    )

"""Which cells of a grid are needed to have all ink, for very many grids at once.

Rows are counted from below here. For each grid the raster falls into middles, which one cell
alone prints, strips that two neighbours print, and corners that four print:

    corner | strip  | corner
    -------+--------+-------
    strip  | middle | strip        forced: cells with ink in their middle
    -------+--------+-------       then a cell for each strip or corner with ink that no kept cell has
    corner | strip  | corner

Arrays are [row, column, grid]: what one cell is in all grids lies together in memory.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from layout.drafting.vector import Point
from layout.sheets.tiles.ink import Ink
from layout.sheets.tiles.seams import Bools, Counts, Floats

Cell = tuple[int, int]
PAGE = 1000
"""What a cell more costs that joins others; one that is not liked costs one more."""
Spans = tuple[Counts, Counts]


class Nodes(NamedTuple):
    """Where first nodes stand on a raster, mm: a grid for each place up with each place across."""

    across: Floats
    up: Floats

    def pairs(self) -> tuple[Floats, Floats]:
        """Each grid's node, its x and its y, x running faster."""
        return np.tile(self.across, len(self.up)), np.repeat(self.up, len(self.across))

    def some(self, which: Bools) -> Nodes:
        """The places at which some grid stands for which `which` is true."""
        grids = which.reshape(len(self.up), -1)
        return Nodes(self.across[grids.any(axis=0)], self.up[grids.any(axis=1)])


def needed_cells(ink: Ink, first: Nodes, step: tuple[float, float], half: float) -> Bools:
    """The cells that are needed so that all `ink` is had, [row, column, grid]; each of them prints some.

    Each grid has its first node at `first` on the raster; cells are `step` apart and print `half`
    mm beyond their trim lines.
    """
    x, y = _axes(ink, first, step, half)
    kept = _inked_windows(ink, x.middles, y.middles)
    rows, columns, grids = kept.shape
    ringed = np.zeros((rows + 2, columns + 2, grids), dtype=bool)
    ringed[1:-1, 1:-1] = kept
    _cover_strips(ringed, _inked_windows(ink, x.strips, y.middles))
    _cover_strips(ringed.swapaxes(0, 1), _inked_windows(ink, x.middles, y.strips).swapaxes(0, 1))
    _cover_corners(ringed, _inked_windows(ink, x.strips, y.strips))
    return ringed[1:-1, 1:-1].copy()


def printing_cells(
    ink: Ink, node: Point, step: tuple[float, float], *, half: float, shape: tuple[int, ...]
) -> Bools:
    """Those of one grid's cells, `shape` rows and columns from its first node on, that print `ink`."""
    (left, bottom), (rows, columns) = node, shape
    x = np.array([left]) + step[0] * np.arange(columns + 1)[:, None]
    y = np.array([bottom]) + step[1] * np.arange(rows + 1)[:, None]
    windows = _spans(x[:-1] - half, x[1:] + half, ink.width), _spans(y[:-1] - half, y[1:] + half, ink.height)
    return _inked_windows(ink, *windows)[..., 0]


def forced(ink: Ink, first: Nodes, step: tuple[float, float], half: float) -> Counts:
    """How many cells each grid needs at least: those with ink that no other cell prints."""
    x, y = _axes(ink, first, step, half)
    return count_cells(_inked_windows(ink, x.middles, y.middles))


def count_cells(cells: Bools) -> Counts:
    """How many cells each grid has of those."""
    return np.asarray(cells.sum(axis=(0, 1), dtype=np.int32))


class _Axis(NamedTuple):
    """Pixel spans along one axis, from and to [window, grid], clipped to the raster."""

    middles: Spans
    strips: Spans


def _axes(ink: Ink, first: Nodes, step: tuple[float, float], half: float) -> tuple[_Axis, _Axis]:
    return (
        _windows(first.across, step[0], ink.width, half),
        _windows(first.up, step[1], ink.height, half),
    )


def _windows(first: Floats, step: float, size: int, half: float) -> _Axis:
    cells = max(1, math.ceil((size - half - float(first.min())) / step))
    nodes = first + step * np.arange(cells + 1)[:, None]
    return _Axis(
        _spans(nodes[:-1] + half, nodes[1:] - half, size), _spans(nodes - half, nodes + half, size)
    )


def _spans(low: Floats, high: Floats, size: int) -> Spans:
    return np.clip(np.floor(low), 0, size).astype(int), np.clip(np.ceil(high), 0, size).astype(int)


def _inked_windows(ink: Ink, x: Spans, y: Spans) -> Bools:
    """Whether each window has ink, [row, column, grid]."""
    (left, right), (low, high) = x, y
    strips = ink.sums.take(high, axis=0) - ink.sums.take(low, axis=0)
    inked = np.empty((len(low), len(left), low.shape[1], left.shape[1]), dtype=bool)
    for k in range(len(left)):
        np.not_equal(strips.take(left[k], axis=2), strips.take(right[k], axis=2), out=inked[:, k])
    return inked.reshape(*inked.shape[:2], -1)


def _cover_strips(ringed: Bools, strips: Bools) -> None:
    """Keep, for each upright strip with ink that neither neighbour has, the one to its right."""
    last = strips.shape[1] - 1
    for k in range(last + 1):
        before, after = ringed[1:-1, k], ringed[1:-1, k + 1]
        missing = strips[:, k] & ~before & ~after
        keep = after if k < last else before
        keep |= missing


def _cover_corners(ringed: Bools, corners: Bools) -> None:
    rows, columns = corners.shape[0] - 1, corners.shape[1] - 1
    for j in range(rows + 1):
        for k in range(columns + 1):
            around = ringed[j : j + 2, k : k + 2]
            had = around[0, 0] | around[0, 1] | around[1, 0] | around[1, 1]
            keep = around[int(j < rows), int(k < columns)]
            keep |= corners[j, k] & ~had


def links(needed: Bools) -> Counts:
    """How many cells at least each grid must add so that those needed hang together by whole edges."""
    grids = np.arange(needed.shape[2])
    reached = np.zeros_like(needed)
    reached.reshape(-1, len(grids))[needed.reshape(-1, len(grids)).argmax(axis=0), grids] = True
    reached = _flooded(reached, needed)
    left = needed & ~reached
    added: Counts = np.zeros(len(grids), dtype=np.int32)
    apart = np.flatnonzero(left.any(axis=(0, 1)))
    left, near = left[:, :, apart], _grown(reached[:, :, apart])
    while len(apart):
        near = _grown(near)
        added[apart] += 1
        unmet = ~(near & left).any(axis=(0, 1))
        apart, left, near = apart[unmet], left[:, :, unmet], near[:, :, unmet]
    return added


def _flooded(reached: Bools, kept: Bools) -> Bools:
    """All cells kept that hang together with those reached, by whole edges."""
    reached, count = reached & kept, -1
    while count != (count := int(np.count_nonzero(reached))):
        reached = _grown(reached) & kept
    return reached


def _grown(cells: Bools) -> Bools:
    """The cells and those beside them."""
    grown = cells.copy()
    grown[1:] |= cells[:-1]
    grown[:-1] |= cells[1:]
    grown[:, 1:] |= cells[:, :-1]
    grown[:, :-1] |= cells[:, 1:]
    return grown


def bridge_cells(kept: Bools, liked: Bools) -> Bools:
    """One grid's cells, with the fewest added that join them, part by part (Dijkstra's search).

    Of as few, those that are `liked`.
    """
    joined = kept.copy()
    wanted = [(int(r), int(c)) for r, c in np.argwhere(kept)]
    while wanted:
        before: dict[Cell, Cell] = {}
        queue: list[tuple[int, Cell, Cell]] = [(0, wanted[0], wanted[0])]
        found: Cell | None = None
        while queue and found is None:
            cost, cell, came = heapq.heappop(queue)
            if cell in before:
                continue
            before[cell] = came
            if cost and cell in wanted:
                found = cell
            for beside in _beside(cell, joined.shape):
                if beside not in before:
                    price = 0 if joined[beside] else PAGE if liked[beside] else PAGE + 1
                    heapq.heappush(queue, (cost + price, beside, cell))
        if found is None:
            break
        while found != wanted[0]:
            joined[found] = True
            found = before[found]
    return joined


def _beside(cell: Cell, shape: tuple[int, ...]) -> Iterator[Cell]:
    row, column = cell
    for r, c in ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)):
        if 0 <= r < shape[0] and 0 <= c < shape[1]:
            yield r, c

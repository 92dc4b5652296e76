"""Which cells of a grid are needed to have all ink, for very many grids at once.

Rows are counted from below here. For each grid the raster falls into middles, which one cell
alone prints, strips that two neighbours print, and corners that four print:

    corner | strip  | corner
    -------+--------+-------
    strip  | middle | strip        forced: cells with ink in their middle
    -------+--------+-------       then a cell for each strip or corner with ink that no kept cell has
    corner | strip  | corner
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.sheets.tiles.ink import Ink
from layout.sheets.tiles.seams import Bools, Floats

Cell = tuple[int, int]
PAGE = 1000
"""What a cell more costs that joins others; one that is not liked costs one more."""
Pixels = NDArray[np.int_]
GRIDS_FIRST = 2, 0, 1
"""Of many grids, what one cell is in all of them lies together in memory: the sums run along it."""


class Nodes(NamedTuple):
    """Where first nodes stand on a raster, mm: places across and places up.

    `paired`: one grid for each pair of the two arrays; else one for each place up with each place across,
    which is the same much faster.
    """

    across: Floats
    up: Floats
    paired: bool = False

    def pairs(self) -> tuple[Floats, Floats]:
        """Each grid's node, its x and its y, x running faster."""
        if self.paired:
            return self.across, self.up
        return np.tile(self.across, len(self.up)), np.repeat(self.up, len(self.across))

    def some(self, which: Bools) -> Nodes:
        """Those grids for which `which` is true."""
        x, y = self.pairs()
        return Nodes(x[which], y[which], paired=True)


class Cover(NamedTuple):
    """Of each grid, [grid, row, column]: cells needed, those that print the ink, those that print `liked`."""

    needed: Bools
    inked: Bools
    liked: Bools

    def of(self, grids: NDArray[np.intp]) -> Cover:
        """Some of the grids."""
        return Cover(self.needed[grids], self.inked[grids], self.liked[grids])


def covers(ink: Ink, liked: Ink, first: Nodes, step: tuple[float, float], half: float) -> Cover:
    """The cells that are needed so that all `ink` is had.

    Each grid has its first node at `first` on the raster; cells are `step` apart and print `half`
    mm beyond their trim lines. `liked` is on the same raster.
    """
    x, y = _axes(ink, (first.across, first.up), step, half)
    inked = partial(_inked_windows, paired=first.paired)
    kept = inked(ink, x.middles, y.middles)
    grids, rows, columns = kept.shape
    ringed = np.zeros((rows + 2, columns + 2, grids), dtype=bool).transpose(GRIDS_FIRST)
    ringed[:, 1:-1, 1:-1] = kept
    _cover_strips(ringed, inked(ink, x.strips, y.middles))
    _cover_strips(ringed.swapaxes(1, 2), inked(ink, x.middles, y.strips).swapaxes(1, 2))
    _cover_corners(ringed, inked(ink, x.strips, y.strips))
    kept = ringed[:, 1:-1, 1:-1].copy(order="K")
    return Cover(kept, inked(ink, x.pages, y.pages), inked(liked, x.pages, y.pages))


def forced(ink: Ink, first: Nodes, step: tuple[float, float], half: float) -> NDArray[np.int_]:
    """How many cells each grid needs at least: those with ink that no other cell prints."""
    x, y = (axis.middles for axis in _axes(ink, (first.across, first.up), step, half))
    return np.asarray(_inked_windows(ink, x, y, paired=first.paired).sum(axis=(1, 2), dtype=np.int32))


class _Axis(NamedTuple):
    """Pixel spans along one axis, [grid, window, 2], clipped to the raster."""

    middles: Pixels
    strips: Pixels
    pages: Pixels


def _axes(
    ink: Ink, first: tuple[Floats, Floats], step: tuple[float, float], half: float
) -> tuple[_Axis, _Axis]:
    x, y = (
        _windows(f, s, size, half) for f, s, size in zip(first, step, (ink.width, ink.height), strict=True)
    )
    return x, y


def _windows(first: Floats, step: float, size: int, half: float) -> _Axis:
    cells = max(1, math.ceil((size - half - float(first.min())) / step))
    nodes = first[:, None] + step * np.arange(cells + 1)

    def spans(low: Floats, high: Floats) -> Pixels:
        edges = np.stack([np.floor(low), np.ceil(high)], axis=-1).astype(int)
        return np.asarray(np.clip(edges, 0, size))

    return _Axis(
        spans(nodes[:, :-1] + half, nodes[:, 1:] - half),
        spans(nodes - half, nodes + half),
        spans(nodes[:, :-1] - half, nodes[:, 1:] + half),
    )


def _inked_windows(ink: Ink, x: Pixels, y: Pixels, *, paired: bool) -> Bools:
    """Whether each window has ink, [grid, row, column]; unless `paired`, a grid for each y with each x."""
    if paired:
        low, high = y[:, :, None, 0], y[:, :, None, 1]
        left, right = x[:, None, :, 0], x[:, None, :, 1]
        counts = ink.sums[high, right] - ink.sums[low, right] - ink.sums[high, left] + ink.sums[low, left]
        return np.asarray(counts > 0)
    across = ink.sums.take(x[..., 1], axis=1) - ink.sums.take(x[..., 0], axis=1)
    inked = across.take(y[..., 1], axis=0) > across.take(y[..., 0], axis=0)
    return np.asarray(inked.transpose(1, 3, 0, 2).reshape(y.shape[1], x.shape[1], -1).transpose(GRIDS_FIRST))


def _cover_strips(ringed: Bools, strips: Bools) -> None:
    """Keep, for each upright strip with ink that neither neighbour has, the one to its right."""
    last = strips.shape[2] - 1
    for k in range(last + 1):
        before, after = ringed[:, 1:-1, k], ringed[:, 1:-1, k + 1]
        missing = strips[:, :, k] & ~before & ~after
        keep = after if k < last else before
        keep |= missing


def _cover_corners(ringed: Bools, corners: Bools) -> None:
    rows, columns = corners.shape[1] - 1, corners.shape[2] - 1
    for j in range(rows + 1):
        for k in range(columns + 1):
            around = ringed[:, j : j + 2, k : k + 2]
            had = around[:, 0, 0] | around[:, 0, 1] | around[:, 1, 0] | around[:, 1, 1]
            keep = around[:, int(j < rows), int(k < columns)]
            keep |= corners[:, j, k] & ~had


def links(cover: Cover) -> NDArray[np.int_]:
    """How many cells at least each grid must add so that those needed hang together by whole edges."""
    wanted = (cover.needed & cover.inked).reshape(len(cover.needed), -1)
    reached = np.zeros_like(wanted)
    reached[np.arange(len(wanted)), wanted.argmax(axis=1)] = True
    reached = _flooded(reached.reshape(cover.needed.shape), cover.needed)
    left = cover.needed & cover.inked & ~reached
    added = np.zeros(len(wanted), dtype=int)
    apart = np.flatnonzero(left.any(axis=(1, 2)))
    while len(apart):
        reached[apart] = _grown(reached[apart])
        met = (_grown(reached[apart]) & left[apart]).any(axis=(1, 2))
        added[apart] += 1
        apart = apart[~met]
    return added


def _flooded(reached: Bools, kept: Bools) -> Bools:
    """All cells kept that hang together with those reached, by whole edges."""
    reached, count = reached & kept, -1
    while count != (count := int(reached.sum())):
        reached = _grown(reached) & kept
    return reached


def _grown(cells: Bools) -> Bools:
    """The cells and those beside them."""
    grown = cells.copy()
    grown[:, 1:] |= cells[:, :-1]
    grown[:, :-1] |= cells[:, 1:]
    grown[:, :, 1:] |= cells[:, :, :-1]
    grown[:, :, :-1] |= cells[:, :, 1:]
    return grown


def bridge_cells(kept: Bools, bound: Bools, liked: Bools) -> Bools:
    """One grid's cells, with the fewest added that join those bound, part by part (Dijkstra's search).

    Of as few, those that are `liked`.
    """
    joined = kept.copy()
    wanted = [(int(r), int(c)) for r, c in np.argwhere(kept & bound)]
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

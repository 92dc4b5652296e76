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
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.sheets.tiles.ink import Ink
from layout.sheets.tiles.seams import Bools, Floats

Cell = tuple[int, int]
Pixels = NDArray[np.int_]


def covers(
    ink: Ink, bound: Ink, first: tuple[Floats, Floats], step: tuple[float, float], half: float
) -> tuple[Bools, Bools]:
    """The cells needed, and those of them that only join the rest, both [grid, row, column].

    All `ink` is had; cells that print `bound`, on the same raster, hang together.
    Grids are all pairs of the first nodes `first` = (x, y) on the raster, x running faster;
    cells are `step` apart and print `half` mm beyond their trim lines.
    """
    x, y = (
        _windows(f, s, size, half) for f, s, size in zip(first, step, (ink.width, ink.height), strict=True)
    )
    kept = _inked_windows(ink, x.middles, y.middles)
    grids, rows, columns = kept.shape
    ringed = np.zeros((grids, rows + 2, columns + 2), dtype=bool)
    ringed[:, 1:-1, 1:-1] = kept
    _cover_strips(ringed, _inked_windows(ink, x.strips, y.middles))
    _cover_strips(ringed.swapaxes(1, 2), _inked_windows(ink, x.middles, y.strips).swapaxes(1, 2))
    _cover_corners(ringed, _inked_windows(ink, x.strips, y.strips))
    kept = ringed[:, 1:-1, 1:-1].copy()
    whole = kept.copy()
    _join(whole, _inked_windows(bound, x.pages, y.pages))
    return whole, whole & ~kept


@dataclass(frozen=True)
class _Axis:
    """Pixel spans along one axis, [grid, window, 2], clipped to the raster."""

    middles: Pixels
    strips: Pixels
    pages: Pixels


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


def _inked_windows(ink: Ink, x: Pixels, y: Pixels) -> Bools:
    """Whether each window has ink, [grid, row, column]."""
    across = ink.sums[:, x[..., 1]] - ink.sums[:, x[..., 0]]
    counts = across[y[..., 1]] - across[y[..., 0]]
    whole = np.moveaxis(counts, 2, 1) > 0
    return whole.reshape(-1, *whole.shape[2:])


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
            missing = corners[:, j, k] & ~around.any(axis=(1, 2))
            keep = around[:, int(j < rows), int(k < columns)]
            keep |= missing


def _join(kept: Bools, bound: Bools) -> None:
    """Add cells where those to be bound fall apart, grids of fewest pages first.

    A grid that cannot make the fewest pages any more is out of the running: all its cells are kept.
    """
    pages = kept.sum(axis=(1, 2))
    least = kept[0].size
    for count in sorted(set(pages.tolist())):
        level = np.flatnonzero(pages == count)
        if count > least:
            kept[level] = True
            continue
        whole = in_one(kept[level], bound[level])
        if whole.any():
            least = count
        for i in level[~whole]:
            kept[i] = True if count >= least else bridge_cells(kept[i], bound[i])
            least = min(least, int(kept[i].sum()))


def in_one(kept: Bools, bound: Bools) -> Bools:
    """Whether, in each grid, the kept cells that are bound hang together by whole edges of kept ones."""
    wanted = (kept & bound).reshape(len(kept), -1)
    reached = np.zeros_like(wanted)
    reached[np.arange(len(wanted)), wanted.argmax(axis=1)] = True
    reached = reached.reshape(kept.shape) & kept
    count = -1
    while count != (count := int(reached.sum())):
        grown = reached.copy()
        grown[:, 1:] |= reached[:, :-1]
        grown[:, :-1] |= reached[:, 1:]
        grown[:, :, 1:] |= reached[:, :, :-1]
        grown[:, :, :-1] |= reached[:, :, 1:]
        reached = grown & kept
    return np.asarray((reached | ~(kept & bound)).all(axis=(1, 2)))


def bridge_cells(kept: Bools, bound: Bools) -> Bools:
    """One grid's cells, with the fewest added that join those bound, part by part (Dijkstra's search)."""
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
                    heapq.heappush(queue, (cost + int(not joined[beside]), beside, cell))
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

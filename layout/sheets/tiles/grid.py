"""Cutting a drawing into tiles: which grid takes the fewest pages, and which of its pages are needed.

Neighbouring tiles meet at a trim line and both print OVERLAP round it, half on either side.
Columns run left to right, rows from the top down; nodes are where trim lines cross.

    node (0, 0)   node (1, 0)
        +-------------+-------------+
        |             |             |  row 0
        |  cell (0,0) |  cell (1,0) |
        +-------------+-------------+
        |             |             |  row 1

A cell is needed where its middle, printed on no other page, has ink of the frame; ink in an overlap is
had by either page. Where the cells needed would fall apart, the fewest that join them are added, those that
show an axis first. Every cross's centre keeps SEAM_CLEAR from a seam. Of grids that are equally good the one
whose seams keep well off the crosses is taken, then the one that leaves most room for names beside them, then
the one whose pages lie most evenly about the frame.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rect import Rect
from layout.drafting.rooms import EDGE_CLEAR, SEAM_CLEAR, Rooms
from layout.drafting.vector import Point
from layout.sheets.tiles.cells import (
    Cell,
    Nodes,
    bridge_cells,
    count_cells,
    forced,
    links,
    needed_cells,
    printing_cells,
)
from layout.sheets.tiles.ink import Ink
from layout.sheets.tiles.seams import Bools, Floats, hits, rooms

OVERLAP = 10.0
"""What neighbouring tiles both print, mm."""
HALF = OVERLAP / 2
"""How far each prints beyond its trim lines."""
GRAIN = 3
"""Grids are tried this far apart, mm, then those a FINEST apart that could take fewer pages."""
FINEST = 1
"""The raster's pixel, mm: between two of its places no grid is different."""
MOST_PLACES = 140
"""Along one axis, so that a large sheet takes no longer than A4 does: its grids are tried farther apart."""
MOST_FINE = 280
"""The same for the second pass: on A4 and letter every place is tried."""


class Grid(NamedTuple):
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

    def rooms(self) -> Rooms:
        """What each page shows, and where on it words may lie: clear of its neighbours, within its print."""
        kept = set(self.kept)
        return Rooms(
            tuple(self.cell(*c).grown(HALF) for c in self.kept),
            tuple(self._room(c, kept) for c in self.kept),
        )

    def _room(self, cell: Cell, kept: set[Cell]) -> Rect:
        (c, r), box, out = cell, self.cell(*cell), HALF - EDGE_CLEAR
        left, right, below, above = (
            -SEAM_CLEAR if beside in kept else out
            for beside in ((c - 1, r), (c + 1, r), (c, r + 1), (c, r - 1))
        )
        return Rect(box.left - left, box.bottom - below, box.right + right, box.top + above)

    def seams(self) -> Iterator[tuple[Point, Point]]:
        """Where two pages meet: the trim lines between them."""
        kept = set(self.kept)
        for c, r in self.kept:
            box = self.cell(c, r)
            if (c + 1, r) in kept:
                yield (box.right, box.bottom), (box.right, box.top)
            if (c, r + 1) in kept:
                yield (box.left, box.bottom), (box.right, box.bottom)


class Choice(NamedTuple):
    """A grid and its cost: crosses on seams, pages, then clearance and room for names."""

    cost: tuple[float, ...]
    grid: Grid


class _Sought(NamedTuple):
    """What a grid is looked for: the ink to print, the ink to show, crosses' centres, from page to page."""

    ink: Ink
    liked: Ink
    at: Floats
    step: tuple[float, float]


def best_grid(ink: Ink, liked: Ink, points: Sequence[Point], step_x: float, step_y: float) -> Choice:
    """The grid of that step with the fewest pages that keeps `points` off its seams.

    All `ink` is had, and the pages hang together; those that only join others show `liked` ink if they can.
    """
    at = np.round(np.array(points, dtype=float).reshape(-1, 2), 6)
    sought = _Sought(ink, liked, at, (step_x, step_y))
    coarse = _best(sought, Nodes(offsets(step_x), offsets(step_y)))
    if coarse is None:
        raise ValueError("no grid holds the drawing")
    most = coarse.cost[1] - (not coarse.cost[0])
    every = Nodes(offsets(step_x, FINEST), offsets(step_y, FINEST))
    few = every.some(forced(ink, every, sought.step, HALF) <= most)
    return _best(sought, few, most) or coarse


def _best(sought: _Sought, first: Nodes, most: float = math.inf) -> Choice | None:
    """The best of the grids whose first nodes are given; None where none keeps to `most` pages.

    Where `most` is said, no cross may lie on a seam. A grid takes as many pages as cells are needed, or
    more: those that need more than the best takes are not looked at.
    """
    if not len(first.across):
        return None
    needed = needed_cells(sought.ink, first, sought.step, HALF)
    few = np.flatnonzero(count_cells(needed) <= most)
    if not len(few):
        return None
    needed, across, up = needed[..., few], *(place[few] for place in first.pairs())
    nodes = across + sought.ink.left, up + sought.ink.bottom
    on_seams, pages = hits(sought.at, *nodes, sought.step, kept=needed), count_cells(needed)
    least = 0 if most < math.inf else int(on_seams.min())
    pool = on_seams == least
    choice = None
    for enough in np.unique(pages[pool]).tolist():
        if choice is not None and choice.cost[1] < enough:
            break
        choice = _chosen(sought, needed, nodes, pool & (pages <= enough), least=least, most=most)
    return choice


def _chosen(
    sought: _Sought, needed: Bools, nodes: tuple[Floats, Floats], pool: Bools, *, least: int, most: float
) -> Choice | None:
    """Of the grids in the `pool` the one of fewest pages once joined, as clear of crosses and even as may be.

    `least` crosses lie on seams of each: no more do once it is joined.
    """
    few = np.flatnonzero(pool)
    pages = count_cells(needed[..., few]) + links(needed[..., few])
    few, pages = few[pages <= most], pages[pages <= most]
    needed, x, y = needed[..., few], nodes[0][few], nodes[1][few]
    clear, room = rooms(sought.at, x, y, sought.step)
    off_centre = _off_centre(sought.ink, needed, x, y, step=sought.step)
    choice, count, known = None, most + 1, dict[tuple[bytes, bytes], Bools]()
    for i in np.lexsort((off_centre, -room, -clear, pages)).tolist():
        if pages[i] >= count:
            break
        node = float(x[i]), float(y[i])
        joined = _joined(sought, needed[..., i], node, known)
        on_seams = hits(sought.at, x[i : i + 1], y[i : i + 1], sought.step, kept=joined[..., None])
        if on_seams[0] <= least and joined.sum() < count:
            count = int(joined.sum())
            grid = _grid(joined, joined & ~needed[..., i], node, sought.step)
            choice = Choice((float(least), float(count), -float(clear[i]), -float(room[i])), grid)
    return choice


def _joined(
    sought: _Sought, needed: Bools, node: Point, known: dict[tuple[bytes, bytes], Bools]
) -> Bools:
    """One grid's cells with those that join them.

    Many grids need the same cells: those joined before are `known` by what was asked.
    """
    on_raster = node[0] - sought.ink.left, node[1] - sought.ink.bottom
    liked = printing_cells(sought.liked, on_raster, sought.step, half=HALF, shape=needed.shape)
    asked = needed.tobytes(), liked.tobytes()
    if asked not in known:
        known[asked] = bridge_cells(needed, liked)
    return known[asked]


def _off_centre(ink: Ink, kept: Bools, x: Floats, y: Floats, step: tuple[float, float]) -> Floats:
    """How far the middle of each grid's kept cells is from the middle of the raster, along x plus along y."""
    total = np.zeros(len(x))
    for across, start, pitch, middle in (
        (0, x, step[0], ink.left + ink.width / 2),
        (1, y, step[1], ink.bottom + ink.height / 2),
    ):
        used = np.asarray(kept.any(axis=across))
        low, high = used.argmax(axis=0), len(used) - used[::-1].argmax(axis=0)
        total += np.abs(start + pitch * (low + high) / 2 - middle)
    return np.round(total, 6)


def offsets(step: float, grain: int = GRAIN) -> NDArray[np.float64]:
    """Where the first node may lie on a raster that begins at 0: every place, once, `grain` apart or more.

    The first cell's outer overlap may hold ink too, so the first node is at most half an overlap in.
    """
    grain = max(grain, math.ceil(step / (MOST_PLACES if grain > FINEST else MOST_FINE)))
    return HALF - grain * np.arange(math.ceil(step / grain), dtype=float)


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

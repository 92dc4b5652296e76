"""How a set of grids fares at keeping the centres of crosses off its seams.

Grids are arrays: `x`, `y` the lower left node of each (drawing coordinates), `kept` its cells as
[row from below, column, grid]. A trim line is a seam only between two cells that are both kept.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rooms import SEAM_CLEAR

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Counts = NDArray[np.int_]

ENOUGH = 15.0
"""Farther than this from a seam, mm, a point is no safer."""
BESIDE, ABOVE = 60.0, 30.0
"""Room that the name of a point and its leader take on a page, mm."""


def hits(points: Floats, x: Floats, y: Floats, step: tuple[float, float], kept: Bools) -> Counts:
    """How many of `points`, [n, 2], lie within SEAM_CLEAR of a seam, for each grid.

    Beside a node, the seams of the cells around it count.
    """
    px, py = points[:, :1], points[:, 1:]
    west, east = (np.floor((px + d - x) / step[0]).astype(int) for d in (-SEAM_CLEAR, SEAM_CLEAR))
    south, north = (np.floor((py + d - y) / step[1]).astype(int) for d in (-SEAM_CLEAR, SEAM_CLEAR))
    beside = np.nonzero((west < east) | (south < north))
    west, east, south, north = west[beside], east[beside], south[beside], north[beside]
    grids = beside[1]
    lower = _at(kept, south, west, grids), _at(kept, south, east, grids)
    upper = _at(kept, north, west, grids), _at(kept, north, east, grids)
    across = lower[0] & lower[1] | upper[0] & upper[1]
    up = lower[0] & upper[0] | lower[1] & upper[1]
    on_seam = (west < east) & across | (south < north) & up
    return np.bincount(grids[on_seam], minlength=len(x))


def rooms(points: Floats, x: Floats, y: Floats, step: tuple[float, float]) -> tuple[Floats, Floats]:
    """The room that points have on their pages, for each grid: the least to a trim line, and that for names.

    The least is in mm, ENOUGH at most. Names lie to the left and right, above and below: a mean for each
    point of the four, each as a part of what a name takes.
    """
    least, total = np.full(len(x), ENOUGH), np.zeros(len(x))
    for at in points:
        for centre, start, pitch, wanted in ((at[0], x, step[0], BESIDE), (at[1], y, step[1], ABOVE)):
            past = (centre - start) % pitch
            left = pitch - past
            least = np.minimum(least, np.minimum(past, left))
            total += np.minimum(past / wanted, 1.0) + np.minimum(left / wanted, 1.0)
    return np.round(least, 6), np.round(total / max(4 * len(points), 1), 6)


def _at(kept: Bools, row: Counts, column: Counts, grids: Counts) -> Bools:
    """Whether each grid has a cell; none has one off the raster."""
    rows, columns = kept.shape[:2]
    inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
    return np.asarray(kept[np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1), grids] & inside)

"""How a set of grids fares at keeping the centres of crosses off its seams.

Grids are arrays: `x`, `y` the lower left node of each (drawing coordinates), `kept` its cells as
[grid, row from below, column]. A trim line is a seam only between two cells that are both kept.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rooms import SEAM_CLEAR

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Cells = tuple[NDArray[np.int_], NDArray[np.int_]]
"""Rows and columns of cells."""

ENOUGH = 15.0
"""Farther than this from a seam, mm, a point is no safer."""
BESIDE, ABOVE = 60.0, 30.0
"""Room that the name of a point and its leader take on a page, mm."""


def hits(points: Floats, x: Floats, y: Floats, step: tuple[float, float], kept: Bools) -> Floats:
    """How many of `points`, [n, 2], lie within SEAM_CLEAR of a seam, for each grid."""
    total = np.zeros(len(x))
    for px, py in points:
        total += _on_seam(px, py, x, y, step=step, kept=kept)
    return total


def _on_seam(px: float, py: float, x: Floats, y: Floats, step: tuple[float, float], kept: Bools) -> Bools:
    """Whether a point is near a seam of each grid; beside a node, those of the cells around it count."""
    west, east = (np.floor((px + d - x) / step[0]).astype(int) for d in (-SEAM_CLEAR, SEAM_CLEAR))
    south, north = (np.floor((py + d - y) / step[1]).astype(int) for d in (-SEAM_CLEAR, SEAM_CLEAR))
    beside = np.flatnonzero((west < east) | (south < north))
    west, east, south, north, kept = west[beside], east[beside], south[beside], north[beside], kept[beside]
    across = _both(kept, (south, west), (south, east)) | _both(kept, (north, west), (north, east))
    up = _both(kept, (south, west), (north, west)) | _both(kept, (south, east), (north, east))
    on_seam = np.zeros(len(x), dtype=bool)
    on_seam[beside] = (west < east) & across | (south < north) & up
    return on_seam


def clearance(points: Floats, x: Floats, y: Floats, step: tuple[float, float]) -> Floats:
    """The least distance from a point to a trim line, for each grid, mm; ENOUGH at most."""
    least = np.full(len(x), ENOUGH)
    for at in points:
        for centre, start, pitch in ((at[0], x, step[0]), (at[1], y, step[1])):
            past = (centre - start) % pitch
            least = np.minimum(least, np.minimum(past, pitch - past))
    return np.round(least, 6)


def room_for_names(points: Floats, x: Floats, y: Floats, step: tuple[float, float]) -> Floats:
    """How much room points have on their pages to the left and right, above and below, for each grid.

    A mean for each point of the four, each as a part of what a name takes.
    """
    total = np.zeros(len(x))
    for at in points:
        for centre, start, pitch, wanted in ((at[0], x, step[0], BESIDE), (at[1], y, step[1], ABOVE)):
            past = (centre - start) % pitch
            total += np.minimum(past / wanted, 1.0) + np.minimum((pitch - past) / wanted, 1.0)
    return np.round(total / max(4 * len(points), 1), 6)


def _both(kept: Bools, one: Cells, other: Cells) -> Bools:
    return _at(kept, *one) & _at(kept, *other)


def _at(kept: Bools, row: NDArray[np.int_], column: NDArray[np.int_]) -> Bools:
    rows, columns = kept.shape[1:]
    inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
    found = kept[np.arange(len(kept)), np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1)]
    return np.asarray(found & inside)

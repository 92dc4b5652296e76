"""What should not lie where tiles join, and how a set of grids fares at keeping it clear.

Grids are arrays: `x`, `y` the lower left node of each (drawing coordinates), `kept` its cells as
[grid, row from below, column]. A trim line is a seam only between two cells that are both kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.drafting.bounds import bounds, entity_bounds
from layout.drafting.dimensions import explode
from layout.drafting.entities import AngleDimension, ControlPoint, Entity, LengthDimension, Text
from layout.drafting.rect import Rect

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Cells = tuple[NDArray[np.int_], NDArray[np.int_]]
"""Rows and columns of cells."""

POINT_REACH = 2.0
"""A control point is kept this far from an overlap, mm: the middle of its cross stays on one page."""
ENOUGH = 30.0
"""Farther than this from a seam, mm, a point is no safer."""

AT_ONCE = 200_000
"""Pairs of a box and a grid looked at together: more would take memory and no less time."""


@dataclass(frozen=True)
class Features:
    """What to keep off seams, as boxes left, bottom, right, top, [n, 4], mm."""

    points: Floats
    dimensions: Floats
    texts: Floats


def features_of(entities: Iterable[Entity]) -> Features:
    """The control points, the dimensions' lettering and the other lettering of a drawing."""
    points: list[Rect] = []
    dimensions: list[Rect] = []
    texts: list[Rect] = []
    for e in entities:
        match e:
            case ControlPoint():
                points.append(Rect(*e.at, *e.at).grown(POINT_REACH))
            case LengthDimension() | AngleDimension():
                words = bounds(part for part in explode(e) if isinstance(part, Text))
                dimensions += [words] if words else []
            case Text():
                box = entity_bounds(e)
                texts += [box] if box else []
            case _:
                pass
    return Features(_boxes(points), _boxes(dimensions), _boxes(texts))


def hits(boxes: Floats, x: Floats, y: Floats, step: tuple[float, float], kept: Bools, reach: float) -> Floats:
    """How many of `boxes` reach within `reach` mm of a seam, for each grid."""
    total = np.zeros(len(x))
    for some in np.array_split(boxes, len(boxes) * len(x) // AT_ONCE + 1):
        total += _on_seams(some, x, y, step, kept=kept, reach=reach).sum(axis=0)
    return total


def _on_seams(
    boxes: Floats, x: Floats, y: Floats, step: tuple[float, float], kept: Bools, reach: float
) -> Bools:
    """Whether each box reaches within `reach` mm of a seam of each grid, [box, grid]."""
    left, bottom, right, top = (edge[:, None] for edge in boxes.T)
    column = np.floor(((left + right) / 2 - x) / step[0]).astype(int)
    row = np.floor(((bottom + top) / 2 - y) / step[1]).astype(int)
    across = np.ceil((left - reach - x) / step[0]).astype(int)
    upright = (x + across * step[0] <= right + reach) & _both(kept, (row, across - 1), (row, across))
    up = np.ceil((bottom - reach - y) / step[1]).astype(int)
    level = (y + up * step[1] <= top + reach) & _both(kept, (up - 1, column), (up, column))
    return np.asarray(upright | level)


def clearance(points: Floats, x: Floats, y: Floats, step: tuple[float, float]) -> Floats:
    """The least distance from a point to a trim line, for each grid, mm; ENOUGH at most."""
    least = np.full(len(x), ENOUGH)
    for left, bottom, right, top in points:
        for centre, start, pitch in (((left + right) / 2, x, step[0]), ((bottom + top) / 2, y, step[1])):
            past = (centre - start) % pitch
            least = np.minimum(least, np.minimum(past, pitch - past))
    return np.round(least, 6)


def _both(kept: Bools, one: Cells, other: Cells) -> Bools:
    return _at(kept, *one) & _at(kept, *other)


def _at(kept: Bools, row: NDArray[np.int_], column: NDArray[np.int_]) -> Bools:
    rows, columns = kept.shape[1:]
    inside = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
    found = kept[np.arange(len(kept)), np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1)]
    return np.asarray(found & inside)


def _boxes(rects: list[Rect]) -> Floats:
    """As an array, rounded as coordinates in files are, so that every machine chooses the same grid."""
    edges = np.array([(r.left, r.bottom, r.right, r.top) for r in rects], dtype=float).reshape(-1, 4)
    return np.round(edges, 6)

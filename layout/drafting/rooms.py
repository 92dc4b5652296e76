"""Where callouts may lie on pages that join: whole on one page, clear of the lines where two pages meet.

A page shows its cell and half an overlap round it. Words, arrowheads and crosses' centres keep SEAM_CLEAR
from a seam, a trim line between two cells that are both pages:

    +-------------+-------------+
    |  - - - - -  |  - - - - -  |
    | |  words  | | |         | |
    |  - - - - -  |  - - - - -  |
    +-------------+-------------+
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rect import Rect
from layout.drafting.vector import Point

SEAM_CLEAR = 6.0
"""Words, arrowheads and the centres of crosses stay this far from a seam, mm."""
EDGE_CLEAR = 1.0
"""Words stay this far inside what a page prints where it has no neighbour, mm."""

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Rooms:
    """`pages` is what each page shows of the drawing, `words` where on it lettering may lie."""

    pages: tuple[Rect, ...]
    words: tuple[Rect, ...]

    @cached_property
    def _pages(self) -> Array:
        return _most(self.pages)

    @cached_property
    def _words(self) -> Array:
        return _most(self.words)

    def hold(self, reach: Array) -> Bools:
        """Whether each figure lies in the room of one page: shape (n,).

        `reach` (4, n) is how far each goes to the right, up, left and down, the last two negative.
        """
        return _within(reach, self._words)

    def show(self, points: Array) -> Bools:
        """Whether each point, [n, 2], is on a page: shape (n,)."""
        return _within(np.concatenate([points.T, -points.T]), self._pages)

    def moved(self, dx: float, dy: float) -> Rooms:
        """The same rooms where a part of the drawing that will be moved by (-dx, -dy) sees them."""
        return Rooms(
            tuple(page.moved(dx, dy) for page in self.pages), tuple(room.moved(dx, dy) for room in self.words)
        )

    def between(self, low: float, high: float) -> Rooms:
        """What of the rooms lies between two levels: for parts one above the other, placed one by one."""
        return Rooms(
            tuple(_cut_levels(self.pages, low, high)), tuple(_cut_levels(self.words, low, high))
        )

    def whole(self, box: Rect) -> bool:
        """Whether a box lies in the room of one page."""
        return any(room.contains(box) for room in self.words)

    def clear(self, at: Point) -> bool:
        """Whether a cross's centre lies on a page, clear of its seams."""
        return any(room.holds(at) for room in self.words)


def _cut_levels(rects: Iterable[Rect], low: float, high: float) -> Iterator[Rect]:
    for r in rects:
        if r.bottom < high and r.top > low:
            yield Rect(r.left, max(r.bottom, low), r.right, min(r.top, high))


def _most(rects: Iterable[Rect]) -> Array:
    """How far each goes to the right, up, left and down, the last two negative: shape (4, m)."""
    return np.array([(r.right, r.top, -r.left, -r.bottom) for r in rects], dtype=float).reshape(-1, 4).T


def _within(reach: Array, most: Array) -> Bools:
    """Whether each figure, (4, n), lies in one of several rooms, (4, m): shape (n,)."""
    inside = reach[0] <= most[0, :, None]
    for k in (1, 2, 3):
        inside &= reach[k] <= most[k, :, None]
    return np.asarray(inside.any(axis=0))

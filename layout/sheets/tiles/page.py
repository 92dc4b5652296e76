"""The geometry of one tile: what is printed, where it is trimmed, where its words go.

    +---------------------------+  paper
    |  +---------------------+  |  printable edge
    |  | N  band of words  N |  |  BAND wide, free of drawing; N: the tile's name
    |  |  +--|-----------|--+ |  |  content: the drawing is cut here
    |  |  |--X-----------X--| |  |  trim lines, OVERLAP / 2 inside; X: registration crosses
    |  |  |  |           |  | |  |
    |  |  |--X-----------X--| |  |
    |  |  +--|-----------|--+ |  |
    |  +---------------------+  |
    +---------------------------+

On office paper that makes a margin of 10: 5 that printers leave blank, and 5 for the words.
All of it lies about the middle of the page, and so does the compensation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from layout.drafting.rect import Rect
from layout.sheets.page import Page
from layout.sheets.tiles.grid import OVERLAP

BAND = 5.0
"""Between printable edge and content, mm: takes lettering 3.5 high, clear of both."""
GRAIN = 0.1
"""Content is a whole number of these across, mm, so that the distances to check are round."""


@dataclass(frozen=True)
class TilePage:
    """A page as a tile of any grid cut for it."""

    page: Page

    @cached_property
    def edge(self) -> Rect:
        """The printable area."""
        return self.page.printable

    @cached_property
    def content(self) -> Rect:
        """Where the drawing is printed."""
        inner = self.edge.grown(-BAND)
        (x, y), half_w, half_h = inner.centre, _whole(inner.width) / 2, _whole(inner.height) / 2
        return Rect(x - half_w, y - half_h, x + half_w, y + half_h)

    @cached_property
    def trim(self) -> Rect:
        """Between the trim lines: one cell of the grid."""
        return self.content.grown(-OVERLAP / 2)

    @property
    def step(self) -> tuple[float, float]:
        """From one tile to the next, along x and y."""
        content = self.content
        return round(content.width - OVERLAP, 6), round(content.height - OVERLAP, 6)


def _whole(length: float) -> float:
    return math.floor(length / GRAIN + 1e-6) * GRAIN

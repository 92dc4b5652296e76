"""Panels on pages of their own, where the drawing they belong to takes several pages.

A page as wide as several panels has them in columns. At the left of the first there may be something else.

    +------+------+------+   +------+------+------+
    | map  | p 1  | p 3  |   | p 5  |      |      |
    |      | p 2  | p 4  |   |      |      |      |
    +------+------+------+   +------+------+------+
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import repeat

from layout.drafting.entities import Drawing
from layout.drafting.flow import Flow
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import TITLE_BLOCK_WIDTH, text_block

ORDER = ("title", "continued", "cautions", "checks", "dimensions", "tubes")
"""What is read first comes first. The ruled cross stays out: each page that is joined has its own bars."""
GUTTER = 6.0
LOST_WIDTH = 180.0
TITLE = "tables"


@dataclass(frozen=True)
class PanelPages:
    """Pages `width` x `height` mm in columns at least `least` mm wide, filled from the left.

    `taken` mm at the left of the first page are another's.
    """

    width: float
    height: float
    taken: float = 0.0
    least: float = TITLE_BLOCK_WIDTH

    @cached_property
    def flow(self) -> Flow:
        """The room of all columns, page after page."""
        return Flow(self._rooms(), GUTTER)

    @property
    def column(self) -> float:
        """The width that every column has at least, mm."""
        return min(room.width for room in (*self._first, *self._others))

    def add_lost(self, lost: Iterable[str]) -> None:
        """Put what is not written on the drawing, each by its name."""
        names = ", ".join(lost)
        if names:
            said = (f"No clear place on the drawing for: {names}.",)
            width = min(LOST_WIDTH, self.column)
            self.flow.add(text_block("lost", "Not on the drawing", said, width, text_height=TEXT_NOTE))

    def drawings(self) -> tuple[Drawing, ...]:
        """A drawing for each page that has something on it, and for a first page that is shared."""
        columns = self.flow.columns
        first, each = len(self._first), len(self._others)
        pages = [columns[:first]] if self.taken else []
        pages += [columns[k : k + each] for k in range(len(pages) * first, len(columns), each)]
        return tuple(
            Drawing(f"{TITLE} {number}", tuple(e for c in page for placed in c for e in placed.drawing()))
            for number, page in enumerate(pages, 1)
            if any(page) or (self.taken and number == 1)
        )

    @property
    def _first(self) -> list[Rect]:
        left = self.taken + GUTTER if self.taken else 0.0
        return list(self._columns(left))

    @property
    def _others(self) -> list[Rect]:
        return list(self._columns(0.0)) or [Rect(0.0, 0.0, self.width, self.height)]

    def _columns(self, left: float) -> Iterator[Rect]:
        count, each = column_count(self.width - left, self.least)
        for k in range(count):
            x = left + k * (each + GUTTER)
            yield Rect(x, 0.0, x + each, self.height)

    def _rooms(self) -> Iterator[Rect]:
        yield from self._first
        for columns in repeat(self._others):
            yield from columns


def column_count(width: float, least: float = TITLE_BLOCK_WIDTH) -> tuple[int, float]:
    """How many columns of at least that width a page takes, and how wide each is, mm.

    >>> column_count(190.0), column_count(574.0), column_count(100.0)
    ((1, 190.0), (3, 187.33333333333334), (0, 0.0))
    """
    count = int((width + GUTTER) // (least + GUTTER))
    return (count, (width - (count - 1) * GUTTER) / count) if count else (0, 0.0)


def panel_pages(
    panels: Mapping[str, Panel], width: float, height: float, lost: Sequence[str], taken: float = 0.0
) -> tuple[Drawing, ...]:
    """Panels one under the other on pages of `width` x `height` mm, with the callouts that are not drawn."""
    shown = [panels[name] for name in ORDER if name in panels]
    pages = PanelPages(width, height, taken, max(p.width for p in shown))
    for panel in shown:
        pages.flow.add(panel)
    pages.add_lost(lost)
    return pages.drawings()

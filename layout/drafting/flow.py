"""Panels put one under the other, down a column and on into the next; pages of them under a heading.

    +-------------------------+
    | heading, page 1 of 2    |   the same on every page but for its number
    +-------------------------+   GUTTER
    | panel                   |
    +-------------------------+   GUTTER
    | table, as many rows as  |   it goes on at the top of the next page
    | there is room for       |
    +-------------------------+

Nothing is scaled and nothing cut: a panel goes where it fits whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import repeat
from typing import NamedTuple, TypeVar

from layout.drafting.entities import Drawing, Entity
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.transform import move

GUTTER = 4.0
"""Between two panels of a page that is read, mm."""
FEWEST_ROWS = 2
"""A table is not begun for fewer rows than this where more follow."""
SLACK = 1e-6
"""A panel this much larger than its room, mm, fits: it is what sums of heights leave."""

Row = TypeVar("Row")
Stack = tuple[float, Sequence[Panel]]
"""Panels one under the other, and how far from a column's left edge they stand, mm."""


class PlacedPanel(NamedTuple):
    """A panel with its lower left corner at (x, y)."""

    panel: Panel
    x: float
    y: float

    def drawing(self) -> Drawing:
        """Its drawing where it lies."""
        return move(self.panel.drawing, self.x, self.y)


class Flow:
    """Fills columns from their tops, `gap` between two panels; `columns` holds what lies in each so far.

    A column that was left is not gone back to.
    """

    def __init__(self, rooms: Iterable[Rect], gap: float = GUTTER) -> None:
        self._rooms = iter(rooms)
        self._gap = gap
        self.columns: list[list[PlacedPanel]] = [[]]
        self._column = next(self._rooms)
        self._top = self._column.top

    @property
    def width(self) -> float:
        """Of the column that is being filled, mm."""
        return self._column.width

    @property
    def room(self) -> float:
        """The height that is left of the column, mm."""
        return self._top - self._column.bottom

    @property
    def fresh(self) -> bool:
        """Whether the column is still empty."""
        return not self.columns[-1]

    def fits(self, panel: Panel) -> bool:
        """Whether the column has room for a panel."""
        return panel.width <= self.width + SLACK and panel.height <= self.room + SLACK

    def turn(self) -> bool:
        """Go on to the next column; False where there is none."""
        column = next(self._rooms, None)
        if column is None:
            return False
        self._column, self._top = column, column.top
        self.columns.append([])
        return True

    def put(self, panel: Panel) -> None:
        """Put a panel under the last one, whether it fits or not."""
        self.put_beside([(0.0, [panel])], panel.height)

    def put_beside(self, stacks: Iterable[Stack], height: float) -> None:
        """Put stacks of panels side by side under the last panel; together they are `height` mm high."""
        for left, panels in stacks:
            top = self._top
            for panel in panels:
                y = top - panel.height
                self.columns[-1].append(PlacedPanel(panel, self._column.left + left, y))
                top = y - self._gap
        self._top = self._top - height - self._gap

    def add(self, panel: Panel) -> None:
        """Put a panel where there is room for it: under the last one, else into the next column."""
        if not self.fits(panel) and not self.fresh:
            self.turn()
        self.put(panel)

    def add_rows(
        self, rows: Sequence[Row], built: Callable[[Sequence[Row]], Panel], most: int | None = None
    ) -> None:
        """Put the table that `built` makes of rows, broken where a column ends or after `most` rows."""
        left = rows
        while left:
            count, panel = rows_within(left[:most], built, self.room)
            if not self.fresh and count < min(FEWEST_ROWS, len(left)):
                self.turn()
                count, panel = rows_within(left[:most], built, self.room)
            self.add(panel)
            left = left[count:]
            if left:
                self.turn()


def rows_within(
    rows: Sequence[Row], built: Callable[[Sequence[Row]], Panel], room: float
) -> tuple[int, Panel]:
    """As many rows from the front as fit a height, at least one, and the panel that `built` makes of them.

    A panel of more rows is never lower. How many fit is guessed from their heights until it is known.
    """
    whole = built(rows)
    if len(rows) <= 1 or whole.height <= room:
        return len(rows), whole
    fits, panel = 1, built(rows[:1])
    too_many, higher = len(rows), whole.height
    while too_many - fits > 1 and panel.height <= room:
        share = (room - panel.height) / (higher - panel.height)
        count = min(fits + max(int(share * (too_many - fits)), 1), too_many - 1)
        tried = built(rows[:count])
        if tried.height <= room:
            fits, panel = count, tried
        else:
            too_many, higher = count, tried.height
    return fits, panel


class HeadedPages(NamedTuple):
    """Pages `width` x `height` mm, each with a heading at its top: a panel by page number and count."""

    name: str
    width: float
    height: float
    heading: Callable[[int, int], Panel]

    def flow(self) -> Flow:
        """The room under the headings, page after page."""
        top = self.height - self.heading(1, 1).height - GUTTER
        return Flow(repeat(Rect(0.0, 0.0, self.width, top)))

    def drawings(self, filled: Flow) -> tuple[Drawing, ...]:
        """What was put on the pages, under the headings: a drawing for each page, named and numbered."""
        return tuple(
            Drawing(f"{self.name} {number}", tuple(self._page(number, len(filled.columns), placed)))
            for number, placed in enumerate(filled.columns, 1)
        )

    def _page(self, number: int, count: int, placed: Sequence[PlacedPanel]) -> Iterator[Entity]:
        heading = self.heading(number, count)
        yield from move(heading.drawing, 0.0, self.height - heading.height)
        for item in placed:
            yield from item.drawing()

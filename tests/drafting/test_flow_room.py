"""No panel hangs over the end of its column, by however little: what has no room begins the next one."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from layout.drafting.entities import Drawing
from layout.drafting.flow import GUTTER, Flow
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect

COLUMN = Rect(10.0, 20.0, 110.0, 220.0)
"""100 wide, 200 high."""


def panel(height: float, width: float = 100.0) -> Panel:
    return Panel("p", Drawing("p", ()), width, height)


def rows(listed: Sequence[int]) -> Panel:
    """A table of 7 a row under a heading of 9."""
    return panel(9.0 + 7.0 * len(listed))


@pytest.mark.parametrize("over", [0.01, 1.0, 5.0])
def test_a_panel_a_little_too_high_begins_the_next_column(over: float) -> None:
    """Panels that hung 5 mm over the foot of a page lived through every test."""
    flow = Flow([COLUMN, COLUMN])
    flow.add(panel(120.0))
    flow.add(panel(80.0 - GUTTER + over))
    assert [len(column) for column in flow.columns] == [1, 1]


def test_a_panel_that_just_fits_stays_in_its_column() -> None:
    flow = Flow([COLUMN, COLUMN])
    flow.add(panel(120.0))
    flow.add(panel(80.0 - GUTTER))
    (first, second), *rest = flow.columns
    assert not rest and (first.y, second.y) == (100.0, 20.0)
    assert flow.room <= 0.0


@pytest.mark.parametrize("over", [0.01, 5.0])
def test_a_panel_wider_than_its_column_does_not_fit(over: float) -> None:
    flow = Flow([COLUMN])
    assert flow.fits(panel(10.0, 100.0)) and not flow.fits(panel(10.0, 100.0 + over))


@pytest.mark.parametrize("count", [27, 28, 60])
def test_the_rows_of_a_table_end_inside_each_column(count: int) -> None:
    """27 rows under a heading take 198 of 200; of 28 the last goes on."""
    flow = Flow([COLUMN] * 4)
    flow.add_rows(list(range(count)), rows)
    placed = [p for column in flow.columns for p in column]
    assert all(COLUMN.bottom - 1e-9 <= p.y and p.y + p.panel.height <= COLUMN.top + 1e-9 for p in placed)
    shown = [round((p.panel.height - 9.0) / 7.0) for p in placed]
    assert sum(shown) == count and shown[:-1] == [27] * (len(shown) - 1)


def test_a_table_is_not_begun_for_one_row():
    """One row of a list stood alone under another table, and the next on a page of its own."""

    def built(rows):
        return Panel("rows", Drawing("rows"), 100.0, 10.0 + 10.0 * len(rows))

    flow = Flow([Rect(0.0, 0.0, 100.0, 100.0)] * 3, 5.0)
    flow.add(Panel("first", Drawing("first"), 100.0, 70.0))
    flow.add_rows(list(range(12)), built)
    assert [[placed.panel.height for placed in column] for column in flow.columns] == [
        [70.0], [100.0], [40.0],
    ]  # fmt: skip

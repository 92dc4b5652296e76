"""Panels flowing down columns and pages: where each lies, reckoned by hand."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import pairwise, repeat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drafting.entities import Drawing, Text
from layout.drafting.flow import GUTTER, Flow, HeadedPages, rows_within
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect


def panel(height: float, width: float = 50.0, name: str = "p") -> Panel:
    return Panel(name, Drawing(name, (Text((0.0, 0.0), name, 3.5),)), width, height)


def rows_panel(rows: Sequence[str]) -> Panel:
    """A table whose rows are 10 high."""
    return panel(10.0 * len(rows), name=" ".join(rows))


def pages(height: float) -> Flow:
    return Flow(repeat(Rect(0.0, 0.0, 50.0, height)), 4.0)


def places(flow: Flow) -> list[list[tuple[str, float, float]]]:
    return [[(p.panel.name, p.x, p.y) for p in column] for column in flow.columns]


def test_panels_go_under_each_other_and_on_to_the_next_page():
    flow = pages(100.0)
    for name, height in (("a", 30.0), ("b", 40.0), ("c", 30.0), ("d", 60.0)):
        flow.add(panel(height, name=name))
    assert places(flow) == [[("a", 0.0, 70.0), ("b", 0.0, 26.0)], [("c", 0.0, 70.0), ("d", 0.0, 6.0)]]
    assert flow.room == pytest.approx(2.0)


def test_a_panel_higher_than_a_page_has_one_of_its_own():
    flow = pages(100.0)
    flow.add(panel(120.0, name="a"))
    flow.add(panel(120.0, name="b"))
    assert places(flow) == [[("a", 0.0, -20.0)], [("b", 0.0, -20.0)]]


def test_rows_are_broken_where_the_page_ends():
    flow = pages(35.0)
    flow.add(panel(10.0, name="top"))
    flow.add_rows("abcdef", rows_panel)
    names = [[name for name, _, _ in page] for page in places(flow)]
    assert names == [["top", "a b"], ["c d e"], ["f"]]


def test_rows_are_broken_after_the_most_that_are_wanted():
    flow = pages(100.0)
    flow.add_rows("abcde", rows_panel, 2)
    assert [[name for name, _, _ in page] for page in places(flow)] == [["a b"], ["c d"], ["e"]]


def test_stacks_stand_side_by_side_under_the_last_panel():
    flow = pages(100.0)
    flow.put(panel(10.0, name="top"))
    stacks = [(0.0, [panel(30.0, 20.0, "a")]), (24.0, [panel(10.0, 20.0, "b"), panel(5.0, 20.0, "c")])]
    flow.put_beside(stacks, 30.0)
    assert places(flow) == [
        [("top", 0.0, 90.0), ("a", 0.0, 56.0), ("b", 24.0, 76.0), ("c", 24.0, 67.0)],
    ]
    assert flow.room == pytest.approx(52.0)


def test_columns_come_to_an_end():
    flow = Flow([Rect(0.0, 50.0, 50.0, 100.0), Rect(60.0, 0.0, 100.0, 100.0)], 4.0)
    assert not flow.fits(panel(60.0)) and flow.fits(panel(50.0)) and not flow.fits(panel(50.0, 51.0))
    assert flow.turn() and flow.fresh and flow.width == 40.0
    flow.put(panel(60.0, 40.0))
    assert places(flow) == [[], [("p", 60.0, 40.0)]]
    assert not flow.turn()


@given(st.lists(st.floats(1.0, 90.0), min_size=1, max_size=12))
def test_no_two_panels_of_a_page_are_nearer_than_the_gap(heights: list[float]):
    flow = pages(100.0)
    for height in heights:
        flow.add(panel(height))
    assert sum(map(len, flow.columns)) == len(heights)
    for column in flow.columns:
        assert all(p.y >= -1e-6 and p.y + p.panel.height <= 100.0 for p in column)
        for above, below in pairwise(column):
            assert above.y - (below.y + below.panel.height) == pytest.approx(4.0)


@pytest.mark.parametrize(("room", "count"), [(5.0, 1), (10.0, 1), (29.9, 2), (30.0, 3), (99.0, 4)])
def test_as_many_rows_as_there_is_room_for_and_one_at_least(room: float, count: int):
    found, built = rows_within("abcd", rows_panel, room)
    assert (found, built.height) == (count, 10.0 * count)


@pytest.mark.parametrize("room", [45.0, 300.0, 635.0])
def test_a_long_table_is_set_a_few_times_until_it_is_known_how_many_rows_fit(room: float):
    tried: list[int] = []

    def built(rows: Sequence[int]) -> Panel:
        tried.append(len(rows))
        return panel(20.0 + sum(12.0 if row % 7 == 0 else 10.0 for row in rows))

    count, _ = rows_within(range(64), built, room)
    assert built(range(count)).height <= room < built(range(count + 1)).height
    assert len(tried) - 2 <= 6


def heading(said: str, page: int, count: int) -> Panel:
    return panel(14.0, name=f"{said} {page} of {count}")


def test_every_page_has_its_heading_with_its_number():
    paper = HeadedPages("record", 50.0, 100.0, partial(heading, "page"))
    flow = paper.flow()
    assert flow.room == pytest.approx(100.0 - 14.0 - GUTTER)
    for name in "abc":
        flow.add(panel(35.0, name=name))
    drawn = paper.drawings(flow)
    assert [d.title for d in drawn] == ["record 1", "record 2"]
    words = [[(e.text, e.at) for e in d if isinstance(e, Text)] for d in drawn]
    assert words == [
        [("page 1 of 2", (0.0, 86.0)), ("a", (0.0, 47.0)), ("b", (0.0, 8.0))],
        [("page 2 of 2", (0.0, 86.0)), ("c", (0.0, 47.0))],
    ]

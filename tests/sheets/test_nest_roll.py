"""Panels on a roll: clear of border and scale bars, on a length to 10 mm, the mark beside them."""

from __future__ import annotations

import pytest

from layout.drafting.bounds import box_of
from layout.drafting.entities import Drawing, Line, Polyline, Text
from layout.drafting.panel import Panel
from layout.drafting.style import Layer
from layout.sheets.border import BAND
from layout.sheets.media import medium
from layout.sheets.nest import lay_nested
from layout.sheets.sheet import Sheet

BARS = 9.0
"""The scale bars and their lettering stand in so much at the foot and at the left."""


def panel(width: float, height: float) -> Panel:
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Panel("p", Drawing("p", (Polyline(corners, Layer.OUTLINE, closed=True),)), width, height)


def laid(panels: list[Panel], name: str) -> Sheet:
    (sheet,) = lay_nested(panels, medium(name), "template", lambda *_: "words", mark="frame mark A")
    return sheet


@pytest.mark.parametrize("name", ["roll-610", "roll-914"])
def test_panels_on_a_roll_are_clear_of_border_and_bars(name: str) -> None:
    """A border 6 mm wider, or bars with no room, lived through every test."""
    sheet = laid([panel(80.0, 250.0) for _ in range(9)], name)
    found = sheet.placements[0]
    panels = box_of(Drawing("panels", tuple(e for e in found.drawing if isinstance(e, Polyline))))
    low, high = found.to_sheet((panels.left, panels.bottom)), found.to_sheet((panels.right, panels.top))
    frame = box_of(Drawing("border", tuple(e for e in sheet.furniture if isinstance(e, Polyline))))
    assert low[0] >= frame.left + BARS and low[1] >= frame.bottom + BARS
    assert high[0] <= frame.right and high[1] <= frame.top


def test_a_roll_is_as_long_as_its_panels_ask_and_no_longer() -> None:
    """Two strips of 500 by 250 beside each other across a roll of 610: 500, border and bars."""
    sheet = laid([panel(500.0, 250.0) for _ in range(2)], "roll-610")
    frame = box_of(Drawing("border", tuple(e for e in sheet.furniture if isinstance(e, Polyline))))
    assert 500.0 + BARS <= frame.width <= 500.0 + BARS + 4.0 + 10.0


def test_the_mark_reads_upwards_at_the_right_edge() -> None:
    sheet = laid([panel(80.0, 60.0)], "roll-610")
    (mark,) = (e for e in sheet.furniture if isinstance(e, Text) and "frame mark" in e.text)
    assert mark.angle == 90.0
    right = max(x for e in sheet.furniture if isinstance(e, Line) for x in (e.start[0], e.end[0]))
    assert right - BAND < mark.at[0] < right

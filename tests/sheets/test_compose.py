"""Arranging the view and its panels: all inside, panels outside the window, surroundings whole or cut."""

from __future__ import annotations

from itertools import combinations

import pytest

from layout.drafting.bounds import bounds
from layout.drafting.entities import Circle, ControlPoint, DatumLine, Drawing, Line, Text
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.drafting.view import View
from layout.sheets.compose import WINDOW_MARGIN, SheetArrangement


def panel(name: str, width: float, height: float) -> Panel:
    corner = Rect(0.0, 0.0, width, height).corners
    lines = [Line(a, b, Layer.SHEET) for a, b in zip(corner, (*corner[1:], corner[0]), strict=True)]
    return Panel(name, Drawing(name, tuple(lines)), width, height)


PANELS = {
    p.name: p
    for p in (
        panel("calibration", 60.0, 60.0),
        panel("checks", 50.0, 40.0),
        panel("dimensions", 90.0, 70.0),
        panel("cautions", 40.0, 20.0),
        panel("title", 50.0, 30.0),
    )
}
CORE = Drawing(
    "view",
    (
        Line((0.0, 0.0), (300.0, 150.0), Layer.OUTLINE),
        ControlPoint("bb", (0.0, 0.0)),
        DatumLine((0.0, 0.0), 0.0, "level"),
        DatumLine((0.0, 5.0), 0.0, "next to it"),
        DatumLine((0.0, 0.0), 90.0, "plumb"),
    ),
)
GROUND = (ControlPoint("contact", (0.0, -150.0)), Line((-5.0, -150.0), (5.0, -150.0), Layer.POINT))
VIEW = View(CORE, ((Circle((0.0, 0.0), 150.0, Layer.WHEEL),), GROUND))


def test_least_size_is_the_core_with_its_margin_and_the_columns():
    width, height = SheetArrangement(VIEW, PANELS).least_size
    assert height == pytest.approx(150.0 + 2 * WINDOW_MARGIN)
    assert width > 300.0 + 2 * WINDOW_MARGIN + 60.0 + 90.0


def test_with_room_everything_is_shown_whole():
    composition = SheetArrangement(VIEW, PANELS).composed(None, None)
    assert composition.left_out == ()
    assert Circle((0.0, 0.0), 150.0, Layer.WHEEL) in composition.drawing.entities
    assert composition.drawing.points().keys() == {"bb", "contact"}


def test_without_room_wheels_become_arcs_and_the_points_left_out_are_named():
    arrangement = SheetArrangement(VIEW, PANELS)
    composition = arrangement.composed(*arrangement.least_size)
    assert composition.left_out == ("contact",)
    assert not any(isinstance(e, Circle) for e in composition.drawing)
    assert not any(isinstance(e, Line) and e.start[1] == -150.0 for e in composition.drawing)


def test_whole_wheels_asked_for_ask_for_more_room_and_arcs_never_do():
    whole = SheetArrangement(VIEW, PANELS, "whole")
    assert whole.least_size[1] > SheetArrangement(VIEW, PANELS).least_size[1]
    assert whole.yielding().least_size == SheetArrangement(VIEW, PANELS).least_size
    arcs = SheetArrangement(VIEW, PANELS, "arcs").composed(None, None)
    assert arcs.left_out == ("contact",)


@pytest.mark.parametrize("height", [None, 240.0, 300.0, 420.0, 900.0])
def test_everything_lies_inside_and_panels_share_no_room(height):
    composition = SheetArrangement(VIEW, PANELS).composed(None, height)
    box = bounds(composition.drawing)
    assert box is not None and composition.bounds.grown(4.1).contains(box)
    if height is not None:
        assert composition.bounds.height == pytest.approx(height)
    corners = [e for e in composition.core if isinstance(e, Line) and e.layer is Layer.SHEET]
    frames = [bounds(corners[k : k + 4]) for k in range(0, len(corners), 4)]
    assert len(frames) == len(PANELS)
    for a, b in combinations([f for f in frames if f is not None], 2):
        assert not a.overlaps(b)


def test_datum_lines_end_on_the_edges_and_pass_no_panel():
    composition = SheetArrangement(VIEW, PANELS).composed(None, None)
    lines = [e for e in composition.drawing if isinstance(e, Line) and e.layer is Layer.DATUM]
    level = [e for e in lines if e.start[1] == e.end[1] == 0.0]
    assert min(e.start[0] for e in level) == pytest.approx(composition.bounds.left)
    assert max(e.end[0] for e in level) == pytest.approx(composition.bounds.right)
    names = [e.text for e in composition.drawing if isinstance(e, Text) and e.layer is Layer.DATUM]
    assert sorted(names) == ["level", "next to it", "plumb"]
    words = [bounds([e]) for e in composition.drawing if isinstance(e, Text)]
    assert not any(a.overlaps(b) for a, b in combinations([w for w in words if w], 2))

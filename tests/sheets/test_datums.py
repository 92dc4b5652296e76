"""Endless lines on a sheet: one piece wherever the paper goes on."""

from __future__ import annotations

import math

import pytest

from layout.drafting.entities import DatumLine, Drawing, Line
from layout.drafting.rect import Rect
from layout.sheets.datums import TICK, _stretches, datum_lines


@pytest.mark.parametrize(
    ("edges", "wanted"),
    [
        ([(0.0, 100.0), (90.0, 200.0), (190.0, 300.0)], [(0.0, 300.0)]),
        ([(0.0, 300.0), (100.0, 200.0)], [(0.0, 300.0)]),
        ([(0.0, 100.0), (150.0, 200.0), (200.0, 260.0)], [(0.0, 100.0), (150.0, 260.0)]),
    ],
)
def test_what_touches_is_one_line(edges: list[tuple[float, float]], wanted: list[tuple[float, float]]):
    rooms = [Rect(left, -10.0, right, 10.0) for left, right in edges]
    found = _stretches(DatumLine((50.0, 0.0), 0.0), rooms)
    assert [(round(line.start[0], 9), round(line.end[0], 9)) for line in found] == wanted


@pytest.mark.parametrize("angle", [0.0, 90.0, 30.0])
def test_a_datum_ends_in_the_middle_of_its_ticks(angle: float):
    """The ticks square the sheet to the jig: one that is off its line is read as the line."""
    paper = Rect(-200.0, -100.0, 300.0, 150.0)
    core = Drawing("core", (DatumLine((10.0, 20.0), angle),))
    drawn = [e for e in datum_lines(core, [paper], [], (), [paper]) if isinstance(e, Line)]
    (whole,) = (e for e in drawn if math.dist(e.start, e.end) > 2 * TICK)
    ticks = [e for e in drawn if e is not whole]
    assert [math.dist(e.start, e.end) for e in ticks] == pytest.approx([TICK, TICK])
    for tick, end in zip(ticks, (whole.start, whole.end), strict=True):
        assert [(a + b) / 2 for a, b in zip(tick.start, tick.end, strict=True)] == pytest.approx(end)

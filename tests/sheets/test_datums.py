"""Endless lines on a sheet: one piece wherever the paper goes on."""

from __future__ import annotations

import pytest

from layout.drafting.entities import DatumLine
from layout.drafting.rect import Rect
from layout.sheets.datums import _stretches


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

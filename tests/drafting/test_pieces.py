"""Arcs as straight pieces for the placer: how fine, from where to where, and closed."""

from __future__ import annotations

import math

import pytest

from layout.drafting.entities import Arc, Circle
from layout.drafting.pieces import arc_pieces, pieces
from layout.drafting.style import Layer

SWEEPS = [(0.0, 90.0, 9), (10.0, 14.0, 1), (-30.0, 65.0, 10), (0.0, 360.0, 36)]


@pytest.mark.parametrize(("first", "last", "count"), SWEEPS)
def test_an_arc_falls_into_equal_chords_of_at_most_ten_degrees(first: float, last: float, count: int):
    found = arc_pieces(Arc((5.0, -3.0), 40.0, first, last, layer=Layer.WHEEL))
    assert len(found) == count
    turn = math.radians((last - first) / count)
    for (a, b), (c, _) in zip(found, [*found[1:], (found[-1][1], None)], strict=True):
        assert math.dist(a, b) == pytest.approx(2 * 40.0 * math.sin(turn / 2))
        assert math.dist(a, (5.0, -3.0)) == pytest.approx(40.0) and b == c
    ends = [(5.0 + 40.0 * math.cos(t), -3.0 + 40.0 * math.sin(t)) for t in map(math.radians, (first, last))]
    assert found[0][0] == pytest.approx(ends[0]) and found[-1][1] == pytest.approx(ends[1])


def test_a_circle_is_a_closed_ring_of_chords_of_twelve_degrees():
    found = pieces(Circle((1.0, 2.0), 10.0, Layer.WHEEL))
    assert len(found) == 30
    for end in (found[0][0], found[-1][1]):
        assert end == pytest.approx((11.0, 2.0))

"""The room that entities take: hand-computed, and arcs against dense sampling."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drafting.bounds import bounds, box_of, entity_bounds
from layout.drafting.dimensions import EXTENSION_GAP
from layout.drafting.entities import (
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.rect import Rect
from layout.drafting.style import Layer, lettering_pen


def edges(rect):
    return (rect.left, rect.bottom, rect.right, rect.top)


def test_nothing_has_no_bounds():
    assert bounds([]) is None
    assert bounds([DatumLine((0.0, 0.0), 0.0)]) is None
    assert bounds([Text((0.0, 0.0), " ", 5.0)]) is None
    with pytest.raises(ValueError, match="nothing is drawn"):
        box_of([DatumLine((0.0, 0.0), 0.0)])


def test_several_entities_are_held_together():
    drawn = [
        Line((0.0, 5.0), (10.0, -2.0), Layer.DIM),
        Circle((20.0, 0.0), 3.0, Layer.WHEEL),
        Polyline(((1.0, 1.0), (2.0, 9.0)), Layer.OUTLINE),
        ControlPoint("bb", (-4.0, 0.0)),
        DatumLine((0.0, 500.0), 0.0),
    ]
    assert edges(bounds(drawn)) == (-4.0, -3.0, 23.0, 9.0)


def test_an_arc_counts_only_what_is_drawn():
    quarter = Arc((0.0, 0.0), 10.0, 0.0, 90.0, layer=Layer.DIM)
    assert edges(entity_bounds(quarter)) == pytest.approx((0.0, 0.0, 10.0, 10.0), abs=1e-12)
    over_the_top = Arc((0.0, 0.0), 10.0, 45.0, 135.0, layer=Layer.DIM)
    side = 10.0 * math.sqrt(0.5)
    assert edges(entity_bounds(over_the_top)) == pytest.approx((-side, side, side, 10.0))


@given(st.floats(-720.0, 720.0), st.floats(0.1, 360.0))
def test_arc_bounds_are_those_of_its_points(start, span):
    arc = Arc((5.0, -7.0), 100.0, start, start + span, layer=Layer.DIM)
    box = entity_bounds(arc)
    points = [
        (5.0 + 100.0 * math.cos(math.radians(a)), -7.0 + 100.0 * math.sin(math.radians(a)))
        for a in (start + span * i / 2000 for i in range(2001))
    ]
    sag = 100.0 * (1 - math.cos(math.radians(span / 4000)))
    assert all(box.holds(p, 1e-9) for p in points)
    assert box.right - max(p[0] for p in points) <= sag + 1e-9
    assert min(p[1] for p in points) - box.bottom <= sag + 1e-9


def test_lettering_stands_on_its_baseline():
    box = entity_bounds(Text((10.0, 20.0), "HE", 5.0))
    assert box.left >= 10.0 - 5.0 and box.right > 15.0
    assert box.bottom <= 20.0 and box.top >= 25.0
    upright = entity_bounds(Text((10.0, 20.0), "HE", 5.0, angle=90.0))
    assert (upright.width, upright.height) == pytest.approx((box.height, box.width))


def test_a_dimension_holds_its_line_extensions_and_lettering():
    box = entity_bounds(
        LengthDimension(
            "reach",
            (0.0, 0.0),
            (200.0, 10.0),
            0.0,
            line_at=(0.0, 60.0),
            text_at=(100.0, 63.0),
            text_angle=0.0,
            label="reach",
        )
    )
    # The extension lines stand upright over both ends, from a gap above the lower one; the line and its
    # arrows lie between them. On top is the lettering, 7 high on its baseline, and half of its pen.
    expected = (0.0, EXTENSION_GAP, 200.0, 63.0 + 7.0 + lettering_pen(7.0).width / 2)
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx(expected)


def test_rectangles():
    a = Rect(0.0, 0.0, 10.0, 20.0)
    assert (a.width, a.height, a.centre) == (10.0, 20.0, (5.0, 10.0))
    assert a.moved(1.0, 2.0) == Rect(1.0, 2.0, 11.0, 22.0)
    assert a.grown(-1.0) == Rect(1.0, 1.0, 9.0, 19.0)
    assert a.united(Rect(5.0, -3.0, 7.0, 3.0)) == Rect(0.0, -3.0, 10.0, 20.0)
    assert a.contains(a) and not a.contains(a.grown(0.1)) and a.contains(a.grown(0.1), 0.1)
    assert a.overlaps(Rect(9.0, 19.0, 30.0, 30.0)) and not a.overlaps(Rect(10.0, 0.0, 20.0, 20.0))

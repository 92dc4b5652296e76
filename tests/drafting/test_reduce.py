"""Reduced views: strokes in scale, no points, and dimensions that still say the true value."""

from __future__ import annotations

import pytest

from layout.drafting.dimensions import value_string
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Drawing,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.reduce import reduce_drawing
from layout.drafting.style import Layer

REACH = LengthDimension(
    "reach",
    (0.0, 0.0),
    (386.4, 500.0),
    0.0,
    line_at=(0.0, 600.0),
    text_at=(190.0, 603.0),
    text_angle=0.0,
    label="reach",
)
HEAD = AngleDimension("head", (100.0, 0.0), (200.0, 0.0), (130.0, 90.0), radius=80.0, text_at=(190.0, 30.0))
ALL = Drawing(
    "side view",
    (
        Line((10.0, 20.0), (30.0, 40.0), Layer.CENTRE),
        Arc((10.0, 0.0), 50.0, 10.0, 50.0, layer=Layer.WHEEL),
        Circle((10.0, 0.0), 5.0, Layer.WHEEL),
        Polyline(((0.0, 0.0), (10.0, 5.0)), Layer.OUTLINE),
        DatumLine((0.0, 70.0), 0.0),
        Text((40.0, 50.0), "BB", 7.0),
        ControlPoint("bb", (0.0, 0.0)),
        REACH,
        HEAD,
    ),
)


def test_strokes_are_in_scale_and_the_rest_is_dropped():
    small = reduce_drawing(ALL, 0.2)
    assert small.entities == (
        Line((2.0, 4.0), (6.0, 8.0), Layer.CENTRE),
        Arc((2.0, 0.0), 10.0, 10.0, 50.0, layer=Layer.WHEEL),
        Circle((2.0, 0.0), 1.0, Layer.WHEEL),
        Polyline(((0.0, 0.0), (2.0, 1.0)), Layer.OUTLINE),
        DatumLine((0.0, 14.0), 0.0),
    )


def test_words_keep_their_height():
    (words,) = [e for e in reduce_drawing(ALL, 0.2, text=True) if isinstance(e, Text)]
    assert words == Text((8.0, 10.0), "BB", 7.0)


def test_a_reduced_dimension_says_the_true_value_and_is_no_dimension_any_more():
    small = reduce_drawing(ALL, 0.2, dimensions=True)
    words = [e.text for e in small if isinstance(e, Text)]
    assert words == ["reach", value_string(REACH), value_string(HEAD)]
    assert words[1] == "386.4"
    assert not any(isinstance(e, LengthDimension | AngleDimension | ControlPoint) for e in small)
    level = [e for e in small if isinstance(e, Line) and e.layer is Layer.DIM and e.start[1] == e.end[1]]
    assert [abs(e.end[0] - e.start[0]) for e in level] == pytest.approx([386.4 * 0.2])
    heights = {e.height for e in small if isinstance(e, Text)}
    assert heights == {7.0}

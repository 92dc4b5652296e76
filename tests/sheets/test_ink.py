"""The raster that pages are counted by: it has every stroke, and nothing far from one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.drafting.entities import Arc, Circle, ControlPoint, LengthDimension, Line, Polyline, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.tiles.ink import SAGITTA, ink_of, segments_of

ROOM = Rect(-20.3, -10.2, 80.7, 60.1)


def marked(ink):
    """The raster's pixels, from its sums."""
    return np.diff(np.diff(ink.sums, axis=0), axis=1).astype(bool)


def has(ink, x, y):
    return marked(ink)[int(np.floor(y)) - ink.bottom, int(np.floor(x)) - ink.left]


@pytest.mark.parametrize(
    "entity",
    [
        Line((-15.0, -5.0), (70.0, 50.0), Layer.OUTLINE),
        Circle((30.0, 25.0), 20.0, Layer.WHEEL),
        Arc((30.0, 25.0), 30.0, 200.0, 300.0, layer=Layer.DIM),
        Polyline(((0.0, 0.0), (50.0, 3.0), (20.0, 40.0)), Layer.OUTLINE, closed=True),
        Text((0.0, 10.0), "axle 612.5", 7.0, angle=20.0),
        LengthDimension(
            "d",
            (0.0, 0.0),
            (60.0, 0.0),
            0.0,
            line_at=(0.0, 30.0),
            text_at=(30.0, 32.0),
            text_angle=0.0,
            label="reach",
        ),
    ],
    ids=lambda e: type(e).__name__,
)
def test_every_point_of_a_stroke_is_marked_and_its_neighbourhood_alone(entity):
    ink = ink_of([entity], ROOM)
    points = [
        (x0 + (x1 - x0) * k / 40, y0 + (y1 - y0) * k / 40)
        for x0, y0, x1, y1 in segments_of([entity])
        for k in range(41)
    ]
    for x, y in points:
        for dx, dy in ((0.0, 0.0), (0.25, 0.0), (-0.25, 0.0), (0.0, 0.25), (0.0, -0.25)):
            assert has(ink, x + dx, y + dy)
    rows, columns = np.nonzero(marked(ink))
    at = np.array(points)
    for row, column in zip(rows, columns, strict=True):
        middle = np.array([column + ink.left + 0.5, row + ink.bottom + 0.5])
        assert np.abs(at - middle).max(axis=1).min() < 1.6


def test_a_control_point_alone_is_ink():
    ink = ink_of([ControlPoint("bb", (0.5, 0.5))], ROOM)
    assert marked(ink).sum() == 1
    assert has(ink, 0.5, 0.5)


def test_nothing_is_no_ink():
    assert ink_of([], ROOM).sums.max() == 0


@pytest.mark.parametrize("radius", [2.0, 40.0, 350.0])
def test_a_wheels_chords_stay_as_near_it_as_its_ink_is_wide(radius):
    """Chords farther off leave the pixels unmarked where the circle bulges most: its page was not printed."""
    arcs = Circle((3.0, 4.0), radius, Layer.WHEEL), Arc((3.0, 4.0), radius, 20.0, 200.0, layer=Layer.OUTLINE)
    for arc in arcs:
        for x0, y0, x1, y1 in segments_of([arc]):
            assert math.dist((x0, y0), (3.0, 4.0)) == pytest.approx(radius)
            assert radius - math.dist(((x0 + x1) / 2, (y0 + y1) / 2), (3.0, 4.0)) <= SAGITTA + 1e-9


@pytest.mark.parametrize("angle", [0.0, 37.0, 90.0])
def test_lettering_taken_a_line_at_a_time_marks_the_pixels_of_its_strokes(angle):
    """A slip in one end of each stroke moved its ink by up to a millimetre, off its page's edge."""
    text = Text((1.3, 2.4), "LINE HEM", 14.0, Layer.NOTE, angle=angle)
    room = Rect(-100.0, -100.0, 150.0, 150.0)
    strokes = [Line((x0, y0), (x1, y1), Layer.NOTE) for x0, y0, x1, y1 in segments_of([text])]
    whole, single = ink_of([text], room), ink_of(strokes, room)
    assert marked(whole).any()
    assert (whole.sums == single.sums).all()

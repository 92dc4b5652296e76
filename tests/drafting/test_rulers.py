"""Rulers: ticks at exact places, ends that are crossings, nothing on top of anything."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from shapely.geometry import LineString, Polygon, box

from layout.drafting.entities import Drawing, Line, Text, pen_of
from layout.drafting.lettering import text_box
from layout.drafting.rulers import calibration_cross
from layout.drafting.style import THIN


def lines(drawing: Drawing) -> list[Line]:
    return [e for e in drawing if isinstance(e, Line)]


def texts(drawing: Drawing) -> list[Text]:
    return [e for e in drawing if isinstance(e, Text)]


def assert_clear(drawing: Drawing) -> None:
    """No text on text, none nearer to a line than a quarter of a millimetre."""
    boxes = [Polygon(text_box(t)) for t in texts(drawing)]
    for one, two in combinations(boxes, 2):
        assert not one.intersects(two)
    for line in lines(drawing):
        ink = LineString([line.start, line.end]).buffer(THIN / 2)
        for text, area in zip(texts(drawing), boxes, strict=True):
            assert area.distance(ink) > 0.25, text.text


def corner(drawing: Drawing) -> tuple[float, float]:
    """Where both arms begin: the start of the two longest lines."""
    longest = sorted(lines(drawing), key=lambda e: math.dist(e.start, e.end))[-2:]
    assert longest[0].start == longest[1].start
    return longest[0].start


@pytest.mark.parametrize("length", [140, 200, 250])
def test_every_millimetre_of_both_arms_has_a_tick_in_its_place(length: int) -> None:
    drawing = calibration_cross(float(length)).drawing
    x0, y0 = corner(drawing)
    for axis in (0, 1):
        origin = (x0, y0)[axis]
        other = 1 - axis
        ticks = [
            e
            for e in lines(drawing)
            if e.start[axis] == e.end[axis] and min(e.start[other], e.end[other]) < (x0, y0)[other] - 1
        ]
        assert sorted(e.start[axis] - origin for e in ticks) == [float(i) for i in range(length + 1)]


def test_ticks_are_of_three_heights_and_the_ends_longer() -> None:
    drawing = calibration_cross(200.0).drawing
    x0, y0 = corner(drawing)
    depth = {
        round(e.start[0] - x0): y0 - min(e.start[1], e.end[1])
        for e in lines(drawing)
        if e.start[0] == e.end[0] and min(e.start[1], e.end[1]) < y0 - 1
    }
    assert depth[7] < depth[5] < depth[10] < depth[0]
    assert depth[200] == depth[0]
    assert {depth[i] for i in range(1, 200) if i % 5} == {depth[7]}
    assert {depth[i] for i in range(10, 200, 10)} == {depth[10]}


def test_the_ends_of_the_arms_are_crossings_of_fine_lines() -> None:
    drawing = calibration_cross(200.0).drawing
    x0, y0 = corner(drawing)
    for end in ((x0 + 200.0, y0), (x0, y0 + 200.0)):
        through = [
            e
            for e in lines(drawing)
            if LineString([e.start, e.end]).distance(LineString([end, end])) < 1e-12
            and min(math.dist(e.start, end), math.dist(e.end, end)) > 2.0
        ]
        assert {e.start[0] == e.end[0] for e in through} == {True, False}
    assert {pen_of(e).width for e in lines(drawing)} == {THIN}


@pytest.mark.parametrize("length", [140.0, 150.0, 200.0, 300.0])
def test_nothing_on_the_cross_overlaps_or_leaves_its_panel(length: float) -> None:
    panel = calibration_cross(length)
    assert_clear(panel.drawing)
    inside = box(0, 0, panel.width, panel.height)
    assert all(inside.covers(Polygon(text_box(t))) for t in texts(panel.drawing))
    assert all(inside.covers(LineString([e.start, e.end])) for e in lines(panel.drawing))


def test_the_cross_says_what_to_check() -> None:
    panel = calibration_cross()
    words = {t.text for t in texts(panel.drawing)}
    assert {"200 mm along", "200 mm across"} <= words
    # Pythagoras: 200 * sqrt 2 = 282.84.
    assert any(w.startswith("282.8 mm ") for w in words)
    figures = sorted(int(w) for t in texts(panel.drawing) if (w := t.text).isdigit())
    assert figures == sorted(2 * list(range(0, 201, 20)))


def test_figures_stand_beside_the_ticks_they_name() -> None:
    panel = calibration_cross()
    x0, y0 = corner(panel.drawing)
    for text in texts(panel.drawing):
        if text.text.isdigit():
            middle = Polygon(text_box(text)).centroid
            off = (middle.x - x0, middle.y - y0)
            assert pytest.approx(float(text.text), abs=0.01) in off


@pytest.mark.parametrize("length", [0.0, -200.0, 100.0, 205.0, 200.5])
def test_an_arm_that_is_no_whole_number_of_centimetres_or_too_short_is_refused(length: float) -> None:
    with pytest.raises(ValueError, match="multiple of 10 mm"):
        calibration_cross(length)

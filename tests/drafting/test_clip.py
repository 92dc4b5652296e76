"""Cutting at a rectangle, checked by hand-computed cases and against shapely (an independent library)."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box

from layout.drafting.clip import break_lines, clip
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    LengthDimension,
    Line,
    Polyline,
)
from layout.drafting.rect import Rect
from layout.drafting.style import Layer, Pen

FIELD = Rect(0.0, 0.0, 100.0, 50.0)
COORD = st.floats(-150.0, 250.0).map(lambda v: round(v, 3))
POINT = st.tuples(COORD, COORD)


def length(entity):
    match entity:
        case Line():
            return math.dist(entity.start, entity.end)
        case Arc():
            return math.radians(entity.end_angle - entity.start_angle) * entity.radius
        case Circle():
            return 2 * math.pi * entity.radius
        case Polyline():
            points = entity.points + (entity.points[:1] if entity.closed else ())
            return sum(math.dist(a, b) for a, b in pairwise(points))


def total(entities):
    return sum(length(e) for e in entities)


def test_a_line_is_cut_on_the_edges():
    pen = Pen(0.35)
    (cut,) = clip(Line((-50.0, 0.0), (150.0, 50.0), Layer.DIM, pen), FIELD)
    assert cut == Line((0.0, 12.5), (100.0, 37.5), Layer.DIM, pen)


def test_a_line_inside_comes_back_as_it_was():
    line = Line((0.1, 0.2), (99.9, 49.7), Layer.CENTRE)
    assert clip(line, FIELD) == (line,)


def test_a_line_along_an_edge_is_inside_and_one_beyond_is_not():
    assert clip(Line((-5.0, 50.0), (5.0, 50.0), Layer.DIM), FIELD) == (
        Line((0.0, 50.0), (5.0, 50.0), Layer.DIM),
    )
    assert clip(Line((-5.0, 50.1), (5.0, 50.1), Layer.DIM), FIELD) == ()
    assert clip(Line((-5.0, 45.0), (5.0, 55.0), Layer.DIM), FIELD) == ()


def test_a_circle_becomes_arcs_of_the_same_circle():
    wheel = Circle((50.0, 0.0), 30.0, Layer.WHEEL)
    (arc,) = clip(wheel, FIELD)
    assert isinstance(arc, Arc)
    assert (arc.centre, arc.radius, arc.layer) == (wheel.centre, 30.0, Layer.WHEEL)
    assert (arc.start_angle % 360.0, arc.end_angle - arc.start_angle) == pytest.approx((0.0, 180.0))


def test_a_circle_through_all_four_sides_leaves_four_corners():
    parts = clip(Circle((50.0, 25.0), 52.0, Layer.WHEEL), FIELD)
    assert len(parts) == 4
    half_side = math.degrees(math.acos(50.0 / 52.0))
    half_top = math.degrees(math.asin(25.0 / 52.0))
    for arc in parts:
        assert arc.end_angle - arc.start_angle == pytest.approx(half_top - half_side)


def test_a_circle_inside_stays_a_circle_even_where_it_touches():
    wheel = Circle((25.0, 25.0), 25.0, Layer.WHEEL)
    assert clip(wheel, FIELD) == (wheel,)


def test_an_arc_over_the_zero_direction_is_one_piece():
    arc = Arc((50.0, 25.0), 20.0, 300.0, 420.0, layer=Layer.DIM)
    assert clip(arc, FIELD) == (arc,)
    (cut,) = clip(arc, Rect(0.0, 25.0, 100.0, 50.0))
    assert (cut.start_angle, cut.end_angle) == pytest.approx((360.0, 420.0))


def test_a_closed_polyline_cut_once_is_one_open_piece():
    square = Polyline(((10.0, 10.0), (40.0, 10.0), (40.0, 70.0), (10.0, 70.0)), Layer.OUTLINE, closed=True)
    (cut,) = clip(square, FIELD)
    assert cut.points == ((10.0, 50.0), (10.0, 10.0), (40.0, 10.0), (40.0, 50.0))
    assert not cut.closed
    (rest,) = break_lines(square, [FIELD])
    assert rest.points == ((40.0, 50.0), (40.0, 70.0), (10.0, 70.0), (10.0, 50.0))


def test_a_closed_polyline_inside_stays_closed():
    square = Polyline(((1.0, 1.0), (9.0, 1.0), (9.0, 9.0)), Layer.OUTLINE, closed=True)
    assert clip(square, FIELD) == (square,)


def test_a_control_point_is_there_or_not():
    inside, outside = ControlPoint("bb", (0.0, 50.0)), ControlPoint("bb", (0.0, 50.1))
    assert clip(inside, FIELD) == (inside,)
    assert clip(outside, FIELD) == ()


@pytest.mark.parametrize(
    ("angle", "start", "end"),
    [
        (0.0, (0.0, 20.0), (100.0, 20.0)),
        (90.0, (30.0, 0.0), (30.0, 50.0)),
        (45.0, (10.0, 0.0), (60.0, 50.0)),
    ],
)
def test_a_datum_line_runs_from_edge_to_edge(angle, start, end):
    (line,) = clip(DatumLine((30.0, 20.0), angle, "axle line"), FIELD)
    assert line.layer is Layer.DATUM
    assert line.start == pytest.approx(start, abs=1e-9)
    assert line.end == pytest.approx(end, abs=1e-9)


def test_a_line_passes_under_panels():
    line = Line((0.0, 5.0), (100.0, 5.0), Layer.DATUM)
    holes = [Rect(10.0, 0.0, 20.0, 10.0), Rect(90.0, 0.0, 110.0, 10.0), Rect(40.0, 6.0, 50.0, 10.0)]
    assert break_lines(line, holes) == (
        Line((0.0, 5.0), (10.0, 5.0), Layer.DATUM),
        Line((20.0, 5.0), (90.0, 5.0), Layer.DATUM),
    )
    point = ControlPoint("bb", (15.0, 5.0))
    assert break_lines(point, holes) == (point,)


def test_a_circle_passes_under_a_panel():
    wheel = Circle((0.0, 0.0), 10.0, Layer.WHEEL)
    (arc,) = break_lines(wheel, [Rect(-20.0, 0.0, 20.0, 20.0)])
    assert (arc.start_angle % 360.0, arc.end_angle - arc.start_angle) == pytest.approx((180.0, 180.0))


@given(POINT, POINT)
def test_line_cuts_agree_with_shapely(a, b):
    line = Line(a, b, Layer.DIM)
    true = LineString([a, b]).intersection(box(0.0, 0.0, 100.0, 50.0)).length
    assert total(clip(line, FIELD)) == pytest.approx(true, abs=1e-5)
    assert total(clip(line, FIELD)) + total(break_lines(line, [FIELD])) == pytest.approx(
        length(line), abs=1e-5
    )


@given(st.lists(POINT, min_size=2, max_size=6), st.booleans())
def test_polyline_cuts_agree_with_shapely(points, closed):
    line = Polyline(tuple(points), Layer.OUTLINE, closed)
    ring = [*points, points[0]] if closed else points
    field = box(0.0, 0.0, 100.0, 50.0)
    true = sum(LineString(pair).intersection(field).length for pair in pairwise(ring))
    kept, rest = clip(line, FIELD), break_lines(line, [FIELD])
    assert total(kept) == pytest.approx(true, abs=1e-4)
    assert total(kept) + total(rest) == pytest.approx(length(line), abs=1e-4)


@settings(max_examples=60)
@given(POINT, st.floats(1.0, 200.0), st.floats(-360.0, 360.0), st.floats(1.0, 359.0))
def test_arc_cuts_agree_with_shapely(centre, radius, start, span):
    arc = Arc(centre, radius, start, start + span, layer=Layer.WHEEL)
    steps = 4000
    chords = [
        (
            centre[0] + radius * math.cos(math.radians(start + span * i / steps)),
            centre[1] + radius * math.sin(math.radians(start + span * i / steps)),
        )
        for i in range(steps + 1)
    ]
    # A chord of 1/4000 of the arc sags by less than 0.002; near a tangent that moves a cut by
    # up to sqrt(8 r sag), so the tangent's own ambiguity bounds the comparison.
    true = LineString(chords).intersection(box(0.0, 0.0, 100.0, 50.0)).length
    sag = radius * (1 - math.cos(math.radians(span / steps / 2)))
    kept, rest = clip(arc, FIELD), break_lines(arc, [FIELD])
    assert total(kept) == pytest.approx(true, abs=4 * math.sqrt(8 * radius * sag) + 1e-3)
    assert total(kept) + total(rest) == pytest.approx(length(arc), abs=1e-4)
    for piece in kept:
        middle = math.radians((piece.start_angle + piece.end_angle) / 2)
        at = centre[0] + radius * math.cos(middle), centre[1] + radius * math.sin(middle)
        assert FIELD.holds(at, 1e-6)


def dimension(line_y):
    return LengthDimension(
        "reach",
        (10.0, 5.0),
        (90.0, 5.0),
        0.0,
        line_at=(10.0, line_y),
        text_at=(50.0, line_y + 2.0),
        text_angle=0.0,
    )


def test_a_dimension_is_whole_or_left_out():
    inside = dimension(30.0)
    assert clip(inside, FIELD) == (inside,)
    assert clip(dimension(49.0), FIELD) == ()


def test_a_dimension_whose_extension_line_leaves_is_left_out():
    assert clip(dimension(48.9), FIELD) == ()
    low = LengthDimension(
        "reach", (10.0, -5.0), (90.0, 5.0), 0.0, line_at=(10.0, 20.0), text_at=(50.0, 22.0), text_angle=0.0
    )
    assert clip(low, FIELD) == ()


def test_an_angle_is_whole_or_left_out():
    inside = AngleDimension("seat", (50.0, 5.0), (90.0, 5.0), (50.0, 45.0), radius=30.0, text_at=(70.0, 10.0))
    assert clip(inside, FIELD) == (inside,)
    outside = AngleDimension(
        "seat", (50.0, 5.0), (90.0, 5.0), (50.0, 45.0), radius=46.0, text_at=(70.0, 10.0)
    )
    assert clip(outside, FIELD) == ()

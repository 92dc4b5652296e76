"""No line runs through a digit: thin lines break at words, turned words too, and nothing else does."""

from __future__ import annotations

import math
import random

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from layout.drafting.breaks import GAP, broken_at_words
from layout.drafting.calls import LengthCall, NoteCall
from layout.drafting.calls.batch import DESCENT
from layout.drafting.calls.notes import OFF_WORDS
from layout.drafting.dimensions import explode
from layout.drafting.entities import Arc, Circle, LengthDimension, Line, Text
from layout.drafting.lettering import text_box
from layout.drafting.obstacles import Scene
from layout.drafting.placer import place
from layout.drafting.style import Layer


@pytest.mark.parametrize("angle", [0.0, 37.0, -63.5, 90.0])
def test_an_axis_breaks_where_words_stand_on_it(angle):
    words = Text((100.0, 50.0), "63.5°", 7.0, Layer.DIM, angle=angle)
    axis = Line((0.0, 0.0), (220.0, 110.0), Layer.CENTRE)
    *pieces, kept = broken_at_words((axis, words))
    assert kept == words
    lines = [LineString([p.start, p.end]) for p in pieces]
    assert len(lines) == 2
    assert all(not line.intersects(Polygon(text_box(words))) for line in lines)
    whole = LineString([axis.start, axis.end])
    assert all(whole.buffer(1e-9).contains(line) for line in lines)
    assert lines[0].coords[0] == pytest.approx(axis.start) and lines[1].coords[-1] == pytest.approx(axis.end)


def test_a_wheel_breaks_into_an_arc_that_is_still_an_arc():
    words = Text((95.0, -3.0), "318", 7.0, Layer.DIM)
    (piece, _) = broken_at_words((Circle((0.0, 0.0), 100.0, Layer.WHEEL), words))
    assert isinstance(piece, Arc)
    assert piece.radius == 100.0 and piece.centre == pytest.approx((0.0, 0.0))
    assert 330.0 < piece.end_angle - piece.start_angle < 360.0


def test_outlines_and_crosses_are_never_broken():
    words = Text((10.0, -3.0), "12.5", 7.0, Layer.DIM)
    drawn = (Line((0.0, 0.0), (50.0, 0.0), Layer.OUTLINE), Line((0.0, 0.0), (50.0, 0.0), Layer.POINT), words)
    assert broken_at_words(drawn) == drawn


def test_a_short_dimension_has_its_line_drawn_on_under_its_words_with_the_value_next_to_the_arrow():
    """ISO 129-1, from memory: no words that hang in the air beside a dimension too short for them."""
    call = LengthCall("lower_stack", "lower stack", (0.0, 0.0), (12.5, 0.0), direction=0.0)
    placed = place([call], Scene())
    (found,) = placed.groups[0]
    assert isinstance(found, LengthDimension)
    parts = explode(found)
    words = {p.text: Polygon(text_box(p)) for p in parts if isinstance(p, Text)}
    level = found.line_at[1]
    (line,) = [p for p in parts if isinstance(p, Line) and p.start[1] == p.end[1] == level]
    left, right = sorted((line.start[0], line.end[0]))
    for box in words.values():
        assert left - 0.5 <= box.bounds[0] and box.bounds[2] <= right + 0.5
        assert box.bounds[1] > level
    middle = Spot(6.25, level)
    assert middle.distance(words["12.5"]) < middle.distance(words["lower stack"])


def test_a_leader_ends_in_a_ring_on_its_own_point():
    wall = Scene()
    wall.add_lines([((-30.0, y / 2), (30.0, y / 2)) for y in range(-60, 60)], 1000.0)
    (group,) = place([NoteCall("head tube bottom", (0.0, 0.0))], wall).groups
    text, leader, ring = group
    assert isinstance(text, Text) and isinstance(leader, Line) and isinstance(ring, Circle)
    assert leader.start == (0.0, 0.0) == ring.centre
    assert ring.radius == 1.5
    off_descenders = math.hypot(1.0, 1.0) * (DESCENT * text.height + OFF_WORDS)
    assert Polygon(text_box(text)).distance(Spot(leader.end)) < off_descenders


@pytest.mark.parametrize("seed", range(40))
def test_no_line_arc_or_circle_runs_through_words_wherever_they_stand(seed):
    """Measured by shapely; the words' boxes are their ink, which is narrower than what lines keep off."""
    rng = random.Random(seed)

    def spot() -> tuple[float, float]:
        return rng.uniform(-100.0, 100.0), rng.uniform(-100.0, 100.0)

    words = [
        Text(spot(), "612.5", 7.0, Layer.DIM, angle=rng.choice((0.0, rng.uniform(-90.0, 90.0))))
        for _ in range(6)
    ]
    start = rng.uniform(0.0, 360.0)
    strokes = (
        *(Line(spot(), spot(), Layer.CENTRE) for _ in range(4)),
        Arc(spot(), rng.uniform(5.0, 200.0), start, start + rng.uniform(10.0, 350.0), layer=Layer.WHEEL),
        Circle(spot(), rng.uniform(5.0, 200.0), Layer.HIDDEN),
    )
    pieces = [e for e in broken_at_words((*strokes, *words)) if not isinstance(e, Text)]
    boxes = [Polygon(text_box(text)) for text in words]
    assert not [p for p in pieces for box in boxes if _drawn(p).intersects(box)]
    lost = sum(_drawn(e).length for e in strokes) - sum(_drawn(p).length for p in pieces)
    touched = sum(
        _drawn(e).intersection(Polygon(text_box(text, GAP)).buffer(0.01)).length
        for e in strokes
        for text in words
    )
    assert lost <= touched + 0.1


def _drawn(stroke: Line | Arc | Circle) -> LineString:
    if isinstance(stroke, Line):
        return LineString([stroke.start, stroke.end])
    first, last = (0.0, 360.0) if isinstance(stroke, Circle) else (stroke.start_angle, stroke.end_angle)
    turns = [math.radians(first + (last - first) * k / 720) for k in range(721)]
    (x, y), r = stroke.centre, stroke.radius
    return LineString([(x + r * math.cos(a), y + r * math.sin(a)) for a in turns])

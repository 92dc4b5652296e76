"""The placer keeps callouts off what is drawn and off each other; shapely checks its box arithmetic."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from layout.drafting.calls import AngleCall, CheckCall, LengthCall, NoteCall
from layout.drafting.dimensions import explode
from layout.drafting.entities import AngleDimension, LengthDimension, Line, Text
from layout.drafting.lettering import text_box, text_width
from layout.drafting.meeting import Boxes, Pieces
from layout.drafting.obstacles import ALONG, HARD, Box, Proposals, Scene
from layout.drafting.placer import place
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.drafting.scene import scene
from layout.drafting.style import Layer
from layout.drafting.vector import unit

coordinate = st.floats(-50, 50).map(lambda v: round(v, 2))
spot = st.tuples(coordinate, coordinate)


def corners(box: Box) -> Polygon:
    u = unit(box.angle)
    return Polygon(
        [
            (
                box.centre[0] + s * box.half_length * u[0] - t * box.half_height * u[1],
                box.centre[1] + s * box.half_length * u[1] + t * box.half_height * u[0],
            )
            for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
    )


@given(spot, spot, spot, st.floats(1, 30), st.floats(1, 10), st.floats(-90, 90))
def test_a_box_pays_for_the_lines_it_meets(a, b, centre, length, height, angle):
    box = Box(centre, length, height, angle)
    scene = Scene()
    scene.add_line(a, b, 5.0)
    none = np.zeros(1, dtype=np.intp)
    proposal = Proposals(Boxes(np.array([box.row()])), np.zeros(1), none, Pieces.joined(()), none[:0])
    price = float(scene.frozen().crossing(proposal)[0])
    line, area = LineString([a, b]), corners(box)
    gap = line.distance(area)
    depth = line.intersection(area).length
    if gap > 1e-6:
        assert price == 0.0
    elif depth > 1e-6:
        assert price == pytest.approx(5.0 * (1.0 + depth / ALONG), abs=1e-6)


def boxes(placed) -> list[Polygon]:
    parts = [t for g in placed.groups for e in g for t in explode(e) if isinstance(t, Text)]
    return [Polygon(text_box(t)) for t in parts]


def test_short_dimensions_lie_inside_long_ones():
    calls = [
        LengthCall("short", "short", (0, 0), (100, 0), direction=0.0, side=-1),
        LengthCall("long", "long", (0, 0), (300, 0), direction=0.0, side=-1),
    ]
    short, long = (g[0] for g in place(calls, Scene()).groups)
    assert 0 > short.line_at[1] > long.line_at[1]


def test_a_dimension_too_short_for_its_words_is_lettered_beyond_its_end():
    (made,) = place([LengthCall("gap", "lower stack", (0, 0), (12, 0), direction=0.0)], Scene()).groups[0]
    assert isinstance(made, LengthDimension)
    assert made.arrows_outside
    assert made.value == 12.0
    assert not 0 <= made.text_at[0] <= 12


def test_two_lengths_in_line_with_each_other_stand_on_one_line():
    """The strip that others keep off a dimension line ends where the line does."""
    calls = [
        LengthCall("one", "one", (0, 0), (100, 0), direction=0.0, side=1),
        LengthCall("other", "other", (130, 0), (230, 0), direction=0.0, side=1),
    ]
    one, other = (g[0] for g in place(calls, Scene()).groups)
    assert one.line_at[1] == other.line_at[1]


@given(spot, st.floats(1, 30), st.floats(1, 10), st.floats(-90, 90))
def test_the_edges_of_words_that_others_keep_off_are_the_boxs_own(centre, length, height, angle):
    """Two long edges, two short ones and the midline, as shapely has the box's corners."""
    box = Box(centre, length, height, angle)
    low, middle, high, *short = (LineString(rib) for rib in box.ribs())
    around = corners(box)
    for edge in (low, high, *short):
        assert edge.hausdorff_distance(around.exterior.intersection(edge.buffer(1e-6))) < 1e-4
    assert sum(edge.length for edge in (low, high, *short)) == pytest.approx(around.length)
    assert middle.length == pytest.approx(2 * length)
    assert middle.centroid.distance(around.centroid) < 1e-9


@pytest.mark.parametrize(("ends", "apart"), [((120.0, 280.0), True), ((-50.0, 450.0), False)])
def test_a_checks_words_stand_close_beside_a_line_only_where_there_is_no_other_place(ends, apart):
    """A line 3 mm over the words: they go to where it ends; where it runs all along they stay under it."""
    line = Line((ends[0], 6.5), (ends[1], 6.5), Layer.DIM)
    below = Line((ends[0], -6.5), (ends[1], -6.5), Layer.DIM)
    (group,) = place([CheckCall("A", "A", (0, 0), (400, 0))], scene([([line, below], 3000.0)])).groups
    words = [Polygon(text_box(t)) for e in group for t in explode(e) if isinstance(t, Text)]
    near = min(box.distance(LineString([line.start, line.end])) for box in words)
    assert (near >= 4.0) == apart
    assert near >= 2.0


def test_callouts_keep_off_a_thick_wall():
    wall = [((-400.0, y), (400.0, y)) for y in (-20.0, -28.0, 20.0, 28.0)]
    scene = Scene()
    scene.add_lines(wall, HARD)
    calls = [
        LengthCall("a", "first", (0, 0), (200, 0), direction=0.0),
        CheckCall("check", "A", (-300, 0), (300, 0)),
        AngleCall(
            "angle",
            "",
            vertex=(0, 0),
            start=(100, 0),
            end=(0, 100),
            radii=tuple(40.0 + 5 * k for k in range(30)),
        ),
        NoteCall("a note", (0, 0)),
    ]
    placed = place(calls, scene)
    assert placed.crowded == ()
    walls = [LineString(w) for w in wall]
    found = boxes(placed)
    assert not any(box.intersects(w) for box in found for w in walls)
    assert not any(p.intersects(q) for i, p in enumerate(found) for q in found[:i] if p is not q)
    assert isinstance(placed.groups[2][0], AngleDimension)


def test_a_call_without_a_clean_place_is_named_and_not_drawn():
    scene = Scene()
    scene.add_lines([((-900.0, y / 1.0), (900.0, y / 1.0)) for y in range(-900, 900, 4)], HARD)
    placed = place([NoteCall("shut in", (0, 0), far=60.0)], scene)
    assert placed.crowded == ("shut in",)
    assert placed.groups == ((),)


def test_on_pages_that_join_lettering_and_arrowheads_keep_off_the_seam():
    """A dimension over two pages has its words on one of them; what ends on no page is not drawn."""
    left, right = Rect(0.0, 0.0, 200.0, 200.0), Rect(200.0, 0.0, 400.0, 200.0)
    rooms = Rooms((left, right), (left.grown(-6.0), right.grown(-6.0)))
    fits = LengthCall("over", "over both", (50.0, 50.0), (350.0, 50.0), direction=0.0)
    beyond = LengthCall("beyond", "beyond", (50.0, 50.0), (550.0, 50.0), direction=0.0)
    on_seam = LengthCall(
        "on seam", "on seam", (202.0, 20.0), (202.0, 180.0), direction=90.0, clear=0.0, last=0.0
    )
    placed = place([fits, beyond, on_seam], Scene(), rooms=rooms)
    assert placed.crowded == ("beyond", "on seam")
    assert boxes(placed)
    assert all(any(Polygon(room.corners).contains(box) for room in rooms.words) for box in boxes(placed))


def test_many_notes_at_one_point_find_room():
    placed = place([NoteCall(f"note number {k}", (0, 0)) for k in range(14)], Scene())
    found = boxes(placed)
    assert placed.crowded == ()
    assert not any(p.intersects(q) for i, p in enumerate(found) for q in found[:i])


BOSS = "boss 254.0 from BB\n240.0 from the long point"


def test_a_note_of_two_lines_keeps_both_clear_and_its_leader_follows_them():
    wall = Scene()
    wall.add_line((-300.0, 20.0), (300.0, 20.0), HARD)
    (group,) = place([NoteCall(BOSS, (0.0, 0.0), 5.0)], wall).groups
    first, second = (e for e in group if isinstance(e, Text))
    assert second.at[0] == first.at[0] and first.at[1] - second.at[1] == pytest.approx(8.5)
    assert first.at[1] + 5.0 < 20.0 or second.at[1] - 1.5 > 20.0


def test_a_note_of_two_lines_stands_off_its_point_by_its_nearest_edge():
    """Half a line's step nearer it still kept off everything drawn, but not off the point it names."""
    call = NoteCall("words of two lines\nthat stand beside", (0.0, 0.0), 5.0)
    batch = next(iter(call.batches()))
    for place_ in range(36):
        texts = [e for e in batch.offer.make(place_) if isinstance(e, Text)]
        assert len(texts) == 2
        x, low = texts[1].at
        high, width = texts[0].at[1] + 5.0, max(text_width(t.text, 5.0) for t in texts)
        beside = max(x, -(x + width), 0.0)
        above = max(low, -high, 0.0)
        assert math.hypot(beside, above) >= 0.9 * 0.6 * call.near


ANGLE = AngleCall("a", "a", vertex=(5.0, 9.0), start=(105.0, 29.0), end=(-25.0, 109.0), radii=(30.0, 45.0))


def _value_middles(call: AngleCall):
    """Of each place: the words' distance from the vertex and bearing, price, drawing, half extents."""
    offered = []
    for offer in (batch.offer for batch in call.batches()):
        for k, price in enumerate(offer.proposals.prices.tolist()):
            (made,) = offer.make(k)
            across = [x for e in explode(made) if isinstance(e, Text) for x, _ in text_box(e)]
            x, y = made.text_at[0] - call.vertex[0], made.text_at[1] + call.height / 2 - call.vertex[1]
            half = (max(across) - min(across)) / 2, call.height / 2
            offered.append((math.hypot(x, y), math.degrees(math.atan2(y, x)), price, made, half))
    return offered


def test_the_value_of_an_angle_stands_between_its_legs():
    """On the other side of the first leg it would be read as another angle."""
    start, end = math.degrees(math.atan2(20.0, 100.0)), math.degrees(math.atan2(100.0, -30.0))
    offered = _value_middles(ANGLE)
    sweep = end - start
    cheap = [bearing for _, bearing, price, *_ in offered if price < 50.0]
    assert len(cheap) > 15
    assert all(start + 0.2 * sweep - 1e-6 <= bearing <= end - 0.2 * sweep + 1e-6 for bearing in cheap)
    best = min(offered, key=lambda each: each[2])
    assert best[1] == pytest.approx((start + end) / 2)
    assert place([ANGLE], Scene()).groups[0][0] == best[3]


def test_the_value_of_an_angle_does_not_lie_on_its_arc_nor_on_its_vertex():
    """Inside an arc that is too small for its words they ran over it, or onto the cross at the vertex."""
    inside = 0
    for away, bearing, price, made, (half, high) in _value_middles(ANGLE):
        if price >= HARD:
            continue
        x, y = away * math.cos(math.radians(bearing)), away * math.sin(math.radians(bearing))
        reach = [math.hypot(x + s * half, y + t * high) for s in (1, -1) for t in (1, -1)]
        if away < made.radius:
            inside += 1
            assert max(reach) < made.radius
            assert away >= 0.3 * made.radius
        else:
            assert corners(Box((x, y), half, high, 0.0)).distance(Point(0, 0)) > made.radius
    assert inside > 5


def test_the_value_of_an_angle_stands_inside_its_arc_only_where_it_has_room():
    """An arc of 8 mm cannot hold it: each such place costs as much as words on words."""
    small = replace(ANGLE, radii=(8.0,))
    assert all(price >= HARD for away, _, price, made, _ in _value_middles(small) if away < made.radius)
    assert place([small], Scene()).groups[0]

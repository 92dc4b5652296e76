"""Where callouts with little room go: shorter lines, groups, the value alone; leaders off other points."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from layout.drafting.alike import place_alike, place_alike_in_groups
from layout.drafting.calls import AngleCall, LengthCall, NoteCall
from layout.drafting.calls.batch import CLEAR
from layout.drafting.dimensions import explode
from layout.drafting.entities import AngleDimension, Line, Polyline, Text
from layout.drafting.lettering import text_box, text_width
from layout.drafting.obstacles import HARD, PASS_CLEAR, Scene
from layout.drafting.placer import place
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.drafting.scene import scene, squares
from layout.drafting.style import Layer
from layout.drafting.vector import along


def test_no_leader_passes_over_another_point_than_its_own():
    """The leader of the head tube's bottom ran through the cross of the crown race."""
    mine, other = (0.0, 0.0), (6.0, -12.0)
    alone, both = (scene([(squares(points, 1.0), HARD)]).frozen() for points in ([mine], [mine, other]))
    near = 0
    for batch in NoteCall("a name", mine).batches():
        found = batch.offer.proposals
        more = both.crossing(found) - alone.crossing(found)
        for line, k in zip(found.lines.rows, found.line_group, strict=True):
            passes = LineString([line[:2], line[2:]]).distance(Spot(other)) < PASS_CLEAR
            near += passes
            assert alone.crossing(found)[k] == 0.0
            assert not passes or more[k] >= HARD
    assert near > 10


def test_words_that_find_no_near_place_stand_in_shorter_lines():
    """They went to the end of a leader 60 long, where half their length had room near by."""
    long = "head tube bottom"
    wide = text_width(long, 3.5)
    at = [0.9 * wide * (k + 0.5) for k in range(-5, 5)]
    walls = [Line((x, -200.0), (x, 200.0), Layer.OUTLINE) for x in at]
    (group,) = place([NoteCall(long, (0.0, 0.0))], scene([(walls, HARD)])).groups
    assert [e.text for e in group if isinstance(e, Text)] == ["head tube", "bottom"]


def test_names_that_pages_part_share_a_step_in_groups():
    """Where one step did not suit all names each went its own way, and leaders were long."""
    calls = [NoteCall(f"point {k}", (0.0, y)) for k, y in enumerate((0.0, 20.0, 120.0, 140.0))]
    left, right = Rect(-200.0, -50.0, 3.0, 60.0), Rect(-3.0, 80.0, 200.0, 200.0)
    rooms = Rooms((left, right), (left, right))
    fixed = Scene().frozen()
    assert len(place_alike(calls, fixed, rooms)) == 2
    placed = place_alike_in_groups(calls, fixed, rooms)
    steps = [
        (round(line.end[0] - line.start[0], 6), round(line.end[1] - line.start[1], 6))
        for k in range(4)
        for line in placed[k].entities
        if isinstance(line, Line)
    ]
    assert steps[0] == steps[1] and steps[2] == steps[3]
    assert steps[0][0] < 0.0 < steps[2][0]


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_names_of_several_lines_are_drawn_where_they_were_priced(side: float):
    """Drawn a line higher than its box, or on its other side, a name ran into what the box keeps off."""
    calls = [NoteCall("lower\nend", (0.0, 0.0)), NoteCall("a\nhigher\nend", (0.0, 60.0))]
    at = [-side * (5.0 + 6.0 * k) for k in range(20)]
    walls = [Line((x, -200.0), (x, 200.0), Layer.OUTLINE) for x in at]
    placed = place_alike(calls, scene([(walls, HARD)]).frozen())
    assert len(placed) == 2
    for taken in placed.values():
        assert all(side * (e.end[0] - e.start[0]) > 0.0 for e in taken.entities if isinstance(e, Line))
        cx, cy, half_length, half_height, *along = taken.proposal.boxes.rows[0].tolist()
        assert along == [1.0, 0.0]
        words = [e for e in taken.entities if isinstance(e, Text)]
        corners = [corner for text in words for corner in text_box(text)]
        high, low = max(y for _, y in corners), min(y for _, y in corners)
        left, right = min(x for x, _ in corners), max(x for x, _ in corners)
        assert high <= cy + half_height and cy - half_height <= low
        assert cx - half_length <= left and right <= cx + half_length
        assert [text.at[1] for text in words] == sorted((text.at[1] for text in words), reverse=True)


def test_a_leader_among_alike_ones_passes_no_other_point():
    """Through the cross of the point next to it, it seemed to name that one."""
    ring = [along((0.0, 0.0), angle, 8.0) for angle in (*range(-70, 31, 10), *range(110, 251, 10))]
    others = [(x, y + up) for x, y in ring for up in (0.0, 60.0)]
    drawn = Scene()
    for at in others:
        drawn.keep_leaders_off(at)
    placed = place_alike([NoteCall("a", (0.0, 0.0)), NoteCall("b", (0.0, 60.0))], drawn.frozen())
    leaders = [e for taken in placed.values() for e in taken.entities if isinstance(e, Line)]
    assert len(leaders) == 2
    for line in leaders:
        assert all(LineString([line.start, line.end]).distance(Spot(at)) >= PASS_CLEAR for at in others)


def test_names_in_a_low_passage_stand_level_with_their_points():
    """Only steep steps were tried, so names between two walls found no place."""
    walls = [Line((-200.0, y), (200.0, y), Layer.OUTLINE) for y in (-9.0, 9.0)]
    calls = [NoteCall("left", (0.0, 0.0)), NoteCall("right", (60.0, 0.0))]
    placed = place_alike(calls, scene([(walls, HARD)]).frozen())
    assert len(placed) == 2
    for taken in placed.values():
        for line in (e for e in taken.entities if isinstance(e, Line)):
            assert abs(line.end[1]) < 9.0


def test_an_extension_lines_end_past_the_dimension_line_keeps_off_words():
    """The two millimetres past the dimension line ran into a name: now into its free paper."""
    call = LengthCall("reach", "reach", (0.0, 0.0), (300.0, 0.0), direction=0.0, side=1, clear=20.0)
    (batch, *_) = call.batches()
    (made,) = batch.offer.make(0)
    drawn = [part for part in explode(made) if isinstance(part, Line) and part.start[0] == part.end[0]]
    offered = batch.offer.proposals
    proposed = offered.lines.rows[offered.line_group == offered.group[0]]
    beyond = max(line.end[1] for line in drawn) - float(proposed[:, 3].max())
    assert 0.0 <= beyond <= CLEAR / 2 + 1e-6


def test_an_angle_has_its_value_alone_where_its_name_has_no_room_among_seams():
    """The head angle went to the tables, where a page shows 50 mm above the axle line."""
    page = Rect(-60.0, -30.0, 60.0, 48.0)
    rooms = Rooms((page,), (page,))
    radii = tuple(70.0 + 10.0 * k for k in range(16))
    end = (-50.0 * np.cos(np.radians(70.0)), 50.0 * np.sin(np.radians(70.0)))
    call = AngleCall("head_angle", "head angle", vertex=(0.0, 0.0), start=(float(end[0]), float(end[1])),
                     end=(-50.0, 0.0), radii=radii, height=10.0)  # fmt: skip
    ((made,),) = place([call], Scene(), rooms=rooms).groups
    assert isinstance(made, AngleDimension) and made.label == ""
    assert place([call], Scene()).groups[0][0].label == "head angle"


def test_no_arrowhead_of_a_length_too_short_for_it_lies_on_a_seam():
    """Half of it is on either page. It goes to the tables; farther from the seam it is drawn."""
    pages = Rect(0.0, -200.0, 300.0, 200.0), Rect(-300.0, -200.0, 0.0, 200.0)
    rooms = Rooms(tuple(p.grown(5.0) for p in pages), tuple(p.grown(-6.0) for p in pages))
    for start, drawn in ((8.0, False), (20.0, True)):
        call = LengthCall("gap", "gap", (start, 0.0), (start + 12.0, 0.0), direction=0.0)
        placed = place([call], Scene(), rooms=rooms)
        assert placed.crowded == (() if drawn else ("gap",))
        heads = [e for each in placed.entities for e in explode(each) if isinstance(e, Polyline)]
        assert len(heads) == 2 * drawn
        assert all(x >= 6.0 for e in heads for x, _ in e.points)

"""The side view, measured on the Drawing with the real lettering: shapely judges what overlaps."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path
from typing import TypeVar

import pytest
from crowding import lettering, overlaps, thick_lines
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from layout.drafting.dimensions import value_string
from layout.drafting.entities import (
    AngleDimension,
    Circle,
    DatumLine,
    Drawing,
    LengthDimension,
    Line,
    Text,
)
from layout.drafting.numbers import format_number
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.frame.solve import Frame, solve
from layout.frame.words import words
from layout.geometry.space.frame import SpaceFrame
from layout.sheets.compose import SheetArrangement
from layout.spec.load import load, loads
from layout.views.panels import panels
from layout.views.side.fittings import fitting_at
from layout.views.side.plan import plan
from layout.views.side.strokes import ARM_PAST, CENTRELINE_PAST, LONGEST_COVER
from layout.views.side.view import SideView, draft

CALLOUTS = {
    "bb_drop", "rear_centre", "front_centre", "rear_centre_horizontal", "front_centre_horizontal",
    "wheelbase", "reach", "stack", "top_tube_effective", "seat_tube_length", "seat_tube_cc",
    "top_tube_at_seat", "top_tube_length", "down_tube_length", "head_tube_length", "top_tube_at_head",
    "down_tube_at_head", "fork_length_on_axis", "axle_to_crown", "lower_stack", "fork_offset",
    "head_angle", "seat_angle", "angle_top_head", "angle_seat_top", "angle_down_head", "angle_seat_down",
    "angle_seat_chain",
}  # fmt: skip


@dataclass(frozen=True)
class Composed:
    """A side view with its tables: whole as the DXF has it, and cut to the least sheet."""

    whole: Drawing
    least: Drawing
    paper: Rect


T = TypeVar("T")


def once(make: Callable[[Frame], T]) -> Callable[[Frame], T]:
    """Made once for each frame: what is drafted is plain data that nobody changes."""
    kept: dict[int, tuple[Frame, T]] = {}

    def found(frame: Frame) -> T:
        if id(frame) not in kept:
            kept[id(frame)] = frame, make(frame)
        return kept[id(frame)][1]

    return found


@once
def drafted(frame: Frame) -> SideView:
    """The side view of a frame whose tubes are known by their sizes."""
    return draft(frame)


@once
def composed(frame: Frame) -> Composed:
    view = drafted(frame)
    arrangement = SheetArrangement(view.view, panels(frame, view.checks))
    least = arrangement.composed(*arrangement.least_size)
    return Composed(arrangement.composed(None, None).drawing, least.drawing, least.bounds)


def test_no_lettering_lies_on_lettering_or_on_a_thick_line(frame: Frame, space: SpaceFrame):
    found = composed(frame)
    assert overlaps(found.whole) == []
    assert overlaps(found.least) == []


def test_nothing_leaves_the_least_sheet(frame: Frame, space: SpaceFrame):
    found = composed(frame)
    room = Polygon(found.paper.grown(0.26).corners)
    outside = [t for t, box in lettering(found.least) if not room.contains(box)]
    assert outside == []
    assert all(room.contains(line) for line in thick_lines(found.least))


def test_the_drawing_holds_all_it_should(frame: Frame, space: SpaceFrame):
    view = drafted(frame)
    named = [e.name for e in view.view.core if isinstance(e, LengthDimension | AngleDimension)]
    checks = {c.name for c in view.checks}
    known = frame.plane.dimensions
    present = CALLOUTS - {n for n in ("lower_stack", "fork_offset") if abs(known[n] or 0.0) < 0.05}
    # What no clear place was found for is not drawn, but named: it stands in the table of dimensions.
    assert present - set(view.crowded) <= set(named)
    assert len(view.crowded) <= 2
    assert [n for n, count in Counter(named).items() if count > 1] == []
    assert len(view.checks) >= 8
    lent = [e for e in view.view.core if isinstance(e, LengthDimension) and e.label[:1].isupper()]
    lettered = {e.label[0] for e in lent if e.label[1:3] == "  " or len(e.label) == 1}
    assert lettered >= {c.letter for c in view.checks}
    assert {n for n in named if n.startswith("check_")} <= checks
    crosses = [e for e in view.view.core if isinstance(e, Line) and e.layer is Layer.POINT]
    core = {at for name, at in view.view.core.points().items()}
    assert len(crosses) == 2 * len(core)
    assert sum(isinstance(e, DatumLine) for e in view.view.core) == 3
    assert set(view.view.whole().points()) == set(frame.plane.points)


def test_the_dimension_table_has_a_row_for_every_dimension_found(frame: Frame):
    panel = panels(frame, drafted(frame).checks)["dimensions"]
    shown = [e.text for e in panel.drawing if isinstance(e, Text)]
    found = [n for n, v in frame.plane.dimensions.items() if v is not None]
    numbers = [t for t in shown if t.rstrip("°").replace(".", "").replace("-", "").isdigit()]
    assert len(numbers) == len(found)


def test_each_value_shown_is_the_solvers_and_the_distance_drawn(frame: Frame, space: SpaceFrame):
    for e in drafted(frame).view.whole():
        if isinstance(e, AngleDimension):
            arms = [math.atan2(p[1] - e.vertex[1], p[0] - e.vertex[0]) for p in (e.start, e.end)]
            drawn = math.degrees(arms[1] - arms[0]) % 360.0
            shown = value_string(e).rstrip("°")
        elif isinstance(e, LengthDimension):
            u = (math.cos(math.radians(e.direction)), math.sin(math.radians(e.direction)))
            drawn = abs((e.end[0] - e.start[0]) * u[0] + (e.end[1] - e.start[1]) * u[1])
            shown = value_string(e)
        else:
            continue
        assert shown == format_number(drawn, e.decimals)
        if not e.name.startswith("check_"):
            solved = frame.plane.dimensions[e.name]
            assert solved is not None
            assert drawn == pytest.approx(abs(solved), abs=1e-6)


def test_control_points_are_the_solvers(frame: Frame):
    sign = -1.0 if frame.heading == "left" else 1.0
    drawn = drafted(frame).view.whole().points()
    for name, (x, y) in frame.plane.points.items():
        assert drawn[name] == pytest.approx((sign * x, y), abs=1e-9)


def test_arms_reach_past_what_covers_them(demo_frame: Frame):
    """An arm's end is 15 clear of every part it starts under, measured on the tubes' own areas."""
    p = plan(demo_frame)
    bars = {b.name: Polygon(b.corners()) for b in p.bars.values()}
    shell = Spot(p["bb"]).buffer(demo_frame.plane.shell_diameter / 2, quad_segs=90)
    arms = [e for e in drafted(demo_frame).view.core if isinstance(e, Line) and e.layer is Layer.POINT]
    level = next(e for e in arms if e.start[1] == e.end[1] == p["bb"][1])
    over = [g for g in (*bars.values(), shell) if g.covers(Spot(p["bb"]))]
    for end, far in ((level.start, (-400.0, 0.0)), (level.end, (400.0, 0.0))):
        ray = LineString([p["bb"], (p["bb"][0] + far[0], p["bb"][1] + far[1])])
        reaches = [g.intersection(ray).length for g in over]
        reach = max(r for r in reaches if r <= LONGEST_COVER)
        assert reach >= demo_frame.plane.shell_diameter / 2 - 0.05
        assert Spot(p["bb"]).distance(Spot(end)) >= reach + ARM_PAST - 0.05


def test_centrelines_run_past_the_parts_that_cover_them(demo_frame: Frame):
    p = plan(demo_frame)
    bars = {b.name: Polygon(b.corners()) for b in p.bars.values()}
    lines = [e for e in drafted(demo_frame).view.core if isinstance(e, Line) and e.layer is Layer.CENTRE]
    shell = Spot(p["bb"]).buffer(demo_frame.plane.shell_diameter / 2, quad_segs=90)
    for name in ("top_tube", "down_tube", "seat_tube"):
        axis = p.bars[name]
        line = max(
            (LineString([e.start, e.end]) for e in lines),
            key=lambda g, a=axis: -g.distance(Spot(a.start)) - g.distance(Spot(a.end)),
        )
        for end in line.coords[0], line.coords[-1]:
            clear = min(g.distance(Spot(end)) for g in (*bars.values(), shell))
            assert clear > 0.0
            near = min(Spot(axis.start).distance(Spot(end)), Spot(axis.end).distance(Spot(end)))
            assert near >= CENTRELINE_PAST - 1e-9


def test_heading_left_is_the_mirror_image_of_the_points(demo_frame: Frame):
    left = drafted(replace(demo_frame, heading="left")).view.whole().points()
    for name, (x, y) in drafted(replace(demo_frame, heading="right")).view.whole().points().items():
        assert left[name] == pytest.approx((-x, y))


def test_no_two_crosses_are_drawn_twice(frame: Frame):
    arms = [e for e in drafted(frame).view.whole() if isinstance(e, Line) and e.layer is Layer.POINT]
    for a, b in combinations(arms, 2):
        assert (a.start, a.end) != (b.start, b.end)


def test_a_fitting_on_a_stay_lies_as_far_along_it_as_the_tape_says():
    """The mark's distance from the axle on paper is the taped one, shortened as the stay leans."""
    spec = load(Path(__file__).parents[2] / "specs" / "all-road.yaml")
    frame = solve(spec)
    space = frame.space
    (bridge,) = [f for f in frame.fittings if f.kind == "bridge" and f.tube == "seat_stay"]
    found = fitting_at(plan(frame), bridge)
    assert found is not None
    stay = space.tubes["seat_stay_right"]
    lean = stay.path.last.at - stay.path.first.at
    shortened = bridge.at - space.rear.place(bridge.role).from_axle
    on_paper = math.dist(found[0], stay.path.first.at[:2])
    assert on_paper == pytest.approx(shortened * math.hypot(lean[0], lean[1]) / math.hypot(*lean), abs=1e-6)
    assert on_paper < shortened - 1.0


def test_a_negative_drop_says_which_way_it_lies():
    """A length drawn has no sign: 38 above the axle must not read as a drop of 38."""
    text = """
geometry: {bb_drop: -38, rear_centre: 420, front_centre: 600, head_angle: 71, seat_angle: 75,
           head_tube_length: 120}
fork: {axle_to_crown: 330, offset: 35}
wheels: {rear: 44-406, front: 44-406}
"""
    found = {e.name: e for e in drafted(solve(loads(text))).view.core if isinstance(e, LengthDimension)}
    assert found["bb_drop"].label.endswith("BB above axle")
    assert value_string(found["bb_drop"]) == "38.0"


def test_a_negative_trail_says_so():
    """The contact ahead of the steering axis must not read as as much trail behind it."""
    text = """
geometry: {bb_drop: 70, rear_centre: 430, front_centre: 640, head_angle: 84, seat_angle: 73,
           head_tube_length: 140}
fork: {axle_to_crown: 395, offset: 45}
wheels: {rear: 37-622, front: 37-622}
"""
    frame = solve(loads(text))
    trail = frame.plane.dimensions["trail"]
    assert trail is not None
    assert trail < -5.0
    around = [e for group in drafted(frame).view.surroundings for e in group]
    (shown,) = (e for e in around if isinstance(e, LengthDimension) and e.name == "trail")
    assert (shown.label, shown.value) == ("minus trail", pytest.approx(-trail))


def test_every_callout_of_a_negative_dimension_has_words_of_its_own(frame: Frame):
    for e in drafted(frame).view.core:
        if isinstance(e, LengthDimension) and (frame.plane.dimensions.get(e.name) or 0.0) < 0.0:
            assert not e.label.endswith(words(e.name))


def test_the_sheet_marks_defaults_and_says_what_replaced_one():
    text = """
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150, bb_height: 281}
fork: {axle_to_crown: 395, offset: 45}
"""
    frame = solve(loads(text))
    shown = [e.text for e in panels(frame, ())["title"].drawing if isinstance(e, Text)]
    assert any(t.startswith("rear radius 351.0") for t in shown)
    rows = [e for e in panels(frame, ())["dimensions"].drawing if isinstance(e, Text)]

    def mark(name: str) -> str:
        (x, y) = next(e.at for e in rows if e.text == name)
        beside = sorted((e.at[0], e.text) for e in rows if e.at[1] == y and e.at[0] > x)
        return beside[1][1] if len(beside) > 1 and beside[1][1] in ("given", "default") else ""

    assert [mark(n) for n in ("front radius", "BB height", "rear radius")] == ["default", "given", ""]


BOSSES = """
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, head_tube_length: 150,
           seat_angle: 73}
fork: {axle_to_crown: 395, offset: 45}
fittings:
  - {kind: boss, tube: down_tube, at: 210, from: bb, side: up}
  - {kind: boss, tube: down_tube, at: 210, from: bb, side: down}
  - {kind: boss, tube: seat_tube, at: 150, from: bb, side: front}
  - {kind: guide, tube: down_tube, at: 80, from: head, side: left}
"""


@pytest.mark.parametrize("heading", ["right", "left"])
def test_a_fitting_is_marked_and_named_on_the_side_it_is_on(heading: str):
    frame = replace(solve(loads(BOSSES)), heading=heading)
    p = plan(frame)
    entities = [e for e in drafted(frame).view.whole() if e.layer is Layer.FITTING]
    marks = [e.centre for e in entities if isinstance(e, Circle)]
    axes = [fitting_at(p, f)[0] for f in frame.fittings]
    off = [(p.forward * (m[0] - a[0]), m[1] - a[1]) for m, a in zip(marks, axes, strict=True)]
    assert [math.hypot(*o) for o in off] == pytest.approx([34.9 / 2, 34.9 / 2, 28.6 / 2, 0.0])
    assert off[0][1] > 0.0 > off[1][1] and off[2][0] > 0.0
    said = {e.text.split(";")[0]: e.at for e in entities if isinstance(e, Text)}
    least = frame.space.cut_of("down_tube", 1).least.s  # type: ignore[union-attr]
    words = [e.text for e in entities if isinstance(e, Text)]
    assert f"{80.0 - least:.1f} from the long point" in words[words.index("guide 80.0 from head, left") + 1]
    assert {e.height for e in entities if isinstance(e, Text)} == {5.0}
    assert said["boss 210.0 from BB, up"][1] > marks[0][1]
    assert said["boss 210.0 from BB, down"][1] < marks[1][1]
    assert "guide 80.0 from head, left" in said


def test_the_title_block_says_that_sag_is_not_drawn_and_what_it_does():
    frame = solve(loads(BOSSES.replace("offset: 45", "offset: 45, sag: 20")))
    shown = [e.text for e in panels(frame, ())["title"].drawing if isinstance(e, Text)]
    assert "drawn without sag; at rest" in shown
    rest = " ".join(shown)
    assert f"head angle {frame.plane.sagged['head_angle']:.2f}°" in rest
    assert f"BB height {frame.plane.sagged['bb_height']:.1f}" in rest

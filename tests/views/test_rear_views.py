"""The rear views: true positions, gaps marked where they are, nothing on top of anything."""

from __future__ import annotations

import math
import sys
from functools import cache
from pathlib import Path

import pytest
from crowding import overlaps
from shapely.geometry import LineString
from shapely.geometry import Point as Spot
from shapely.geometry import box as shapely_box

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import SPECS, placed

from layout.drafting.dimensions import explode
from layout.drafting.entities import Circle, Drawing, LengthDimension, Line, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.style import Layer
from layout.frame.solve import Frame, solve
from layout.geometry.space.clearance import WANTED
from layout.geometry.space.vectors import vector
from layout.sheets.compose import SheetArrangement
from layout.spec.load import load, loads
from layout.views.projection import half_width
from layout.views.rear.checks import SAID, with_point_words
from layout.views.rear.parts import stay_plane
from layout.views.rear.plan import draft_plan, plan_gaps
from layout.views.rear.sheet import RearSheet, draft_rear
from layout.views.rear.stays import draft_stays

DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


@cache
def known(name: str) -> Frame:
    if name in SPECS:
        return placed(name)
    if name == "tight":
        text = next(p for p in DEMOS if p.stem == "all-road").read_text("utf-8")
        changed = text.replace("chainring_teeth: 38", "chainring_teeth: 50")
        changed = changed.replace("section: [16, 30], ", "")
        assert changed.count("chainring_teeth: 50") == 1 and changed != text
        return solve(loads(changed, "tight.yaml"))
    if name == "left":
        return solve(loads(SPECS["plain"] + "drawing: {heading: left}\n", "left.yaml"))
    return solve(load(next(p for p in DEMOS if p.stem == name)))


@cache
def sheet(name: str) -> RearSheet:
    return draft_rear(known(name))


EVERY = [*SPECS, "left", "tight", *(p.stem for p in DEMOS)]


def composed(name: str) -> Drawing:
    found = sheet(name)
    return SheetArrangement(found.view, found.panels).composed(None, None).drawing


@pytest.mark.parametrize("name", EVERY)
def test_no_lettering_lies_on_lettering_or_on_a_thick_line(name: str):
    assert overlaps(composed(name)) == []
    assert sheet(name).crowded == ()


@pytest.mark.parametrize("name", EVERY)
def test_points_are_at_their_true_distances(name: str):
    r = known(name)
    points = Drawing("plan", draft_plan(r).entities).points()
    axle = r.space.rear_axle
    run = run_of(math.hypot(*axle), r, "chain_stay")
    assert math.dist(points["plan_bb"], points["plan_rear_axle"]) == pytest.approx(run)
    for side in ("left", "right"):
        stay = r.space.tubes[f"chain_stay_{side}"].path
        if stay.straight:
            drawn = math.dist(points[f"plan_chain_stay_{side}_bb"], points[f"plan_chain_stay_{side}_axle"])
            assert drawn == pytest.approx(stay.length)
    out = points["plan_chain_stay_left_axle"][1] - points["plan_chain_stay_right_axle"][1]
    assert abs(out) == pytest.approx(r.space.rear.spacing + r.space.rear.thickness)
    stays = Drawing("stays", draft_stays(r).entities).points()
    drawn = math.dist(stays["stays_rear_axle"], stays["stays_top_tube_at_seat"])
    whole = math.dist(axle, r.plane.points["top_tube_at_seat"])
    assert drawn == pytest.approx(run_of(whole, r, "seat_stay"))


def run_of(whole: float, frame: Frame, stay: str) -> float:
    """How far a stay's axis runs to where it passes the axle, by Pythagoras: the views lie along it."""
    return math.sqrt(whole**2 - getattr(frame.space.rear, stay).off ** 2)


def test_seen_from_above_the_drive_side_is_on_the_riders_right():
    right, left = (
        Drawing("plan", draft_plan(known(n)).entities).points()["plan_chain_stay_right_axle"]
        for n in ("plain", "left")
    )
    assert right[0] < 0.0 and right[1] < 0.0
    assert left == pytest.approx((-right[0], -right[1]))


@pytest.mark.parametrize("name", ["plain", "bent", "tapered"])
def test_each_gap_is_marked_where_it_is(name: str):
    r = known(name)
    plane = stay_plane(r, -vector(*r.space.rear_axle), vector(0.0, 0.0))
    circles = [e for e in draft_plan(r).entities if isinstance(e, Circle) and e.layer is Layer.NOTE]
    marks = [e.centre for e in circles if e.pen is None]
    assert marks == [plane.point(vector(*g.at)) for g in plan_gaps(r)]
    for gap in plan_gaps(r):
        tube = r.space.tubes[gap.tube]
        x, y = plane.point(vector(*gap.at))
        ax, ay = plane.point(tube.path.at(gap.station).at)
        assert math.hypot(x - ax, y - ay) <= half_width(tube, plane, gap.station) + 0.5


def test_gaps_that_are_too_small_are_said_so():
    said = {t.text for e in sheet("tight").view.core for t in explode(e) if isinstance(t, Text)}
    short = known("tight").clearances.short
    assert short
    for gap in short:
        if gap.tube != "seat_tube":
            assert any(f"{gap.part} gap" in s and f"at least {WANTED[gap.part].least:.0f}" in s for s in said)


def test_the_hub_dimension_measures_the_hub():
    spaced = {
        e.name: e.value for e in draft_plan(known("tapered")).entities if isinstance(e, LengthDimension)
    }
    assert spaced["hub_spacing"] == pytest.approx(148.0)
    assert spaced["shell_width"] == pytest.approx(68.0)
    rear = known("tapered").space.rear
    assert spaced["stay_spacing"] == pytest.approx(rear.stay_spacing)


def test_the_reach_of_a_brake_runs_from_the_rim_to_the_bridge():
    r = known("plain")
    drawn = {e.name: e.value for e in draft_stays(r).entities if isinstance(e, LengthDimension)}
    bridge = r.space.tubes["seat_stay_bridge"].path
    middle = bridge.at(bridge.length / 2).at
    from_axle = math.dist(middle[:2], r.space.rear_axle)
    assert drawn["seat_stay_bridge"] == pytest.approx(from_axle)
    assert drawn["seat_stay_bridge_reach"] == pytest.approx(from_axle - 311.0)


def test_tubes_are_drawn_at_their_own_width():
    """The straight chain stay's edges lie half its width either side of its axis."""
    r = known("plain")
    plane = stay_plane(r, -vector(*r.space.rear_axle), vector(0.0, 0.0))
    stay = r.space.tubes["chain_stay_right"]
    edges = [
        LineString(e.points)
        for e in draft_plan(r).entities
        if isinstance(e, Polyline) and e.layer is Layer.OUTLINE and not e.closed
    ]
    for station in (100.0, 250.0, 380.0):
        at = Spot(plane.point(stay.path.at(station).at))
        near = sorted(line.distance(at) for line in edges)[:2]
        radius = stay.diameter_at(station)[0] / 2
        lean = math.cos(math.atan((22.2 - 14.0) / 2 / stay.length))
        assert near == pytest.approx([radius * lean] * 2, abs=0.02)


def test_the_sheet_says_the_largest_tyre():
    said = " ".join(t.text for p in sheet("plain").panels.values() for t in p.drawing if isinstance(t, Text))
    widest = known("plain").clearances.widest
    assert widest is not None
    assert f"Largest tyre without mudguard (6 mm all round): {int(widest)} mm wide." in said
    assert "Largest tyre with mudguard (14 mm all round)" in said


def test_a_measured_wheel_has_gaps_to_nothing_unknown():
    r = solve(loads(SPECS["plain"].replace("rear: 37-622", "rear: {radius: 340}"), "measured.yaml"))
    assert {g.part for g in r.clearances.gaps} == {"chainring", "crank"}
    said = " ".join(t.text for p in draft_rear(r).panels.values() for t in p.drawing if isinstance(t, Text))
    assert "width not given, so no tyre gaps" in said


@pytest.mark.parametrize("name", EVERY)
def test_every_tape_check_is_lettered_on_the_drawing_between_its_named_crosses(name: str):
    """The letters were in the table alone, and its words stood beside no cross."""
    found = sheet(name)
    drawn = found.view.core
    points = drawn.points()
    words = {e.text for e in drawn if isinstance(e, Text)}
    shown = {
        e.label[0]: e for e in drawn if isinstance(e, LengthDimension) and e.label[:1] in "ABCD" and e.label
    }
    assert sorted(shown) == ["A", "B", "C", "D"]
    table = [e.text for e in found.panels["checks"].drawing if isinstance(e, Text)]
    for check in found.checks:
        e = shown[check.letter]
        assert e.value == pytest.approx(check.value)
        ends = {tuple(round(v, 6) for v in p) for p in (e.start, e.end)}
        assert ends == {tuple(round(v, 6) for v in points[n]) for n in (check.start, check.end)}
        for point in (with_point_words(check).start, with_point_words(check).end):
            assert point in table and point in words
    for letter, stubs in (("B", 2), ("C", 2)):
        a, b = shown[letter].start, shown[letter].end
        on = [e for e in drawn if isinstance(e, Line) and e.layer is Layer.DIM
              and LineString([a, b]).buffer(1e-6).contains(LineString([e.start, e.end]))]  # fmt: skip
        assert len(on) == stubs


@pytest.mark.parametrize(("name", "lines"), [("plain", 0), ("bent", 2)])
def test_every_cross_has_its_name(name: str, lines: int):
    """Both views' points, and both ends of each bent stay's line."""
    found = sheet(name)
    words = {e.text for e in found.view.core if isinstance(e, Text)}
    points = set(found.view.core.points())
    bent = {n for n in points if n.startswith(("bends_", "square_"))}
    assert points - bent == {n for n in SAID if not n.startswith(("bends_", "square_"))}
    assert len(bent) == lines
    assert {SAID[n] for n in points} <= words


def test_a_fitting_on_a_stay_is_marked_where_it_is_said_to_be():
    """A boss and a brake mount were lettered in the open, with nothing to show where they sit."""
    more = (
        "  - {kind: boss, tube: seat_stay, at: 200, from: axle, side: right}\n"
        "  - {kind: brake_mount, tube: seat_stay, at: 60, from: axle, side: left}\n"
        "  - {kind: vent, tube: chain_stay, at: 30, from: axle, side: up}\n"
    )
    r = solve(loads(SPECS["plain"] + more, "fitted.yaml"))
    plan, stays = (Drawing("d", part(r).entities) for part in (draft_plan, draft_stays))
    square = "from the end"
    cases = (
        (stays, "boss 200.0 from axle, right", f"175.0 {square}", 200.0, "stays_seat_stay_right_axle"),
        (stays, "brake mount 60.0 from axle, left", f"35.0 {square}", 60.0, "stays_seat_stay_left_axle"),
        (plan, "vent 30.0 from axle, up", f"5.0 {square}", 30.0, "plan_chain_stay_right_axle"),
    )
    for drawn, text, hooked, at, end in cases:
        assert any(isinstance(e, Text) and e.text == hooked for e in drawn)
        (said,) = (e for e in drawn if isinstance(e, Text) and e.text == text)
        here = drawn.points()[end]
        marks = [e for e in drawn if isinstance(e, Circle) and e.layer is Layer.FITTING]
        strokes = {e.end: e.start for e in drawn if isinstance(e, Line) and e.layer is Layer.FITTING}
        off = [math.dist(strokes.get(m.centre, m.centre), here) for m in marks]
        assert min(abs(v - (at - 25.0)) for v in off) < 1e-6
        mark = marks[min(range(len(off)), key=lambda k: abs(off[k] - (at - 25.0)))]
        left, right = said.at[0], said.at[0] + text_width(said.text, said.height)
        near = Spot(*mark.centre).distance(shapely_box(left, said.at[1], right, said.at[1] + said.height))
        leaders = [LineString([e.start, e.end]) for e in drawn
                   if isinstance(e, Line) and e.layer is Layer.FITTING]  # fmt: skip
        led = [line for line in leaders if 2.99 < line.distance(Spot(*mark.centre)) < 7.0]
        assert near <= 20.0 or led


@pytest.mark.parametrize("name", EVERY)
def test_no_mitre_crosses_itself(name: str):
    """Side mounted seat stays ended in loops past the seat tube: both halves of the mitre were drawn."""
    r = known(name)
    for part in (draft_plan, draft_stays):
        for e in part(r).entities:
            if isinstance(e, Polyline) and e.layer is Layer.OUTLINE and not e.closed:
                assert LineString(e.points).is_simple

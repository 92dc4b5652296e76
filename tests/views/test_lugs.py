"""Lugs and sockets on the side view and the cutting table, and the seat tube's top."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString

from layout.bench.lugs import INSERTION, SLOT, lugs, seat_top
from layout.drafting.entities import Line, Polyline, Text
from layout.drafting.style import Layer
from layout.errors import SpecError
from layout.frame.solve import Frame, solve
from layout.spec.load import loads
from layout.views.cutting import cutting_panels
from layout.views.side.ends import LUG_WALL, lug_outlines, seat_top_strokes
from layout.views.side.plan import plan

PLAIN = """\
joining: lugged
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
rear_end: {seat_stay_mount: MOUNT}
tubes: TUBES
"""


def framed(tubes: str, mount: str = "side") -> Frame:
    return solve(loads(PLAIN.replace("MOUNT", mount).replace("TUBES", f"{{{tubes}}}"), "lugged.yaml"))


def said(frame: Frame) -> str:
    panels = cutting_panels("17", frame, {})
    return " ".join(e.text for p in panels for e in p.drawing if isinstance(e, Text))


def test_a_lug_runs_from_the_tubes_long_point_to_its_own():
    """By hand: a top tube of 28.6 on a head tube of 36; the lug's point lies 44 from its long point."""
    frame = framed("top_tube: {lug: [0, 44]}")
    (lug,) = lugs(frame)
    tube = frame.space.tubes["top_tube"]
    assert (lug.tube.name, lug.end, lug.length) == ("top_tube", 1, 44.0)
    cut = frame.space.cut_of("top_tube", 1)
    assert cut is not None
    t, psi = math.radians(cut.angle), np.radians(np.arange(0.0, 360.0, 0.01))
    s = (14.3 * np.cos(psi) * math.cos(t) + np.sqrt(18.0**2 - (14.3 * np.sin(psi)) ** 2)) / math.sin(t)
    assert tube.length - lug.point == pytest.approx(s.min() + 44.0, abs=1e-4)


@pytest.mark.parametrize("heading", ["right", "left"])
def test_lugs_are_drawn_as_adjacent_parts_about_their_tubes(heading: str):
    text = PLAIN.replace("MOUNT", "side").replace(
        "TUBES", "{top_tube: {lug: 40}, down_tube: {lug: [0, 48]}, chain_stay: {lug: 35}}"
    )
    frame = solve(loads(f"{text}drawing: {{heading: {heading}}}\n", "lugged.yaml"))
    p = plan(frame)
    drawn = [e for e in lug_outlines(p) if isinstance(e, Polyline)]
    assert len(drawn) == 4 and all(e.layer is Layer.WHEEL for e in drawn)
    axis = LineString([p["top_tube_at_seat"], p["top_tube_at_head"]])
    for outline in drawn[:2]:
        sides = [axis.distance(LineString(outline.points[k : k + 2])) for k in (0, 3)]
        assert sides == pytest.approx([14.3 + LUG_WALL] * 2, abs=1e-6)
        assert axis.distance(LineString([outline.points[2], outline.points[2]])) < 1e-9


def test_the_cutting_table_says_where_lugs_end_and_what_the_post_needs():
    collar = "{kind: sleeve, slot: 40, insertion: 90}"
    text = said(framed(f"top_tube: {{lug: [40, 44]}}, seat_tube: {{collar: {collar}}}"))
    flat = " ".join(text.split())
    assert "from the tube's long point to the lug's point: top tube seat 40.0, head 44.0." in flat
    assert "Seat tube, top: sleeve; slot 40.0 mm long at the back." in flat
    assert "90.0 mm (from its maker)" in flat


@pytest.mark.parametrize(("mount", "side"), [("side", "back"), ("back", "front")])
def test_the_slot_is_at_the_back_unless_the_stays_are_there(mount: str, side: str):
    frame = framed("seat_tube: {collar: {kind: collar}}", mount)
    top = seat_top(frame)
    assert top is not None
    assert (top.slot, top.insertion, top.given, top.side) == (SLOT, INSERTION, False, side)
    assert "default, common practice" in said(frame)
    p = plan(frame)
    slot, insertion = [e for e in seat_top_strokes(p) if isinstance(e, Line)]
    x, y = p["seat_tube_top"]
    assert math.dist(slot.start, slot.end) == pytest.approx(SLOT)
    assert (slot.start[0] < x) == (side == "back")
    across = LineString([insertion.start, insertion.end])
    c, s = math.cos(math.radians(73)), math.sin(math.radians(73))
    assert across.distance(LineString([(x + INSERTION * c, y - INSERTION * s)] * 2)) < 1e-6


def test_nothing_is_drawn_where_nothing_is_written():
    frame = framed("top_tube: {diameter: 28.6}")
    p = plan(frame)
    assert not list(lug_outlines(p)) and not list(seat_top_strokes(p)) and seat_top(frame) is None
    assert "Lugs and sockets, from" not in said(frame)


@pytest.mark.parametrize(
    ("tubes", "words"),
    [("head_tube: {lug: 40}", "lugs go round a head tube"), ("top_tube: {collar: {slot: 30}}", "seat post")],
)
def test_a_lug_or_collar_on_a_tube_that_has_none_is_told(tubes: str, words: str):
    with pytest.raises(SpecError) as e:
        framed(tubes)
    assert words in str(e.value)

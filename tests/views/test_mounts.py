"""Brake, rack and mudguard mounts: on which stays they are, and the numbers a maker's drawing asks for."""

from __future__ import annotations

import math

import pytest

from layout.bench.marks import marks
from layout.bench.mounts import mounts
from layout.drafting.entities import Circle, Text
from layout.frame.solve import Frame, solve
from layout.spec.load import loads
from layout.views.cutting import cutting_panels
from layout.views.fittings import MARK
from layout.views.rear.stays import draft_stays

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
wheels: {rear: 37-622}
tubes: {seat_stay: {diameter: 16, diameter_end: 16}, chain_stay: {diameter: 20, diameter_end: 20}}
rear_end: {spacing: 135, seat_stay_mount: side, stay_spacing_at_shell: 46, ROTOR
  dropout: {thickness: 6, seat_stay: {from_axle: 36}, chain_stay: {from_axle: 31}}}
"""
STUD = "{kind: brake_mount, tube: seat_stay, at: 290, from: axle, side: back, diameter: 8}"
RACK = "{kind: boss, tube: seat_stay, at: 320, from: axle, side: SIDE, diameter: 6.5}"
DISC = "{kind: brake_mount, tube: chain_stay, at: 80, from: axle, side: left}"


def framed(*fittings: str, rotor: str = "") -> Frame:
    return solve(loads(f"{PLAIN.replace('ROTOR', rotor)}fittings: [{', '.join(fittings)}]\n", "frame.yaml"))


def off_middle(frame: Frame, stay: str, station: float) -> float:
    """The straight stay's distance from the middle plane: from its dropout's 70.5 on a straight line."""
    ends = frame.space.tubes[f"{stay}_right"].path
    a, b = (float(at[2]) for at in (ends.first.at, ends.last.at))
    return a + (b - a) * station / ends.length


def test_a_rim_brakes_studs_are_on_both_stays_with_how_far_apart_and_how_far_from_the_rim() -> None:
    """At 290 along a stay from the axle; it leans, so the axle is a little less far away: by Pythagoras."""
    frame = framed(STUD)
    (mount,) = mounts(frame)
    z = off_middle(frame, "seat_stay", 290 - 36)
    assert mount.apart == pytest.approx(2 * z) and mount.over == pytest.approx(2 * z + 16, abs=0.2)
    lean = (70.5 - 14.3) / frame.space.tubes["seat_stay_right"].length
    assert mount.radius == pytest.approx(36 + 254 * math.sqrt(1 - lean**2), abs=0.01)
    assert mount.rim == pytest.approx(622 / 2 - mount.radius) and mount.rotor is None
    found = [m for m in marks(frame) if m.kind == "brake_mount"]
    assert [m.tube.name for m in found] == ["seat_stay_left", "seat_stay_right"]
    assert [m.distance for m in found] == [pytest.approx(254.0)] * 2


def test_a_disc_brakes_mount_is_on_the_left_with_how_far_its_stay_is_from_the_rotor() -> None:
    """Rotor 15 inside the dropout's inner face at 67.5, 1.8 thick: its middle is 51.6 off the frame's."""
    frame = framed(DISC, rotor="rotor: {diameter: 160, thickness: 1.8, from_face: 15},")
    (mount,) = mounts(frame)
    length = frame.space.tubes["chain_stay_left"].length
    assert mount.rotor == pytest.approx(off_middle(frame, "chain_stay", length - 49) - 51.6)
    assert [m.tube.name for m in marks(frame) if m.kind == "brake_mount"] == ["chain_stay_left"]


def test_rack_bosses_on_both_stays_are_drawn_on_their_outer_edges_and_lettered_once() -> None:
    """Two notes of one mount had no room next to each other."""
    frame = framed(RACK.replace("SIDE", "left"), RACK.replace("SIDE", "right"))
    drawn = draft_stays(frame)
    circles = [e.centre for e in drawn.entities if isinstance(e, Circle) and e.radius == MARK]
    (x1, y1), (x2, y2) = circles
    assert x1 == pytest.approx(x2) and y1 == pytest.approx(-y2)
    over = next(mounts(frame)).over
    assert abs(y1 - y2) == pytest.approx(over, abs=0.2)
    said = [e.text for e in drawn.entities if isinstance(e, Text)]
    assert said.count("boss, hole Ø6.5, 320.0 from axle, left and right") == 1
    assert said.count(f"{over:.1f} over both stays") == 1


def test_the_cutting_table_lists_mounts_by_the_stays_that_have_them() -> None:
    """A boss on one stay was listed as if both had it."""
    frame = framed(STUD, RACK.replace("SIDE", "left"))
    tables = {p.name: p for p in cutting_panels("17", frame, {})}
    for name in ("marks", "mounts"):
        said = " ".join(e.text for e in tables[name].drawing if isinstance(e, Text))
        assert "seat stay left" in said and "seat stays" in said
        assert "brake mount" in said and "Ø8.0" in said
    assert "mounts" not in {p.name for p in cutting_panels("17", framed(), {})}


def test_a_vent_that_is_asked_for_is_on_both_stays_unless_it_names_one() -> None:
    """Only the right stay was marked; the left one stayed sealed."""
    vent = "{kind: vent, tube: seat_stay, at: 60, from: axle}"
    both = [m.tube.name for m in marks(framed(vent)) if m.kind == "vent" and m.feature == "fittings.0"]
    assert both == ["seat_stay_left", "seat_stay_right"]
    left = framed(vent.replace("axle}", "axle, side: left}"))
    own = {m.tube.name for m in marks(left) if m.kind == "vent" and m.into is None}
    assert {"seat_stay_left", "seat_stay_right"} <= own

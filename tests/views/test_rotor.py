"""A disc brake's rotor: where it is drawn, what clears it, and what is told where a stay does not."""

from __future__ import annotations

import pytest

from layout.drafting.entities import Arc, Circle, Polyline, Text
from layout.drafting.style import Layer
from layout.frame.solve import Frame, solve
from layout.geometry.space.clearance import ROTOR
from layout.report.mitres import notices
from layout.spec.load import loads
from layout.views.rear.plan import draft_plan
from layout.views.side.lettering import BRAKE_NOTE
from layout.views.side.strokes import BRAKE_IN, BRAKE_OUT
from layout.views.side.view import draft

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
wheels: {rear: 37-622}
"""


def framed(rear: str, more: str = "") -> Frame:
    return solve(loads(f"{PLAIN}rear_end: {{{rear}}}\n{more}", "rotor.yaml"))


ROTOR_160 = "spacing: 142, axle: 12, rotor: {diameter: 160, thickness: 2, from_face: 14}"


def test_a_rotor_lies_as_far_inside_the_dropouts_face_as_is_written():
    """By hand: half a hub of 142 less 14 is 57; the rotor is 2 thick and lies on the left."""
    frame = framed(ROTOR_160)
    assert frame.around.rotor is not None
    assert (frame.around.rotor.near, frame.around.rotor.far) == (-57.0, -55.0)
    drawn = draft_plan(frame).entities
    sides = [
        e for e in drawn if isinstance(e, Polyline) and e.layer is Layer.WHEEL
        and {round(y, 6) for _, y in e.points} == {55.0, 57.0}
    ]  # fmt: skip
    (rotor,) = sides
    assert max(x for x, _ in rotor.points) - min(x for x, _ in rotor.points) == pytest.approx(120.0)


@pytest.mark.parametrize("heading", ["right", "left"])
def test_the_side_view_shows_the_zone_that_a_brake_must_fit_into(heading: str):
    frame = framed(ROTOR_160, f"drawing: {{heading: {heading}}}\n")
    view = draft(frame).view
    side, wheels = view.core, [e for group in view.surroundings for e in group]
    axle = side.points()["rear_axle"]
    arcs = [e.radius for e in wheels if isinstance(e, Arc) and e.centre == axle]
    assert sorted(arcs) == [80.0 - BRAKE_IN, 80.0 + BRAKE_OUT]
    assert 80.0 in [e.radius for e in wheels if isinstance(e, Circle) and e.centre == axle]
    assert BRAKE_NOTE in [e.text for e in side if isinstance(e, Text)]


def test_a_rotor_through_a_stay_is_told_with_the_gap():
    frame = framed(
        "spacing: 135, rotor: {diameter: 203, from_face: 2}", "tubes: {chain_stay: {diameter_end: 20}}\n"
    )
    gaps = {g.tube: g.value for g in frame.clearances.gaps if g.part == ROTOR}
    assert set(gaps) == {"chain_stay_left", "seat_stay_left"}
    assert gaps["chain_stay_left"] < 0.0
    said = [n.message for n in notices(frame.space, (), frame.lengths, frame.clearances)]
    assert any("rotor" in m and "run into each other" in m for m in said)


def test_a_frame_without_a_rotor_has_none():
    frame = framed("spacing: 135")
    assert frame.around.rotor is None
    assert not [g for g in frame.clearances.gaps if g.part == ROTOR]


def test_the_plan_gives_the_length_over_the_dropouts_for_a_through_axle():
    """By hand: a hub of 142 and two plates of 7."""
    frame = framed("spacing: 142, axle: 12, dropout: {thickness: 7}")
    said = [v for e in draft_plan(frame).entities if (v := getattr(e, "value", None)) is not None]
    assert any(abs(v - 156.0) < 1e-9 for v in said)

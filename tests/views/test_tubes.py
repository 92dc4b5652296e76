"""Tubes on the side view: every point of a drawn mitre lies on both tubes, by substitution in the plane.

A point y off a round tube's axis lies z = sqrt(r^2 - y^2) in front of the plane; on a host of radius R in the
plane, h off its axis, h^2 + z^2 = R^2.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from layout.drafting.entities import Polyline
from layout.drafting.vector import Point, bearing, unit
from layout.frame.solve import Frame, solve
from layout.spec.load import loads
from layout.views.side.plan import Plan, plan
from layout.views.side.tubes import tubes

SPEC = """
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, head_tube_length: 150,
           seat_angle: 73}
fork: {axle_to_crown: 395, offset: 45}
tubes: {head_tube: {diameter_bottom: 44, diameter_top: 36}}
"""
STEPS = 100
"""A mitre is drawn with more points than this, edges and ends with fewer."""


def frame_of() -> Frame:
    return solve(loads(SPEC))


def off_axis(p: Point, at: Point, towards: Point) -> float:
    u = unit(bearing(at, towards))
    return (p[0] - at[0]) * u[1] - (p[1] - at[1]) * u[0]


def mitres(p: Plan, name: str) -> list[Polyline]:
    return [e for e in tubes(p, [name]) if isinstance(e, Polyline) and len(e.points) > STEPS]


@pytest.mark.parametrize("heading", ["right", "left"])
def test_a_top_tubes_ends_lie_on_both_tubes(heading: str):
    frame = replace(frame_of(), heading=heading)
    p = plan(frame)
    own, seat = 28.6 / 2, 28.6 / 2
    at_seat, at_head = mitres(p, "top_tube")
    for x, y in at_seat.points:
        z2 = own**2 - off_axis((x, y), p["top_tube_at_seat"], p["top_tube_at_head"]) ** 2
        h = off_axis((x, y), p["seat_tube_foot"], p["seat_tube_top"])
        assert h**2 + z2 == pytest.approx(seat**2, abs=1e-6)
    low, high = p["head_tube_bottom"], p["head_tube_top"]
    for x, y in at_head.points:
        z2 = own**2 - off_axis((x, y), p["top_tube_at_seat"], p["top_tube_at_head"]) ** 2
        h = off_axis((x, y), low, high)
        along = math.sqrt(math.dist((x, y), low) ** 2 - h**2) / math.dist(low, high)
        assert math.sqrt(h**2 + z2) == pytest.approx(22.0 + along * (18.0 - 22.0), abs=1e-6)


def test_square_tubes_of_equal_size_meet_in_straight_lines():
    """Equal radii at 90 degrees give the mitre of sheet-metal handbooks: two lines at 45 degrees."""
    square = solve(loads(SPEC.replace("seat_angle: 73", "seat_angle: 73, top_tube_slope: 17")))
    p = plan(square)
    for at in mitres(p, "top_tube")[0].points:
        aside = abs(off_axis(at, p["top_tube_at_seat"], p["top_tube_at_head"]))
        assert abs(off_axis(at, p["seat_tube_foot"], p["seat_tube_top"])) == pytest.approx(aside, abs=1e-6)


def test_what_runs_on_the_shell_is_left_to_its_circle():
    frame = frame_of()
    p = plan(frame)
    radius = frame.plane.shell_diameter / 2
    for e in tubes(p):
        if isinstance(e, Polyline):
            assert sum(abs(math.hypot(*at) - radius) < 1e-6 for at in e.points) <= 2


def test_an_oval_tube_is_as_high_as_its_section():
    spec = loads(SPEC.replace("tubes: {", "tubes: {top_tube: {section: [44, 28]}, "))
    frame = solve(spec)
    p = plan(frame)
    edges = [e for e in tubes(p, ["top_tube"]) if isinstance(e, Polyline) and len(e.points) == 2]
    assert len(edges) == 2
    for at in (at for e in edges for at in e.points):
        assert abs(off_axis(at, p["top_tube_at_seat"], p["top_tube_at_head"])) == pytest.approx(14.0)

"""Scribe crosses on points, their names, and the points themselves."""

from __future__ import annotations

import math

import pytest
from odd_frames import ODD

from layout.drafting.calls import NoteCall
from layout.drafting.entities import ControlPoint, Line
from layout.drafting.style import Layer
from layout.frame.solve import solve
from layout.spec.load import loads
from layout.views.crosses import coinciding, control_points, cross, crosses, name_calls
from layout.views.side.coverage import covered_length
from layout.views.side.plan import plan
from layout.views.side.strokes import ARM_PAST, arm

POINTS = {"bb": (0.0, 0.0), "seat_tube_foot": (0.0, 0.0), "rear_axle": (-400.0, 70.0)}


def test_a_cross_has_a_level_and_an_upright_arm_of_the_same_reach():
    level, upright = cross((10.0, 20.0), 8.0)
    assert level == Line((2.0, 20.0), (18.0, 20.0), Layer.POINT)
    assert upright == Line((10.0, 12.0), (10.0, 28.0), Layer.POINT)


def test_each_arm_may_reach_as_far_as_what_covers_it():
    reaches = {180.0: 1.0, 0.0: 2.0, -90.0: 3.0, 90.0: 4.0}
    level, upright = cross((0.0, 0.0), lambda at, direction: reaches[direction])
    assert (level.start, level.end) == ((-1.0, 0.0), (2.0, 0.0))
    assert (upright.start, upright.end) == ((0.0, -3.0), (0.0, 4.0))


def test_points_that_coincide_share_one_cross_and_the_first_name():
    assert len(list(crosses(POINTS.values(), 8.0))) == 4
    calls = name_calls(POINTS, str.upper)
    assert all(isinstance(call, NoteCall) for call in calls)
    assert [(call.name, call.at) for call in calls] == [("BB", (0.0, 0.0)), ("REAR_AXLE", (-400.0, 70.0))]


def test_points_nearly_at_one_place_share_a_name_only_where_that_is_asked_for():
    near = {"a": (0.0, 0.0), "b": (0.0, 1e-7)}
    assert coinciding(near) == [((0.0, 0.0), ["a"]), ((0.0, 1e-7), ["b"])]
    assert coinciding(near, 1e-6) == [((0.0, 0.0), ["a", "b"])]


def test_every_point_is_kept_for_the_files_even_where_two_coincide():
    held = list(control_points(POINTS, "first_"))
    assert held == [ControlPoint(f"first_{name}", at) for name, at in POINTS.items()]


def test_an_arm_ends_past_the_seat_tube_where_the_top_tube_rises_beside_it() -> None:
    """Covers were added up part by part: the arm ran 340 mm along inside the top tube."""
    p = plan(solve(loads(ODD["rising"].text, "rising.yaml")))
    at = p["seat_tube_top"]
    top_tube = p.bars["top_tube"]
    assert covered_length(at, p.ahead, [top_tube]) == 0.0
    assert covered_length(at, p.ahead, p.parts) > 300.0
    half = p.bars["seat_tube"].end_radius / math.sin(math.radians(p.frame.plane.dimensions["seat_angle"]))
    assert arm(p, at, p.ahead) == pytest.approx(half + ARM_PAST, abs=1e-6)

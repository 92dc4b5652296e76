"""Where each dimension is measured: what a ruler or a protractor reads there is the dimension's value."""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import sane_frame, whole

from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import (
    Along,
    AngleSpan,
    Arm,
    LengthSpan,
    Meeting,
    PlacedAngle,
    PlacedLength,
    Through,
    Way,
    corner,
)
from layout.geometry.plane import COCKPIT, POINTS, RIDER, Plane, points

NOWHERE = {
    # sags, and a drop as the bars turn: movements
    "fork_sag", "rear_sag", "wheel_flop",
    # worst cases over steering or lean, and what they are worked out from, off the mid-plane
    "pedal_to_tyre", "toe_clearance", "pedal_lean_angle", "down_tube_to_tyre",
    "crank_length", "pedal_side", "pedal_outer", "pedal_below", "shoe_ahead_of_spindle",
    # between parts that have no named points: edges, spacers, stem, steerer, nose
    "standover", "upper_stack", "spacers", "stem_length", "stem_angle", "stem_clamp_height",
    "steerer_length", "saddle_setback", "saddle_nose_length",
}  # fmt: skip
SPANS = {name: d.span for name, d in REGISTRY.items() if d.span is not None}
CLOSE = 1e-9


def test_what_has_no_span_is_listed():
    assert set(REGISTRY) - set(SPANS) == NOWHERE


def test_an_angle_has_arms_and_a_length_two_spots():
    for name, span in SPANS.items():
        assert isinstance(span, AngleSpan if REGISTRY[name].unit == "deg" else LengthSpan), name


def read(span: LengthSpan | AngleSpan, at: Mapping[str, tuple[float, float]]) -> float:
    placed = span.placed(at)
    assert placed is not None
    return placed.value


def mirrored(at: Mapping[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    return {name: (-x, y) for name, (x, y) in at.items()}


def assert_read(at: Mapping[str, tuple[float, float]], values: Mapping[str, float | None]) -> int:
    """Every span among these points reads its dimension's value, heading right and left."""
    count = 0
    for name, span in SPANS.items():
        value = values[name]
        if value is None:
            assert span.placed(at) is None, name
            continue
        assert read(span, at) == pytest.approx(value, abs=CLOSE), name
        assert read(span, mirrored(at)) == pytest.approx(value, abs=CLOSE), name
        count += 1
    return count


def test_what_is_read_on_a_frame_is_the_dimensions_value(frame: Frame):
    assert assert_read(frame.plane.points, frame.plane.dimensions) >= len(SPANS) - 5


@pytest.mark.parametrize("seed", range(40))
def test_signs_are_those_of_the_dimensions(seed: int):
    """Offsets either way, a bottom bracket above the axles, a race above the head tube's lower end."""
    rng = random.Random(seed)
    given = whole(sane_frame(rng))
    given |= {
        "bb_drop": rng.uniform(-40.0, 80.0),
        "seat_tube_offset": rng.uniform(-30.0, 30.0),
        "down_tube_offset": rng.uniform(-20.0, 20.0),
        "fork_offset": rng.uniform(-10.0, 60.0),
        "lower_stack": rng.uniform(-5.0, 15.0),
        "top_tube_at_seat": rng.uniform(-20.0, 40.0),
        "saddle_clamp_back": rng.uniform(-30.0, 200.0),
        "saddle_rise": 690.0,
        "stem_length": 95.0,
        "stem_angle": -8.0,
        "spacers": 20.0,
    }
    plane = Plane(given)
    values = {name: REGISTRY[name].function(plane) for name in SPANS}
    assert assert_read(points(plane), values) == len(SPANS)


def test_a_straight_line_has_no_sign_and_a_projection_has():
    at = {"bb": (0.0, 0.0), "rear_axle": (-400.0, 30.0), "front_axle": (600.0, 30.0), "far": (-30.0, 40.0)}
    assert read(LengthSpan("bb", "far"), at) == pytest.approx(50.0, abs=CLOSE)
    assert read(LengthSpan("bb", "far", Way.LEVEL), at) == -30.0
    assert read(LengthSpan("bb", "far", Way.LEVEL), mirrored(at)) == -30.0
    assert read(LengthSpan("far", "bb", Way.PLUMB), at) == -40.0
    assert read(LengthSpan("bb", corner("far", "rear_axle")), at) == pytest.approx(30 * 2**0.5, abs=CLOSE)


def test_an_angle_turns_the_same_way_on_a_mirrored_bicycle():
    at = {"bb": (0.0, 0.0), "rear_axle": (-400.0, 30.0), "front_axle": (600.0, 30.0), "up": (3.0, 4.0)}
    rise = AngleSpan("bb", Arm.AHEAD, "up")
    assert read(rise, at) == pytest.approx(53.130102354, abs=CLOSE)
    assert read(rise, mirrored(at)) == pytest.approx(53.130102354, abs=CLOSE)
    assert read(AngleSpan("bb", "up", Arm.AHEAD), at) == pytest.approx(-53.130102354, abs=CLOSE)
    assert PlacedAngle((0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), -1.0).value == 180.0


def test_lines_that_do_not_meet_place_nothing():
    at = {"bb": (0.0, 0.0), "rear_axle": (-400.0, 30.0), "front_axle": (600.0, 30.0)}
    never = Meeting(Through("bb", Way.LEVEL), Through("rear_axle", Way.LEVEL))
    assert LengthSpan("bb", never).placed(at) is None
    assert AngleSpan(never, "bb", Arm.AHEAD).placed(at) is None
    assert LengthSpan("bb", "saddle").placed(at) is None


def test_what_is_measured_along_or_square_to_an_axis_lies_on_one_such_line(frame: Frame):
    for name, span in SPANS.items():
        way = span.direction if isinstance(span, LengthSpan) else Way.STRAIGHT
        if isinstance(way, Way):
            continue
        placed = span.placed(frame.plane.points)
        assert isinstance(placed, PlacedLength), name
        axis = way if isinstance(way, Along) else way.axis
        a, b = frame.plane.points[axis.first], frame.plane.points[axis.second]
        (ux, uy), (dx, dy) = ((q[0] - p[0], q[1] - p[1]) for p, q in ((a, b), (placed.start, placed.end)))
        off = ux * dy - uy * dx if isinstance(way, Along) else ux * dx + uy * dy
        assert off / math.hypot(ux, uy) == pytest.approx(0.0, abs=CLOSE), name


def test_a_length_of_nothing_keeps_the_direction_of_its_axis():
    at = {"bb": (0.0, 0.0), "rear_axle": (-400.0, 30.0), "front_axle": (600.0, 30.0), "up": (0.0, 5.0)}
    placed = LengthSpan("bb", "bb", Along("bb", "up")).placed(at)
    assert placed == PlacedLength((0.0, 0.0), (0.0, 0.0), 90.0)
    against = LengthSpan("up", "bb", Along("bb", "up")).placed(at)
    assert against is not None
    assert (against.direction, against.value) == (-90.0, pytest.approx(-5.0, abs=CLOSE))


def named(thing: object) -> set[str]:
    """Every point named anywhere in a span."""
    if isinstance(thing, str):
        return {thing}
    parts = [getattr(thing, f.name) for f in fields(thing)] if is_dataclass(thing) else []
    return {name for part in parts for name in named(part)}


def test_every_point_of_a_span_is_a_point_of_a_frame():
    known = {"bb", "rear_contact", "front_contact", "saddle", "bar", *POINTS}
    for name, span in SPANS.items():
        assert named(span), name
        assert named(span) <= known, name


def test_a_dimension_that_needs_the_rider_is_measured_to_the_riders_points():
    for name, span in SPANS.items():
        reaches = bool(named(span) & {"saddle", "bar"})
        assert reaches == bool(set(REGISTRY[name].needs) & {*COCKPIT, *RIDER}), name

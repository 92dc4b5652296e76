"""The demo frames: each solves, from a set of numbers of its own, to a frame one could build."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from layout.frame.job import Point
from layout.frame.solve import Frame, solve
from layout.geometry.dimensions import REGISTRY
from layout.spec.load import load

SPECS = Path(__file__).parents[1] / "specs"
NAMES = ("all-road", "club-lugged", "hardtail", "small-650b", "tourer", "track")

Measure = Callable[[Frame], float]


def demo(name: str) -> Frame:
    return solve(load(SPECS / f"{name}.yaml"))


def apart(a: str, b: str) -> Measure:
    return lambda f: math.dist(f.plane.points[a], f.plane.points[b])


def along(a: str, b: str, axis: int) -> Measure:
    return lambda f: f.plane.points[b][axis] - f.plane.points[a][axis]


def lean(foot: str, top: str) -> Measure:
    """Angle of foot to top from the horizontal, measured behind, degrees."""

    def measure(f: Frame) -> float:
        (x, y), (u, v) = f.plane.points[foot], f.plane.points[top]
        return math.degrees(math.atan2(v - y, x - u))

    return measure


def off_axis(f: Frame) -> float:
    """Front axle square to the steering axis."""
    return math.dist(f.plane.points["fork_foot"], f.plane.points["front_axle"])


def trail(f: Frame) -> float:
    """Where the steering axis meets the ground, less the contact patch."""
    (x, y), (u, v) = f.plane.points["head_tube_bottom"], f.plane.points["head_tube_top"]
    ground = f.plane.points["front_contact"]
    return x + (ground[1] - y) * (u - x) / (v - y) - ground[0]


def standover(f: Frame) -> float:
    """Top tube's upper edge at mid-tube above the ground."""
    (x, y), (u, v) = f.plane.points["top_tube_at_seat"], f.plane.points["top_tube_at_head"]
    edge = f.plane.sizes["top_tube"].first / 2 * math.hypot(u - x, v - y) / (u - x)
    return (y + v) / 2 + edge - f.plane.points["rear_contact"][1]


def effective(f: Frame) -> float:
    """Level from the head tube's top back to the seat-tube axis."""
    (x, y), (u, v) = f.plane.points["seat_tube_foot"], f.plane.points["seat_tube_top"]
    hx, hy = f.plane.points["head_tube_top"]
    return hx - (x + (hy - y) * (u - x) / (v - y))


def level(f: Frame) -> float:
    (x, y), (u, v) = f.plane.points["top_tube_at_seat"], f.plane.points["top_tube_at_head"]
    return math.degrees(math.atan2(v - y, u - x))


def radius(axle: str, contact: str) -> Measure:
    return along(contact, axle, 1)


MEASURES: dict[str, Measure] = {
    "bb_drop": along("bb", "rear_axle", 1),
    "bb_height": along("rear_contact", "bb", 1),
    "rear_centre": apart("bb", "rear_axle"),
    "front_centre": apart("bb", "front_axle"),
    "wheelbase": along("rear_axle", "front_axle", 0),
    "head_angle": lean("head_tube_bottom", "head_tube_top"),
    "seat_angle": lean("seat_tube_foot", "seat_tube_top"),
    "head_tube_length": apart("head_tube_bottom", "head_tube_top"),
    "seat_tube_length": apart("seat_tube_foot", "seat_tube_top"),
    "seat_tube_cc": apart("seat_tube_foot", "top_tube_at_seat"),
    "top_tube_length": apart("top_tube_at_seat", "top_tube_at_head"),
    "top_tube_at_head": apart("top_tube_at_head", "head_tube_top"),
    "top_tube_at_seat": apart("top_tube_at_seat", "seat_tube_top"),
    "down_tube_at_head": apart("down_tube_at_head", "head_tube_bottom"),
    "top_tube_effective": effective,
    "top_tube_slope": level,
    "stack": along("bb", "head_tube_top", 1),
    "reach": along("bb", "head_tube_top", 0),
    "trail": trail,
    "standover": standover,
    "axle_to_crown": apart("crown_race", "front_axle"),
    "fork_length_on_axis": apart("crown_race", "fork_foot"),
    "fork_offset": off_axis,
    "lower_stack": apart("crown_race", "head_tube_bottom"),
    "front_radius": radius("front_axle", "front_contact"),
    "rear_radius": radius("rear_axle", "rear_contact"),
    "saddle_height": apart("bb", "saddle"),
}
"""What is given in the demos, measured on the points alone."""

NOT_ON_POINTS = {
    *(
        "upper_stack",
        "stem_length",
        "stem_angle",
        "stem_clamp_height",
        "spacers",
        "saddle_setback",
        "fork_sag",
    ),
    *("crank_length", "shoe_ahead_of_spindle", "pedal_outer", "pedal_below"),
}


@pytest.mark.parametrize("name", NAMES)
def test_the_points_keep_every_number_given(name: str) -> None:
    spec = load(SPECS / f"{name}.yaml")
    found = solve(spec)
    for dimension, given in spec.givens.items():
        if dimension not in NOT_ON_POINTS:
            assert MEASURES[dimension](found) == pytest.approx(given.value, abs=1e-6), dimension


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_frame_is_of_usual_make_and_needs_no_fit(name: str) -> None:
    found = demo(name)
    assert found.plane.residuals == {}
    assert not [w.code for w in found.plane.warnings if w.code in ("default_replaced", "second_frame")]
    for dimension, value in found.plane.dimensions.items():
        usual = REGISTRY[dimension].usual
        if value is not None and usual is not None:
            assert usual[0] <= value <= usual[1], dimension


def test_no_two_demo_frames_are_given_by_the_same_set() -> None:
    sets = [frozenset(load(SPECS / f"{name}.yaml").spec.geometry.model_fields_set) for name in NAMES]
    assert len(set(sets)) == len(NAMES)
    assert sorted(path.stem for path in SPECS.glob("*.yaml")) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_fittings_lie_on_their_tubes(name: str) -> None:
    found = demo(name)
    ends: dict[str, tuple[str, str]] = {
        "seat_tube": ("seat_tube_foot", "seat_tube_top"),
        "down_tube": ("down_tube_at_bb", "down_tube_at_head"),
        "top_tube": ("top_tube_at_seat", "top_tube_at_head"),
        "chain_stay": ("bb", "rear_axle"),
        "seat_stay": ("rear_axle", "top_tube_at_seat"),
    }
    for fitting in found.fittings:
        a, b = (found.plane.points[p] for p in ends[fitting.tube])
        assert 0.0 <= fitting.at <= math.dist(a, b), fitting


def test_the_demo_frames_are_what_they_are_called() -> None:
    hardtail, track, small, tourer = (demo(n) for n in ("hardtail", "track", "small-650b", "tourer"))
    assert hardtail.plane.sagged is not None
    assert hardtail.plane.sizes["head_tube"].first > hardtail.plane.sizes["head_tube"].second
    assert hardtail.plane.rear_wheel.bead_seat_radius == 311.0
    assert abs(level(track)) < 1e-9
    assert level(small) > 12.0
    assert small.plane.front_wheel.bead_seat_radius == 292.0
    assert tourer.plane.front_wheel.radius != tourer.plane.rear_wheel.radius
    assert demo("all-road").plane.points["saddle"] is not None


def test_heading_does_not_change_the_points() -> None:
    x: Point = demo("track").plane.points["front_axle"]
    assert demo("track").heading == "left"
    assert x[0] > 0.0

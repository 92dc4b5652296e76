"""The registry: every dimension of the trade, in its order, true to its definition."""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import sane_frame, whole

from layout.geometry.analytic import STEP, tangent
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import HELD, INPUTS, UNKNOWNS, Plane, points

ORDER = """
bb_drop bb_height rear_centre front_centre rear_centre_horizontal front_centre_horizontal wheelbase head_angle
seat_angle axle_to_crown fork_length_on_axis fork_sag rear_sag fork_offset lower_stack upper_stack
head_tube_length stack reach top_tube_effective top_tube_length top_tube_slope seat_tube_length seat_tube_cc
seat_tube_offset down_tube_offset down_tube_length top_tube_at_head top_tube_at_seat down_tube_at_head trail
mechanical_trail wheel_flop front_radius rear_radius standover saddle_height seat_angle_effective
saddle_setback saddle_clamp_back saddle_nose_length stem_length stem_angle spacers bar_x bar_y steerer_length
pedal_to_tyre toe_clearance pedal_lean_angle down_tube_to_tyre angle_top_head angle_seat_top angle_down_head
angle_seat_down angle_seat_chain
""".split()
"""The table of the trade."""

RIDER = {
    "saddle_clamp_back": 190.0,
    "saddle_rise": 690.0,
    "stem_length": 95.0,
    "stem_angle": -8.0,
    "spacers": 20.0,
    "crank_length": 172.5,
    "pedal_outer": 185.0,
    "pedal_below": 15.0,
    "shoe_ahead_of_spindle": 95.0,
    "fork_sag": 20.0,
    "rear_sag": 0.0,
}
WORST_CASES = {"pedal_to_tyre", "toe_clearance", "pedal_lean_angle", "down_tube_to_tyre"}


def full(rng: random.Random) -> dict[str, float]:
    """A frame with offsets, rider, cockpit and cranks."""
    offsets = {"seat_tube_offset": rng.uniform(-10, 25), "down_tube_offset": rng.uniform(-8, 8)}
    return {**whole(sane_frame(rng)), **offsets, **RIDER}


def test_every_name_of_the_trade_is_there_in_its_order():
    assert [n for n in REGISTRY if n in ORDER] == ORDER


def test_what_is_a_worst_case_is_asked_for_only():
    assert {n for n, d in REGISTRY.items() if d.asked_only} == WORST_CASES


@pytest.mark.parametrize("name", REGISTRY)
def test_an_entry_is_whole(name):
    d = REGISTRY[name]
    assert d.name == name
    assert d.unit in ("mm", "deg")
    assert len(d.meaning) > 10
    assert d.possible[0] < d.possible[1]
    if d.usual is not None:
        assert d.possible[0] <= d.usual[0] < d.usual[1] <= d.possible[1]
    assert set(d.needs) <= {*UNKNOWNS, *INPUTS, *HELD}


SANE = {
    "bb_drop": (-160, 160),
    "bb_height": (120, 520),
    "rear_centre": (230, 1200),
    "front_centre": (300, 1800),
    "stack": (200, 900),
    "reach": (100, 800),
    "head_angle": (45, 90),
    "seat_angle": (45, 90),
    "head_tube_length": (50, 450),
    "fork_offset": (-60, 140),
    "axle_to_crown": (180, 680),
    "front_radius": (120, 480),
    "rear_radius": (120, 480),
    "lower_stack": (0, 80),
    "upper_stack": (0, 80),
}


@pytest.mark.parametrize("name", SANE)
def test_possible_ranges_are_those_of_the_trade(name):
    assert REGISTRY[name].possible == SANE[name]


def line_distance(p, a, b) -> float:
    """Signed distance of p from the line through a and b, positive to its right."""
    (px, py), (ax, ay), (bx, by) = p, a, b
    dx, dy = bx - ax, by - ay
    return ((px - ax) * dy - (py - ay) * dx) / math.hypot(dx, dy)


def crossing(a, b, c, d):
    """Where the line through a and b meets the line through c and d."""
    m = np.array([[b[0] - a[0], c[0] - d[0]], [b[1] - a[1], c[1] - d[1]]])
    t = np.linalg.solve(m, [c[0] - a[0], c[1] - a[1]])[0]
    return a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def fold(v, w) -> float:
    """Angle between two directions, 0 to 180."""
    cos = (v[0] * w[0] + v[1] * w[1]) / math.hypot(*v) / math.hypot(*w)
    return math.degrees(math.acos(cos))


def minus(p, q):
    return p[0] - q[0], p[1] - q[1]


def measured(f: dict[str, float]) -> dict[str, float]:
    """Dimensions measured on the points with ruler and protractor, by the words of the trade."""
    p = points(Plane(f))
    bb, ra, fa = p["bb"], p["rear_axle"], p["front_axle"]
    bottom, top = p["head_tube_bottom"], p["head_tube_top"]
    foot, seat_top = p["seat_tube_foot"], p["seat_tube_top"]
    th, ts, dh, db = (
        p[n] for n in ("top_tube_at_head", "top_tube_at_seat", "down_tube_at_head", "down_tube_at_bb")
    )
    ground = p["rear_contact"][1]
    at_ground = crossing(bottom, top, (0.0, ground), (1.0, ground))
    level = crossing(foot, seat_top, top, (top[0] + 1.0, top[1]))
    trail = at_ground[0] - p["front_contact"][0]
    head = math.radians(f["head_angle"])
    mid = (th[1] + ts[1]) / 2 - ground
    slope = math.atan2(th[1] - ts[1], th[0] - ts[0])
    return {
        "bb_drop": ra[1] - bb[1],
        "bb_height": -ground,
        "rear_centre": math.dist(bb, ra),
        "front_centre": math.dist(bb, fa),
        "rear_centre_horizontal": -ra[0],
        "front_centre_horizontal": fa[0],
        "wheelbase": fa[0] - ra[0],
        "head_angle": math.degrees(math.atan2(top[1] - bottom[1], bottom[0] - top[0])),
        "seat_angle": math.degrees(math.atan2(seat_top[1] - foot[1], foot[0] - seat_top[0])),
        "axle_to_crown": math.dist(p["crown_race"], fa),
        "fork_length_on_axis": math.dist(p["crown_race"], p["fork_foot"]),
        "fork_offset": -line_distance(fa, top, bottom),
        "lower_stack": math.dist(p["crown_race"], bottom),
        "head_tube_length": math.dist(bottom, top),
        "stack": top[1],
        "reach": top[0],
        "top_tube_effective": top[0] - level[0],
        "top_tube_length": math.dist(th, ts),
        "top_tube_slope": math.degrees(slope),
        "seat_tube_length": math.dist(foot, seat_top),
        "seat_tube_cc": math.dist(foot, ts),
        "seat_tube_offset": -line_distance(bb, foot, seat_top),
        "down_tube_offset": -line_distance(bb, db, dh),
        "down_tube_length": math.dist(db, dh),
        "top_tube_at_head": math.dist(top, th),
        "top_tube_at_seat": math.dist(seat_top, ts),
        "down_tube_at_head": math.dist(bottom, dh),
        "trail": trail,
        "mechanical_trail": line_distance(p["front_contact"], top, bottom),
        "wheel_flop": trail * math.sin(head) * math.cos(head),
        "front_radius": fa[1] - p["front_contact"][1],
        "rear_radius": ra[1] - p["rear_contact"][1],
        "standover": mid + f["top_tube_diameter"] / 2 / math.cos(slope),
        "saddle_height": math.dist(bb, p["saddle"]),
        "saddle_setback": -p["saddle"][0] - f["saddle_nose_length"],
        "bar_x": p["bar"][0],
        "bar_y": p["bar"][1],
        "angle_top_head": fold(minus(top, bottom), minus(ts, th)),
        "angle_seat_top": 180.0 - fold(minus(seat_top, foot), minus(th, ts)),
        "angle_down_head": fold(minus(bottom, top), minus(db, dh)),
        "angle_seat_down": fold(minus(seat_top, foot), minus(dh, db)),
        "angle_seat_chain": fold(minus(seat_top, foot), minus(ra, bb)),
    }


def test_dimensions_are_what_ruler_and_protractor_find_on_the_points():
    rng = random.Random(1)
    for _ in range(40):
        f = full(rng)
        for name, value in measured(f).items():
            assert REGISTRY[name].function(Plane(f)) == pytest.approx(value, abs=1e-9), name


def test_lug_angles_are_the_sums_that_the_trade_gives():
    f = Plane(full(random.Random(2)))
    value = {n: d.function(f) for n, d in REGISTRY.items()}
    assert value["angle_top_head"] == value["head_angle"] + value["top_tube_slope"]
    assert value["angle_seat_top"] == value["seat_angle"] + value["top_tube_slope"]
    assert value["angle_seat_down"] == 180.0 - value["seat_angle"] - f.down_tube_rise


def test_a_bar_is_reached_along_steerer_and_stem():
    f = full(random.Random(3))
    top = points(Plane(f))["head_tube_top"]
    h = math.radians(f["head_angle"])
    up = f["upper_stack"] + f["spacers"] + f["stem_clamp_height"] / 2
    x, y = top[0] - up * math.cos(h), top[1] + up * math.sin(h)
    forward = math.radians(90.0 - f["head_angle"] + f["stem_angle"])
    bar = points(Plane(f))["bar"]
    assert bar == pytest.approx(
        (x + f["stem_length"] * math.cos(forward), y + f["stem_length"] * math.sin(forward)), abs=1e-9
    )


def test_a_steerer_passes_all_that_sits_on_it():
    f = full(random.Random(4))
    parts = ("head_tube_length", "lower_stack", "upper_stack", "spacers", "stem_clamp_height")
    assert REGISTRY["steerer_length"].function(Plane(f)) == pytest.approx(sum(f[n] for n in parts))


@pytest.mark.parametrize("name", REGISTRY)
def test_arrays_of_frames_give_what_each_frame_gives(name):
    rng = random.Random(5)
    frames = [full(rng) for _ in range(6)]
    together = Plane({n: np.array([f[n] for f in frames]).reshape(2, 3) for n in frames[0]})
    values = np.broadcast_to(REGISTRY[name].function(together), (2, 3)).ravel()
    for f, value in zip(frames, values, strict=True):
        assert value == pytest.approx(REGISTRY[name].function(Plane(f)), rel=1e-13, abs=1e-12)


@pytest.mark.parametrize("name", REGISTRY)
def test_the_derivative_is_the_slope_of_the_values(name):
    """Against differences of the fourth order, whose own error is about 1e-9."""
    rng = random.Random(6)
    f = full(rng)
    function, h = REGISTRY[name].function, 0.05
    for parameter in UNKNOWNS:
        exact = tangent(function(Plane({**f, parameter: complex(f[parameter], STEP)})))
        a, b, c, d = (function(Plane({**f, parameter: f[parameter] + k * h})) for k in (-2, -1, 1, 2))
        assert exact == pytest.approx((a - 8 * b + 8 * c - d) / (12 * h), abs=2e-7), parameter

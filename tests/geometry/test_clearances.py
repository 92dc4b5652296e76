"""Worst cases against brute force: the wheel is turned and measured a point at a time."""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

import numpy as np
import pytest
import shapely

from layout.frame.solve import solve
from layout.report.mitres import notices as mitre_notices
from layout.spec.load import loads

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import sane_frame, whole
from road import ROAD

from layout.geometry.clearances import down_tube_gap, lean_to_pedal, pedal_gap, seat_tube_gap
from layout.geometry.plane import Plane, points
from layout.geometry.solver import solve_frame

TYRE = 40.0
CRANK = {"crank_length": 172.5, "pedal_outer": 185.0, "pedal_below": 15.0}


def turned_tread(f: dict[str, float], steer: np.ndarray, width: float) -> np.ndarray:
    """Points of the front tyre's surface, the wheel turned by `steer` degrees, shape (..., 3).

    A torus whose tread circle has the wheel's radius, turned by Rodrigues' rotation about
    the steering axis, x forward, y up, z to the drive side.
    """
    p = points(Plane(f))
    around = np.radians(np.linspace(90.0, 270.0, 721))[:, None]
    across = np.radians(np.linspace(-90.0, 90.0, 61))[None, :]
    r = f["front_radius"] - width / 2 + width / 2 * np.cos(across)
    flat = np.stack(
        np.broadcast_arrays(r * np.cos(around), r * np.sin(around), width / 2 * np.sin(across)), -1
    )
    flat = flat.reshape(-1, 3) + np.array([*p["front_axle"], 0.0]) - np.array([*p["fork_foot"], 0.0])
    h = math.radians(f["head_angle"])
    axis = np.array([-math.cos(h), math.sin(h), 0.0])
    a = np.radians(steer)[:, None, None]
    along = (flat @ axis)[None, :, None] * axis
    turned = flat * np.cos(a) + np.cross(axis, flat) * np.sin(a) + along * (1.0 - np.cos(a))
    return turned + np.array([*p["fork_foot"], 0.0])


def from_turned_tyre(f: dict[str, float], spots: np.ndarray, steer: np.ndarray, width: float) -> np.ndarray:
    """Distance of spots (n, 3) from the front tyre turned by each of `steer` degrees (k), shape (n, k).

    The same torus, by its distance function: the spots are turned back about the steering axis.
    """
    p = points(Plane(f))
    foot, axle = np.array([*p["fork_foot"], 0.0]), np.array([*p["front_axle"], 0.0])
    h = math.radians(f["head_angle"])
    axis = np.array([-math.cos(h), math.sin(h), 0.0])
    a = -np.radians(steer)[None, :, None]
    out = (spots - foot)[:, None, :]
    along = (out @ axis)[..., None] * axis
    back = out * np.cos(a) + np.cross(axis, out) * np.sin(a) + along * (1.0 - np.cos(a))
    x, y, z = np.moveaxis(back + foot - axle, -1, 0)
    ring = f["front_radius"] - width / 2
    return np.hypot(np.hypot(x, y) - ring, z) - width / 2


def where_a_pedal_touches(f: dict[str, float], width: float) -> float:
    """How far ahead of the BB the spindle's middle, BB high, first meets the tyre at any steering angle."""
    steer = np.linspace(-60.0, 60.0, 4801)

    def clear(x: np.ndarray) -> np.ndarray:
        level = np.stack([x, np.zeros_like(x), np.full_like(x, f["pedal_side"])], -1)
        return from_turned_tyre(f, level, steer, width).min(axis=1)

    low, high = 0.0, points(Plane(f))["front_axle"][0]
    while high - low > 1e-6:
        tried = np.linspace(low, high, 41)
        first = int(np.argmax(clear(tried) < 0.0))
        low, high = tried[first - 1], tried[first]
    return low


@pytest.mark.parametrize("seed", range(4))
def test_a_pedal_clears_the_turning_tyre_by_what_brute_force_finds(seed):
    """To 0.0001 mm: between two of the steering angles tried, 0.025 degrees apart, the tyre bulges by less.

    The closed form takes the tread's circle alone; the whole torus reaches no farther back.
    """
    f = {**whole(sane_frame(random.Random(seed))), **CRANK}
    touch = where_a_pedal_touches(f, TYRE)
    assert pedal_gap(Plane(f)) == pytest.approx(touch - f["crank_length"], abs=1e-4)


def test_a_pedal_in_the_middle_plane_meets_the_wheel_straight_ahead():
    """3-4-5: axle 300 up, radius 500, pedal in the wheel's plane: 400 behind the axle."""
    f = whole(sane_frame(random.Random(1)))
    f |= {
        "bb_drop": 300.0,
        "rear_radius": 500.0,
        "front_radius": 500.0,
        "front_centre_horizontal": 700.0,
        "pedal_side": 1e-9,
        "crank_length": 170.0,
    }
    assert pedal_gap(Plane(f)) == pytest.approx(700.0 - 400.0 - 170.0, abs=1e-6)


def test_a_lean_is_the_angle_to_the_pedals_outer_edge():
    f = {**whole(sane_frame(random.Random(2))), **CRANK, "bb_drop": 70.0, "rear_radius": 345.0}
    assert lean_to_pedal(Plane(f)) == pytest.approx(math.degrees(math.atan2(275 - 172.5 - 15, 185)))


@pytest.mark.parametrize("seed", range(6))
def test_a_down_tube_clears_the_turning_tyre_by_what_brute_force_finds(seed):
    f = whole(sane_frame(random.Random(seed)))
    p = points(Plane(f))
    a, b = np.array([*p["down_tube_at_bb"], 0.0]), np.array([*p["down_tube_at_head"], 0.0])
    q = turned_tread(f, np.linspace(-40.0, 40.0, 17), 1e-6).reshape(-1, 3)
    t = np.clip((q - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
    distance = np.linalg.norm(q - a - t[:, None] * (b - a), axis=1).min() - f["down_tube_diameter"] / 2
    assert down_tube_gap(Plane(f)) == pytest.approx(distance, abs=0.02)


def test_a_crown_that_reaches_further_back_than_the_tyre_counts():
    f = whole(sane_frame(random.Random(3)))
    bare = down_tube_gap(Plane(f))
    near, far = (down_tube_gap(Plane({**f, "crown_radius": r})) for r in (5.0, 120.0))
    assert near <= bare
    assert far < bare
    p = points(Plane({**f, "crown_radius": 120.0}))
    h = math.radians(f["head_angle"])
    corner = np.array(p["crown_race"]) - 120.0 * np.array([math.sin(h), math.cos(h)])
    a, b = np.array(p["down_tube_at_bb"]), np.array(p["down_tube_at_head"])
    t = np.clip((corner - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
    expected = np.linalg.norm(corner - a - t * (b - a)) - f["down_tube_diameter"] / 2
    assert far == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("tube", "stations"),
    [
        ("diameter: 44, diameter_end: 31.8", ((0, 44), (1, 31.8))),
        ("diameter: 31.8, diameter_end: 44", ((0, 31.8), (1, 44))),
        ("diameter: 31.8, diameter_end: 44, taper: [300, 400]", ((0, 31.8), (300, 31.8), (400, 44), (1, 44))),
        ("diameter: 44, diameter_end: 31.8, taper: [350, 350]", ((0, 44), (350, 44), (350, 31.8), (1, 31.8))),
        ("section: [33, 42], diameter_end: 30", ((0, 42), (150, 42), (-150, 30), (1, 30))),
    ],
)
@pytest.mark.parametrize("front_centre", [570.0, 610.0])
def test_a_tapering_down_tube_clears_the_tyre_where_it_is_nearest(tube, stations, front_centre):
    """The diameter at its head end was taken all along, which a tube of 44 to 31.8 missed by millimetres.

    Against shapely: the wheel's disc and the tube's outline between its end points.
    """
    text = (
        f"geometry: {{bb_drop: 70, rear_centre: 435, front_centre: {front_centre}, head_angle: 72,\n"
        "  seat_angle: 73, head_tube_length: 150, seat_tube_length: 540}\n"
        f"fork: {{axle_to_crown: 395, offset: 45}}\ntubes: {{down_tube: {{{tube}}}}}\n"
    )
    plane = solve(loads(text, "tapered.yaml")).plane
    foot, head = (np.array(plane.points[n]) for n in ("down_tube_at_bb", "down_tube_at_head"))
    run = float(np.linalg.norm(head - foot))
    along = (head - foot) / run
    under = np.array([along[1], -along[0]])
    edge = [foot + (run * t if t == 1 else t % run) * along + d / 2 * under for t, d in stations]
    wheel = shapely.Point(plane.points["front_axle"])
    expected = wheel.distance(shapely.LineString(edge)) - plane.front_wheel.radius
    assert plane.dimensions["down_tube_to_tyre"] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_seat_tube_gap_is_that_of_two_outlines(seed: int):
    """Against shapely: the tyre's disc and the seat tube's axis grown by its radius, flat ends and all."""
    f = whole(sane_frame(random.Random(seed)))
    p = points(Plane(f))
    axis = shapely.LineString([p["seat_tube_foot"], p["seat_tube_top"]])
    gap = axis.distance(shapely.Point(p["rear_axle"])) - f["rear_radius"] - f["seat_tube_diameter"] / 2
    assert seat_tube_gap(Plane(f)) == pytest.approx(gap, abs=1e-9)


def test_a_tyre_that_stands_in_a_tube_is_said_with_how_far():
    close = {**ROAD, "rear_centre": 390.0, "rear_radius": 386.0, "front_radius": 348.0}
    said = {w.code: w.message for w in solve_frame(close).warnings}
    assert "the rear tyre reaches" in said["overlap"] and "into the seat tube" in said["overlap"]
    assert "overlap" not in {w.code for w in solve_frame(ROAD).warnings}


def test_a_seat_angle_whose_digits_were_swapped_is_among_what_is_to_be_checked():
    """47 for 74 put the tube into the tyre; people were sent to the rear centre and the wheel alone."""
    said = [w.message for w in solve_frame({**ROAD, "seat_angle": 47.0}).warnings if w.code == "overlap"]
    assert len(said) == 1
    assert "Check rear_centre, seat_angle and the rear wheel." in said[0]


def test_tubes_that_cross_at_a_short_head_tube_are_said():
    said = {w.code: w.message for w in solve_frame({**ROAD, "head_tube_length": 60.0}).warnings}
    assert "cross at the head tube" in said["tubes_crossed"]
    assert "tubes_crossed" not in {w.code for w in solve_frame(ROAD).warnings}


def test_a_top_tube_over_the_end_of_the_seat_tube_is_said():
    short = {**ROAD, "seat_tube_length": 480.0, "top_tube_slope": 4.0}
    solution = solve_frame(short)
    said = {w.code: w.message for w in solution.warnings}
    above = -solution.dimensions["top_tube_at_seat"]
    assert above > 0.0
    assert f"it meets the axis {above:.1f} mm above the tube's top end" in said["seat_tube_short"]
    assert "seat_tube_short" not in {w.code for w in solve_frame(ROAD).warnings}


@pytest.mark.parametrize("seat_tube", [440, 500, 560, 620])
def test_a_single_tube_for_the_seat_stays_ends_clear_of_the_tyre(seat_tube: int):
    """Its lap was laid as if there were no wheel: it ran 18.5 into the tyre, with no word but the gap.

    By hand: the middle of the tube's end and the tyre's tread circle, both in the middle plane.
    """
    text = (
        "geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,\n"
        f"  head_tube_length: 150, seat_tube_length: {seat_tube}}}\n"
        "fork: {axle_to_crown: 395, offset: 45}\n"
        "rear_end: {seat_stay_mount: single}\n"
    )
    frame = solve(loads(text, "single.yaml"))
    tube = frame.space.tubes["single_stay"]
    axle = frame.plane.points["rear_axle"]
    end = tube.path.last.at
    assert math.hypot(end[0] - axle[0], end[1] - axle[1]) - frame.plane.rear_wheel.radius >= 6.0 - 1e-6
    gap = next(g for g in frame.clearances.gaps if g.tube == "single_stay")
    assert gap.value >= 6.0
    assert frame.space.cut_of("seat_stay_right", 1) is not None


@pytest.mark.parametrize(("seat_tube", "clears"), [(500, False), (560, True), (620, True)])
def test_stays_on_a_single_tube_are_lapped_so_that_they_clear_the_tyre(seat_tube: int, clears: bool):
    """They ran 0.3 into the tyre while their tube had 38 to spare: no other way to lap them was tried.

    By hand: a stay's axis is straight from the dropout to where it ends on the tube; where even the nearest
    end to the seat tube, on the tube's skin, leaves too little, the warning says so and what would do.
    """
    text = (
        "geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,\n"
        f"  head_tube_length: 150, seat_tube_length: {seat_tube}}}\n"
        "fork: {axle_to_crown: 395, offset: 45}\n"
        "rear_end: {seat_stay_mount: single}\n"
    )
    frame = solve(loads(text, "single.yaml"))
    gaps = {g.tube: g.value for g in frame.clearances.gaps if g.part == "tyre"}
    assert (gaps["seat_stay_right"] >= 6.0) == clears
    assert gaps["single_stay"] >= 6.0
    assert gaps["seat_stay_right"] > 0.5
    notices = mitre_notices(frame.space, (), frame.lengths, frame.clearances)
    said = [n.message for n in notices if n.code == "gap_small" and "seat stay to tyre" in n.message]
    assert bool(said) != clears
    assert all("makes more room. Bend the stays outwards" in m for m in said)

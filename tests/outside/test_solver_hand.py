"""Frames that can be checked by hand: Pythagorean triangles, and angles whose sines are fractions.

3-4-5 and 5-12-13 triangles give whole lengths; an angle with sine 4/5 (53.13 degrees) or
12/13 (67.38 degrees) keeps every coordinate a short decimal.
"""

from __future__ import annotations

import math

import pytest

from layout.geometry.solver import solve_frame, solve_frames

STEEP = math.degrees(math.asin(12.0 / 13.0))
"""u = (-5/13, 12/13), n = (12/13, 5/13)."""
LAID_BACK = math.degrees(math.asin(4.0 / 5.0))
"""u = (-3/5, 4/5), n = (4/5, 3/5)."""


def test_a_five_twelve_thirteen_frame():
    """Front axle (624, 90); offset 39 = 3 x 13, so the fork's foot is (624 - 36, 90 - 15).

    520 along the axis to the crown (-200, 480), 13 of headset (-5, 12), 130 of head tube
    (-50, 120): its top is (333, 687). Ground 260 below, 350 below the front axle.
    """
    numbers = {
        "bb_drop": 90.0,
        "rear_centre": 410.0,
        "front_centre": math.hypot(624.0, 90.0),
        "head_angle": STEEP,
        "seat_angle": LAID_BACK,
        "fork_offset": 39.0,
        "fork_length_on_axis": 520.0,
        "lower_stack": 13.0,
        "head_tube_length": 130.0,
        "rear_radius": 350.0,
    }
    s = solve_frame(numbers)
    assert s.points["rear_axle"] == pytest.approx((-400.0, 90.0), abs=1e-9)
    assert s.points["fork_foot"] == pytest.approx((588.0, 75.0), abs=1e-9)
    assert s.points["crown_race"] == pytest.approx((388.0, 555.0), abs=1e-9)
    assert s.points["head_tube_bottom"] == pytest.approx((383.0, 567.0), abs=1e-9)
    assert s.points["head_tube_top"] == pytest.approx((333.0, 687.0), abs=1e-9)
    assert s.points["front_contact"] == pytest.approx((624.0, -260.0), abs=1e-9)
    expected = {
        "stack": 687.0,
        "reach": 333.0,
        "wheelbase": 1024.0,
        "bb_height": 260.0,
        "axle_to_crown": math.hypot(520.0, 39.0),
        "mechanical_trail": 350.0 * 5.0 / 13.0 - 39.0,
        "trail": (350.0 * 5.0 / 13.0 - 39.0) * 13.0 / 12.0,
        "wheel_flop": (350.0 * 5.0 / 13.0 - 39.0) * 5.0 / 13.0,
        "top_tube_effective": 333.0 + 687.0 * 3.0 / 4.0,
    }
    assert {n: s.dimensions[n] for n in expected} == pytest.approx(expected, abs=1e-9)


def test_tubes_of_a_three_four_five_frame():
    """Seat axis (-3/5, 4/5): 500 up is (-300, 400). The top tube meets the head tube at (360, 605).

    Head tube axis through (333, 687) leaning by 5:12: (360, 622.2) is 70.2 below its top.
    """
    numbers = {
        "bb_drop": 90.0,
        "rear_centre": 410.0,
        "front_centre_horizontal": 624.0,
        "head_angle": STEEP,
        "seat_angle": LAID_BACK,
        "fork_offset": 39.0,
        "fork_length_on_axis": 520.0,
        "lower_stack": 13.0,
        "head_tube_length": 130.0,
        "rear_radius": 350.0,
        "seat_tube_length": 550.0,
        "top_tube_at_seat": 50.0,
        "top_tube_at_head": 70.2,
        "down_tube_at_head": 26.0,
    }
    s = solve_frame(numbers, {"top_tube_diameter": 30.0})
    assert s.points["top_tube_at_seat"] == pytest.approx((-300.0, 400.0), abs=1e-9)
    assert s.points["top_tube_at_head"] == pytest.approx((360.0, 622.2), abs=1e-9)
    assert s.points["down_tube_at_head"] == pytest.approx((373.0, 591.0), abs=1e-9)
    length = math.hypot(660.0, 222.2)
    expected = {
        "seat_tube_cc": 500.0,
        "top_tube_length": length,
        "top_tube_slope": math.degrees(math.atan(222.2 / 660.0)),
        "down_tube_length": math.hypot(373.0, 591.0),
        "standover": 260.0 + (400.0 + 622.2) / 2.0 + 15.0 * length / 660.0,
        "angle_top_head": STEEP + math.degrees(math.atan(222.2 / 660.0)),
        "angle_seat_down": 180.0 - LAID_BACK - math.degrees(math.atan2(591.0, 373.0)),
        "angle_seat_chain": LAID_BACK - math.degrees(math.atan(90.0 / 400.0)),
    }
    assert {n: s.dimensions[n] for n in expected} == pytest.approx(expected, abs=1e-9)


def test_a_saddle_on_a_three_four_five_triangle():
    """720 high at 3:4:5 is 432 back and 576 up: 292 behind, a nose of 140 ahead."""
    numbers = {
        "bb_drop": 70.0,
        "rear_centre": 430.0,
        "front_centre": 604.0,
        "head_angle": 71.5,
        "seat_angle": 73.5,
        "head_tube_length": 140.0,
        "axle_to_crown": 395.0,
        "fork_offset": 45.0,
        "saddle_height": 720.0,
        "saddle_setback": 292.0,
    }
    s = solve_frame(numbers)
    assert s.points["saddle"] == pytest.approx((-432.0, 576.0), abs=1e-9)
    assert s.dimensions["seat_angle_effective"] == pytest.approx(LAID_BACK, abs=1e-9)


def test_the_same_axle_from_fork_and_head_tube_two_ways():
    """Stack, head angle, fork, stacks and head tube fix the front axle's height: 687 - 663 x 12/13 + 15."""
    numbers = {
        "stack": 687.0,
        "reach": 333.0,
        "head_angle": STEEP,
        "seat_angle": LAID_BACK,
        "fork_offset": 39.0,
        "fork_length_on_axis": 520.0,
        "lower_stack": 13.0,
        "head_tube_length": 130.0,
        "rear_centre": 410.0,
        "rear_radius": 350.0,
        "front_radius": 350.0,
    }
    (only,) = solve_frames(numbers)
    assert only.dimensions["bb_drop"] == pytest.approx(
        687.0 - 663.0 * 12.0 / 13.0 + 39.0 * 5.0 / 13.0, abs=1e-9
    )
    assert only.dimensions["front_centre_horizontal"] == pytest.approx(624.0, abs=1e-9)

"""The benchmark bicycle: trail and fork offset of a bicycle published to fifteen digits.

J. P. Meijaard, J. M. Papadopoulos, A. Ruina and A. L. Schwab, "Linearized dynamics equations
for the balance and steer of a bicycle: a benchmark and review", Proc. R. Soc. A 463
(2007): wheelbase w = 1.02 m, trail c = 0.08 m, steer axis tilt lambda = pi/10, rear wheel
radius 0.3 m, front wheel radius 0.35 m.
"""

from __future__ import annotations

import math

import pytest

from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.geometry.solver import solve_frame

TILT = math.pi / 10.0
PUBLISHED = {
    "wheelbase": 1020.0,
    "trail": 80.0,
    "head_angle": 90.0 - math.degrees(TILT),
    "rear_radius": 300.0,
    "front_radius": 350.0,
}
OURS = {
    "bb_drop": 20.0,
    "rear_centre": 430.0,
    "seat_angle": 73.0,
    "axle_to_crown": 390.0,
    "head_tube_length": 130.0,
    "lower_stack": 12.0,
}
"""What the publication does not say and its numbers do not depend on."""


def test_the_fork_offset_of_the_benchmark_is_found():
    """Its trail c = (Rf sin(lambda) - offset) / cos(lambda), with lambda from the vertical."""
    offset = 350.0 * math.sin(TILT) - 80.0 * math.cos(TILT)
    found = solve_frame({**PUBLISHED, **OURS}).dimensions
    assert found["fork_offset"] == pytest.approx(offset, abs=1e-9)
    assert found["fork_offset"] == pytest.approx(32.0715, abs=1e-4)


def test_the_trail_of_the_benchmark_comes_back_from_its_fork():
    offset = 350.0 * math.sin(TILT) - 80.0 * math.cos(TILT)
    numbers = {n: v for n, v in PUBLISHED.items() if n != "trail"}
    found = solve_frame({**numbers, **OURS, "fork_offset": offset}).dimensions
    assert found["trail"] == pytest.approx(80.0, abs=1e-9)
    assert found["mechanical_trail"] == pytest.approx(80.0 * math.cos(TILT), abs=1e-9)


def test_the_tilt_of_the_benchmark_comes_back_from_trail_and_fork():
    offset = 350.0 * math.sin(TILT) - 80.0 * math.cos(TILT)
    numbers = {n: v for n, v in PUBLISHED.items() if n != "head_angle"}
    found = solve_frame({**numbers, **OURS, "fork_offset": offset}).dimensions
    assert found["head_angle"] == pytest.approx(72.0, abs=1e-9)


def test_unequal_wheels_stand_on_one_ground():
    solution = solve_frame({**PUBLISHED, **OURS})
    rear, front = solution.points["rear_contact"], solution.points["front_contact"]
    assert front[1] == pytest.approx(rear[1], abs=1e-12)
    assert front[0] - rear[0] == pytest.approx(1020.0, abs=1e-9)
    steering = Plane(solution.parameters)
    assert REGISTRY["wheel_flop"].function(steering) == pytest.approx(
        80.0 * math.cos(TILT) * math.sin(TILT), abs=1e-9
    )

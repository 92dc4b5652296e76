"""The frame at rest: fork and rear travel taken up, both wheels on the ground again."""

from __future__ import annotations

import math

import pytest

from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane, points
from layout.geometry.sag import sagged_parameters
from layout.geometry.solver import solve_frame

TRAIL_BIKE = {
    "bb_drop": 60.0,
    "rear_centre": 435.0,
    "front_centre": 740.0,
    "head_angle": 66.0,
    "seat_angle": 75.0,
    "head_tube_length": 110.0,
    "axle_to_crown": 530.0,
    "fork_offset": 44.0,
    "rear_radius": 370.0,
}
RIGID = ("head_tube_length", "seat_tube_length", "top_tube_length", "down_tube_length", "rear_centre")


def distances(p: dict) -> list[float]:
    """All distances between points that move with the main frame."""
    names = (
        "bb",
        "head_tube_bottom",
        "head_tube_top",
        "seat_tube_top",
        "top_tube_at_seat",
        "down_tube_at_head",
    )
    return [math.dist(p[a], p[b]) for a in names for b in names]


def test_no_sag_given_no_sagged_state():
    assert solve_frame(TRAIL_BIKE).sagged is None


def test_no_sag_is_the_same_frame():
    solution = solve_frame({**TRAIL_BIKE, "fork_sag": 0.0})
    for name, value in solution.sagged.items():
        assert value == (None if value is None else pytest.approx(solution.dimensions[name], abs=1e-9)), name


def test_fork_sag_steepens_the_frame_about_the_rear_axle():
    solution = solve_frame({**TRAIL_BIKE, "fork_sag": 30.0})
    drawn, rest = solution.dimensions, solution.sagged
    turn = rest["head_angle"] - drawn["head_angle"]
    assert 1.0 < turn < 2.0
    assert rest["seat_angle"] - drawn["seat_angle"] == pytest.approx(turn, abs=1e-9)
    assert rest["fork_length_on_axis"] == pytest.approx(drawn["fork_length_on_axis"] - 30.0)
    assert rest["bb_height"] < drawn["bb_height"]
    for name in RIGID:
        assert rest[name] == pytest.approx(drawn[name], abs=1e-9), name


@pytest.mark.parametrize("sags", ((30.0, 0.0), (0.0, 25.0), (35.0, 40.0)))
@pytest.mark.parametrize("front_radius", (370.0, 345.0))
def test_the_frame_moves_as_one_and_both_wheels_stand(sags, front_radius):
    numbers = {**TRAIL_BIKE, "front_radius": front_radius, "fork_sag": sags[0], "rear_sag": sags[1]}
    unsagged = solve_frame(numbers).parameters
    rest = Plane(sagged_parameters(unsagged))
    before, after = points(Plane(unsagged)), points(rest)
    assert distances(after) == pytest.approx(distances(before), abs=1e-9)
    assert after["rear_axle"][1] - rest.rear_radius == pytest.approx(
        after["front_axle"][1] - rest.front_radius
    )
    travel = math.dist(before["crown_race"], before["front_axle"])
    shorter = math.hypot(unsagged["fork_length_on_axis"] - sags[0], unsagged["fork_offset"])
    assert math.dist(after["crown_race"], after["front_axle"]) == pytest.approx(shorter)
    assert shorter <= travel + 1e-9
    lifted = (before["rear_axle"][0], before["rear_axle"][1] + sags[1])
    assert math.dist(after["bb"], after["rear_axle"]) == pytest.approx(math.dist(before["bb"], lifted))


def test_rear_sag_slackens():
    solution = solve_frame({**TRAIL_BIKE, "rear_sag": 40.0})
    assert solution.sagged["head_angle"] < solution.dimensions["head_angle"]


def test_a_saddle_turns_with_the_frame():
    numbers = {**TRAIL_BIKE, "fork_sag": 30.0, "saddle_height": 720.0, "saddle_setback": 40.0}
    solution = solve_frame(numbers)
    assert solution.sagged["saddle_height"] == pytest.approx(720.0)
    turn = solution.sagged["head_angle"] - solution.dimensions["head_angle"]
    effective = REGISTRY["seat_angle_effective"].name
    assert solution.sagged[effective] - solution.dimensions[effective] == pytest.approx(turn)


def test_what_is_given_and_drawn_is_unsagged():
    solution = solve_frame({**TRAIL_BIKE, "fork_sag": 30.0})
    assert solution.dimensions["head_angle"] == pytest.approx(66.0)
    assert solution.points["front_axle"][0] == pytest.approx(solution.dimensions["front_centre_horizontal"])

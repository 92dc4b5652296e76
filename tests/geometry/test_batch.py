"""Frames solved together as arrays are those that are solved one by one."""

from __future__ import annotations

import numpy as np
import pytest
from road import ROAD

from layout.errors import SolveError
from layout.geometry.batch import solve_many
from layout.geometry.solver import solve_frame

FOUND = {n: v for n, v in ROAD.items() if n not in ("head_angle", "fork_offset", "front_centre")}
FOUND |= {"wheelbase": 1024.0, "trail": 62.0, "top_tube_effective": 554.0}
MIRRORED = {n: v for n, v in ROAD.items() if n != "bb_drop"} | {"rear_centre_horizontal": 424.2641}
COMPARED = ("stack", "reach", "head_angle", "fork_offset", "top_tube_slope", "seat_tube_length", "bb_drop")


def spread(numbers: dict, count: int, seed: int = 1) -> dict:
    rng = np.random.default_rng(seed)
    return {n: v + rng.normal(0.0, 1.0 if v > 80.0 else 0.3, count) for n, v in numbers.items()}


@pytest.mark.parametrize("numbers", (ROAD, FOUND, MIRRORED), ids=("found outright", "coupled", "two frames"))
def test_each_frame_is_the_one_solved_alone(numbers):
    given = spread(numbers, 60)
    if numbers is MIRRORED:
        given["rear_centre_horizontal"] = 424.2641 + 0.1 * (given["rear_centre_horizontal"] - 424.2641)
    frames = solve_many(given)
    assert frames.solved.all()
    for i in range(60):
        alone = solve_frame({n: float(v[i]) for n, v in given.items()}).dimensions
        for name in COMPARED:
            assert frames.dimension(name)[i] == pytest.approx(alone[name], abs=1e-8), name


def test_slopes_follow_the_standover_of_each_frame():
    given = {
        **ROAD,
        "head_tube_length": np.array([80.0, 140.0, 290.0]),
        "axle_to_crown": [370.0, 395.0, 400.0],
    }
    slopes = solve_many(given).dimension("top_tube_slope")
    assert slopes[0] == pytest.approx(0.0, abs=1e-9)
    assert 0.0 < slopes[1] < 15.0
    assert slopes[2] == pytest.approx(15.0, abs=1e-9)


def test_numbers_too_many_are_fitted_frame_by_frame():
    exact = solve_frame({**ROAD, "rear_radius": 348.0}).dimensions
    numbers = {**ROAD, "rear_radius": 348.0, "front_radius": 348.0, "wheelbase": exact["wheelbase"]}
    shifts = np.array([0.0, 0.3, 3.0])
    frames = solve_many({**numbers, "wheelbase": exact["wheelbase"] + shifts})
    assert frames.solved.tolist() == [True, True, False]
    alone = solve_frame({**numbers, "wheelbase": exact["wheelbase"] + 0.3})
    assert frames.dimension("reach")[1] == pytest.approx(alone.dimensions["reach"], abs=1e-8)
    assert np.isnan(frames.dimension("reach")[2])


def test_a_choice_takes_the_other_root_throughout():
    given = {**MIRRORED, "rear_centre": np.linspace(428.0, 432.0, 5)}
    drops = solve_many(given, choose={"bb_drop": -60.0}).dimension("bb_drop")
    assert (drops < 0.0).all()


def test_frames_that_cannot_be_are_not_solved():
    given = {**ROAD, "head_angle": np.array([71.5, 20.0, 71.5]), "axle_to_crown": [395.0, 395.0, 290.0]}
    frames = solve_many(given)
    assert frames.solved.tolist() == [True, False, False]
    assert np.isnan(frames.dimension("stack")).tolist() == [False, True, True]


def test_frames_far_from_the_middle_one_are_found_too():
    """From a small rider's frame to a long-travel one, all in one call."""
    given = {
        "bb_drop": np.array([50.0, 70.0, 30.0]),
        "rear_centre": np.array([390.0, 430.0, 450.0]),
        "front_centre": np.array([560.0, 604.0, 800.0]),
        "trail": np.array([60.0, 62.0, 115.0]),
        "seat_angle": np.array([75.0, 73.5, 77.0]),
        "head_tube_length": np.array([100.0, 140.0, 120.0]),
        "axle_to_crown": np.array([350.0, 395.0, 560.0]),
        "fork_offset": np.array([52.0, 45.0, 44.0]),
        "rear_radius": np.array([280.0, 348.0, 372.0]),
    }
    frames = solve_many(given)
    assert frames.solved.all()
    for i in range(3):
        alone = solve_frame({n: float(v[i]) for n, v in given.items()}).dimensions
        assert frames.dimension("head_angle")[i] == pytest.approx(alone["head_angle"], abs=1e-9)


def test_dimensions_that_do_not_fix_a_frame_are_refused():
    with pytest.raises(SolveError) as caught:
        solve_many({n: np.full(3, v) for n, v in ROAD.items() if n != "seat_angle"})
    assert caught.value.faults[0].code == "insufficient"


def test_what_no_number_reaches_is_no_number():
    frames = solve_many(spread(ROAD, 4))
    assert np.isnan(frames.dimension("saddle_height")).all()

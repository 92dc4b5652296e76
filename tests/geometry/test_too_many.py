"""Numbers that are more than enough and agree: fitted by least squares, residuals told."""

from __future__ import annotations

import numpy as np
import pytest
import road

from layout.errors import SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import Agreement, solve_frame

ROAD = {**road.ROAD, "rear_radius": 348.0, "front_radius": 348.0}
TRUTH = solve_frame(ROAD).dimensions
EXTRA = {**ROAD, "wheelbase": TRUTH["wheelbase"], "stack": TRUTH["stack"], "lower_stack": 12.0}


def test_exact_numbers_too_many_change_nothing():
    solution = solve_frame(EXTRA)
    assert set(solution.residuals) == set(EXTRA)
    assert max(map(abs, solution.residuals.values())) < 1e-9
    assert solution.dimensions["reach"] == pytest.approx(TRUTH["reach"], abs=1e-9)


def test_numbers_just_enough_have_no_residuals():
    assert solve_frame(ROAD).residuals == {}


def test_residuals_are_given_minus_fitted():
    given = {**EXTRA, "wheelbase": TRUTH["wheelbase"] + 0.4}
    solution = solve_frame(given)
    for name, residual in solution.residuals.items():
        assert residual == pytest.approx(given[name] - solution.dimensions[name], abs=1e-12)
    assert 0.05 < solution.residuals["wheelbase"] < 0.4


def test_the_fit_is_that_of_weighted_least_squares():
    """A stretched rear centre, worked by hand: rc^2 = h^2 + d^2 is one condition on three numbers."""
    given = {**ROAD, "rear_centre_horizontal": TRUTH["rear_centre_horizontal"] + 0.3}
    solution = solve_frame(given)
    d, h, r = 70.0, given["rear_centre_horizontal"], 430.0
    x = np.array([d, h, r])
    multiplier = 0.0
    for _ in range(50):
        gradient = np.array([2 * x[0], 2 * x[1], -2 * x[2]])
        miss = x[0] ** 2 + x[1] ** 2 - x[2] ** 2
        offset = np.array([d, h, r]) - x
        multiplier = (miss + gradient @ offset) / (gradient @ gradient)
        x = np.array([d, h, r]) - multiplier * gradient
    fitted = [solution.dimensions[n] for n in ("bb_drop", "rear_centre_horizontal", "rear_centre")]
    assert fitted == pytest.approx(x, abs=1e-7)


def test_angles_weigh_by_their_own_agreement():
    given = {**EXTRA, "stack": TRUTH["stack"] + 0.4}
    loose = solve_frame(given, agreement=Agreement(length=0.5, angle=5.0))
    tight = solve_frame(given, agreement=Agreement(length=0.5, angle=0.001))
    assert abs(loose.residuals["head_angle"]) > 10 * abs(tight.residuals["head_angle"])


def test_agreement_says_how_far_numbers_may_disagree():
    given = {**EXTRA, "wheelbase": TRUTH["wheelbase"] + 4.0}
    with pytest.raises(SolveError):
        solve_frame(given)
    assert solve_frame(given, agreement=Agreement(length=2.0, angle=0.1))


def test_a_change_within_the_agreement_of_any_one_number_is_agreement():
    for name in EXTRA:
        step = 0.09 if REGISTRY[name].unit == "deg" else 0.45
        assert solve_frame({**EXTRA, name: EXTRA[name] + step}).residuals


def test_defaults_are_kept_exactly_by_a_fit():
    given = {n: v for n, v in EXTRA.items() if n not in ("stack", "lower_stack")}
    solution = solve_frame({**given, "wheelbase": TRUTH["wheelbase"] + 0.4})
    assert solution.dimensions["lower_stack"] == pytest.approx(12.0, abs=1e-9)
    assert solution.dimensions["standover"] == pytest.approx(800.0, abs=1e-8)


def test_stack_with_drop_wheels_and_fork_is_one_too_many():
    """Stack, head angle, fork, stacks and head tube fix the front axle's height already."""
    given = {n: v for n, v in ROAD.items() if n != "front_centre"}
    given |= {"stack": TRUTH["stack"], "reach": TRUTH["reach"], "lower_stack": 12.0}
    assert set(solve_frame(given).residuals) == set(given)


def test_the_redundant_number_picks_between_two_frames():
    given = {n: v for n, v in ROAD.items() if n != "bb_drop"}
    given |= {"rear_centre_horizontal": TRUTH["rear_centre_horizontal"], "stack": TRUTH["stack"]}
    solution = solve_frame({**given, "lower_stack": 12.0})
    assert solution.dimensions["bb_drop"] == pytest.approx(70.0, abs=0.05)
    assert "second_frame" not in [w.code for w in solution.warnings]

"""Saddle, cockpit and cranks: found where their numbers reach, null where they do not."""

from __future__ import annotations

import math

import pytest
from road import ROAD

from layout.errors import SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import solve_frame

COCKPIT = {"stem_length": 95.0, "stem_angle": -8.0, "spacers": 20.0}
SADDLE = {"saddle_height": 720.0, "saddle_setback": 60.0}
NEEDING = {n for n, d in REGISTRY.items() if d.needs}


def test_without_their_numbers_they_are_null():
    solution = solve_frame(ROAD)
    assert {n for n, v in solution.dimensions.items() if v is None} == NEEDING
    assert "saddle" not in solution.points and "bar" not in solution.points


def test_a_saddle_needs_two_numbers():
    solution = solve_frame({**ROAD, **SADDLE})
    d = solution.dimensions
    assert d["saddle_clamp_back"] == pytest.approx(200.0)
    assert d["seat_angle_effective"] == pytest.approx(math.degrees(math.acos(200.0 / 720.0)))
    assert solution.points["saddle"] == pytest.approx((-200.0, (720.0**2 - 200.0**2) ** 0.5))
    assert solution.defaults["saddle_nose_length"] == 140.0


def test_one_number_of_a_saddle_stands_alone():
    solution = solve_frame({**ROAD, "saddle_height": 720.0})
    assert solution.dimensions["saddle_height"] == 720.0
    assert solution.dimensions["saddle_setback"] is None
    assert "saddle_nose_length" not in solution.defaults


def test_saddle_angle_and_height_give_the_setback():
    solution = solve_frame({**ROAD, "saddle_height": 720.0, "seat_angle_effective": 74.0})
    again = solve_frame(
        {**ROAD, "saddle_height": 720.0, "saddle_setback": solution.dimensions["saddle_setback"]}
    )
    assert again.dimensions["seat_angle_effective"] == pytest.approx(74.0)


def test_a_cockpit_gives_the_bar():
    solution = solve_frame({**ROAD, **COCKPIT})
    assert solution.points["bar"] == (solution.dimensions["bar_x"], solution.dimensions["bar_y"])
    assert solution.defaults["stem_clamp_height"] == 40.0
    assert solution.dimensions["steerer_length"] == pytest.approx(140.0 + 12.0 + 15.0 + 20.0 + 40.0)


def test_a_bar_gives_stem_and_spacers():
    whole = solve_frame({**ROAD, **COCKPIT}).dimensions
    found = solve_frame(
        {**ROAD, "stem_angle": -8.0, "bar_x": whole["bar_x"], "bar_y": whole["bar_y"]}
    ).dimensions
    assert found["stem_length"] == pytest.approx(95.0, abs=1e-8)
    assert found["spacers"] == pytest.approx(20.0, abs=1e-8)


def test_a_bar_and_a_stem_can_settle_the_frame():
    """The fitter gives the bar, the parts the stem: the head tube's place follows."""
    whole = solve_frame({**ROAD, **COCKPIT}).dimensions
    numbers = {n: v for n, v in ROAD.items() if n not in ("front_centre", "head_tube_length")}
    numbers |= {**COCKPIT, "bar_x": whole["bar_x"], "bar_y": whole["bar_y"]}
    found = solve_frame(numbers).dimensions
    assert found["head_tube_length"] == pytest.approx(140.0, abs=1e-8)
    assert found["front_centre"] == pytest.approx(604.0, abs=1e-8)


def test_a_steerer_settles_the_spacers():
    found = solve_frame({**ROAD, "steerer_length": 230.0}).dimensions
    assert found["spacers"] == pytest.approx(23.0)
    assert found["bar_x"] is None


def test_their_want_is_never_insufficient():
    numbers = {**ROAD, "bar_y": 640.0, "saddle_setback": 50.0, "pedal_outer": 185.0}
    solution = solve_frame(numbers)
    assert solution.dimensions["bar_y"] == 640.0
    assert solution.dimensions["stem_length"] is None
    with pytest.raises(SolveError) as caught:
        solve_frame({n: v for n, v in numbers.items() if n != "seat_angle"})
    assert caught.value.faults[0].free[0][0] == "seat_angle"


def test_cranks_give_clearances():
    found = solve_frame({**ROAD, "crank_length": 172.5})
    longer = solve_frame({**ROAD, "crank_length": 180.0}).dimensions["pedal_to_tyre"]
    assert found.dimensions["pedal_to_tyre"] - longer == pytest.approx(7.5)
    assert found.dimensions["toe_clearance"] is None
    assert found.defaults["pedal_side"] == 145.0
    shoes = solve_frame({**ROAD, "crank_length": 172.5, "shoe_ahead_of_spindle": 100.0}).dimensions
    assert shoes["toe_clearance"] == pytest.approx(shoes["pedal_to_tyre"] - 100.0)

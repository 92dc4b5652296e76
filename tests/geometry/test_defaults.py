"""Defaults are taken in their order, only where independent, and never settle what they must not."""

from __future__ import annotations

import math

import pytest
from road import ROAD

from layout.errors import SolveError
from layout.geometry.equations import SLOPE_LIMIT, WELD_LAND
from layout.geometry.solver import Solution, solve_frame, solve_frames

SMALL = {**ROAD, "head_tube_length": 85.0, "axle_to_crown": 370.0}
"""Low enough in front for a level top tube under 800."""
TALL = {**ROAD, "head_tube_length": 280.0, "front_centre": 640.0}
"""So high in front that 15 degrees of slope do not bring the top tube down to 800."""


def codes(solution: Solution) -> list[str]:
    return [w.code for w in solution.warnings]


def without(numbers: dict, *names: str) -> dict:
    return {n: v for n, v in numbers.items() if n not in names}


def test_they_are_listed_in_the_order_taken():
    assert list(solve_frame(ROAD).defaults) == [
        "rear_radius",
        "front_radius",
        "lower_stack",
        "upper_stack",
        "seat_tube_diameter",
        "top_tube_diameter",
        "down_tube_diameter",
        "head_tube_diameter_top",
        "head_tube_diameter_bottom",
        "shell_diameter",
        "seat_tube_offset",
        "down_tube_offset",
        "top_tube_at_head",
        "down_tube_at_head",
        "top_tube_at_seat",
        "top_tube_slope",
    ]


def test_parts_have_the_values_of_the_surface():
    taken = solve_frame(SMALL).defaults
    wanted = {
        "rear_radius": 348.0,
        "front_radius": 348.0,
        "lower_stack": 12.0,
        "upper_stack": 15.0,
        "seat_tube_diameter": 28.6,
        "top_tube_diameter": 28.6,
        "down_tube_diameter": 34.9,
        "head_tube_diameter_top": 36.0,
        "head_tube_diameter_bottom": 36.0,
        "shell_diameter": 40.0,
        "seat_tube_offset": 0.0,
        "down_tube_offset": 0.0,
        "top_tube_at_seat": 45.0,
        "top_tube_slope": 0.0,
    }
    assert {n: taken[n] for n in wanted} == pytest.approx(wanted, abs=1e-12)


def test_a_front_wheel_with_none_given_is_the_same_as_the_rear():
    solution = solve_frame({**ROAD, "rear_radius": 330.0})
    assert solution.dimensions["front_radius"] == 330.0
    assert "front_radius" in solution.defaults and "rear_radius" not in solution.defaults


def edge_to_end(solution: Solution, tube: str, end: str) -> float:
    """Weld land measured on the drawing: from the tube's outline on the head tube to that end."""
    s = solution
    joint = s.points[f"{tube}_at_head"]
    far = s.points["top_tube_at_seat" if tube == "top_tube" else "down_tube_at_bb"]
    top, bottom = s.points["head_tube_top"], s.points["head_tube_bottom"]
    tip, other = (top, bottom) if end == "top" else (bottom, top)
    axis = ((tip[0] - other[0]) / math.dist(tip, other), (tip[1] - other[1]) / math.dist(tip, other))
    run = ((far[0] - joint[0]) / math.dist(far, joint), (far[1] - joint[1]) / math.dist(far, joint))
    cos = axis[0] * run[0] + axis[1] * run[1]
    sin = math.sqrt(1.0 - cos * cos)
    head = s.parameters[f"head_tube_diameter_{'top' if end == 'top' else 'bottom'}"] / 2
    radius = s.parameters[f"{tube}_diameter"] / 2
    edge = (head * cos + radius) / sin
    return math.dist(tip, joint) - edge


@pytest.mark.parametrize("numbers", (ROAD, SMALL, TALL), ids=("sloped", "level", "steepest"))
def test_top_and_down_tube_keep_a_weld_land_of_eight(numbers):
    held = {"head_tube_diameter_top": 46.0, "head_tube_diameter_bottom": 60.0, "down_tube_diameter": 38.1}
    for sizes in ({}, held):
        solution = solve_frame(numbers, sizes)
        assert edge_to_end(solution, "top_tube", "top") == pytest.approx(WELD_LAND, abs=1e-9)
        assert edge_to_end(solution, "down_tube", "bottom") == pytest.approx(WELD_LAND, abs=1e-9)


def test_a_top_tube_is_level_where_it_can_be_stood_over():
    solution = solve_frame(SMALL)
    assert solution.dimensions["top_tube_slope"] == pytest.approx(0.0, abs=1e-12)
    assert solution.dimensions["standover"] < 800.0


def test_a_top_tube_slopes_as_much_as_brings_it_down_to_800():
    solution = solve_frame(ROAD)
    assert solution.dimensions["standover"] == pytest.approx(800.0, abs=1e-9)
    assert 0.0 < solution.dimensions["top_tube_slope"] < 15.0


def test_a_top_tube_slopes_by_fifteen_degrees_at_most():
    solution = solve_frame(TALL)
    assert solution.dimensions["top_tube_slope"] == pytest.approx(15.0, abs=1e-9)
    assert solution.dimensions["standover"] > 800.0


def test_a_slope_that_is_a_default_makes_the_seat_tube_a_guess():
    warning = next(w for w in solve_frame(ROAD).warnings if w.code == "seat_tube_assumed")
    assert "seat tube length assumed: 532.5 mm" in warning.message
    settled = solve_frame({**ROAD, "seat_tube_length": 540.0})
    assert "seat_tube_assumed" not in codes(settled)
    assert "top_tube_slope" not in settled.defaults
    assert settled.defaults["top_tube_at_seat"] == 45.0


def test_a_given_place_of_the_top_tube_leaves_its_weld_land_out():
    solution = solve_frame({**ROAD, "top_tube_at_head": 50.0, "seat_tube_length": 520.0})
    assert solution.dimensions["top_tube_at_head"] == 50.0
    assert solution.defaults["top_tube_at_seat"] == 45.0


def test_a_part_that_other_numbers_settle_is_told_with_its_default():
    whole = solve_frame({**ROAD, "lower_stack": 14.2})
    numbers = {**ROAD, "stack": whole.dimensions["stack"]}
    solution = solve_frame({**numbers, "rear_radius": 348.0, "front_radius": 348.0})
    assert solution.dimensions["lower_stack"] == pytest.approx(14.2, abs=1e-9)
    warning = next(w for w in solution.warnings if w.code == "default_replaced")
    assert "lower_stack" in warning.message
    assert "14.2 mm" in warning.message and "12 mm" in warning.message


def test_tube_defaults_never_settle_the_frame():
    """With a level top tube its length would fix the front centre; it must not."""
    numbers = {**without(ROAD, "front_centre"), "top_tube_length": 550.0}
    with pytest.raises(SolveError) as caught:
        solve_frame(numbers)
    fault = caught.value.faults[0]
    assert fault.code == "insufficient"
    assert "front_centre" in fault.free[0] and "top_tube_slope" not in fault.free[0]


def test_offsets_of_the_tubes_are_never_solved_for():
    whole = solve_frame({**ROAD, "seat_tube_offset": 12.0})
    numbers = {**ROAD, "top_tube_effective": whole.dimensions["top_tube_effective"]}
    numbers |= {"rear_radius": 348.0, "front_radius": 348.0, "lower_stack": 12.0}
    with pytest.raises(SolveError) as caught:
        solve_frame(numbers)
    assert caught.value.faults[0].code == "contradictory"
    fitted = solve_frame({**numbers, "seat_tube_offset": 12.0})
    assert fitted.dimensions["seat_tube_offset"] == 12.0


def test_a_default_never_takes_part_in_a_contradiction():
    whole = solve_frame(ROAD)
    wrong = {**ROAD, "wheelbase": whole.dimensions["wheelbase"] + 4.0}
    wrong |= {"rear_radius": 348.0, "front_radius": 348.0}
    with pytest.raises(SolveError) as caught:
        solve_frame(wrong)
    members = {c.name for c in caught.value.faults[0].conflict}
    assert members == {"bb_drop", "rear_centre", "front_centre", "wheelbase", "rear_radius", "front_radius"}


def test_a_default_never_makes_a_frame_impossible():
    """A head tube so fat that the land reaches past its other end: drawn, not refused."""
    held = {"head_tube_diameter_top": 70.0, "top_tube_diameter": 60.0}
    solution = solve_frame({**ROAD, "head_tube_length": 60.0}, held)
    assert solution.dimensions["top_tube_at_head"] > 50.0


def test_held_sizes_that_are_given_are_no_defaults():
    solution = solve_frame(ROAD, {"top_tube_diameter": 31.8})
    assert "top_tube_diameter" not in solution.defaults
    assert solution.parameters["top_tube_diameter"] == 31.8


def test_one_wheel_written_alone_sizes_both():
    for written, other in (("front_radius", "rear_radius"), ("rear_radius", "front_radius")):
        solution = solve_frame({**ROAD, written: 340.0})
        assert solution.dimensions[other] == pytest.approx(340.0, abs=1e-9)
        assert other in solution.defaults and written not in solution.defaults


def test_wheels_that_are_not_both_written_stay_alike_whatever_the_numbers_say():
    """A wheelbase that only unlike wheels would close: it is met as nearly as its agreement lets it."""
    whole = solve_frame(ROAD).dimensions
    solution = solve_frame({**ROAD, "wheelbase": whole["wheelbase"] + 0.8})
    assert solution.dimensions["front_radius"] == pytest.approx(solution.dimensions["rear_radius"], abs=1e-9)
    assert max(map(abs, solution.residuals.values())) <= 0.5


def test_a_default_wheel_is_let_go_where_no_frame_has_it():
    """On 24 inch wheels: with the default ones the fork's crown would stand inside the head tube."""
    small = {**ROAD, "rear_radius": 290.0, "bb_drop": 20.0, "axle_to_crown": 340.0}
    truth = solve_frame(small).dimensions
    numbers = {n: v for n, v in small.items() if n not in ("rear_radius", "bb_drop")}
    numbers |= {n: truth[n] for n in ("bb_height", "stack", "reach", "wheelbase", "trail")}
    solution = solve_frame(numbers)
    assert solution.dimensions["rear_radius"] == pytest.approx(290.0, abs=1e-3)
    assert solution.dimensions["lower_stack"] == pytest.approx(12.0, abs=1e-3)
    assert "rear_radius" not in solution.defaults


def test_a_found_stack_keeps_to_what_is_made_and_rounding_is_shared():
    """A stack 0.4 less than a crown race without any lower stack allows."""
    whole = solve_frame({**ROAD, "lower_stack": 0.0})
    numbers = {**ROAD, "stack": whole.dimensions["stack"] - 0.4, "rear_radius": 348.0, "front_radius": 348.0}
    solution = solve_frame(numbers)
    assert solution.dimensions["lower_stack"] == pytest.approx(0.0, abs=1e-4)
    assert -0.4 < solution.residuals["stack"] < 0.0


def test_what_rests_on_a_default_size_says_on_which():
    solution = solve_frame(ROAD)
    assert solution.rests_on["bb_height"] == ("rear_radius",)
    assert solution.rests_on["stack"] == ("lower_stack",)
    assert "wheelbase" not in solution.rests_on and "bb_drop" not in solution.rests_on
    written = solve_frame({**ROAD, "rear_radius": 348.0, "lower_stack": 12.0, "upper_stack": 15.0})
    assert written.rests_on == {}


def test_of_two_frames_as_usual_the_one_nearest_the_defaults_is_taken():
    """The top tube's length has two frames, its slope on either side; none has more that is unusual."""
    whole = solve_frame({**ROAD, "seat_tube_length": 520.0, "top_tube_at_seat": 45.0}).dimensions
    numbers = {**ROAD, **{n: whole[n] for n in ("top_tube_length", "top_tube_at_head", "seat_tube_length")}}
    found = solve_frames(numbers)
    slopes = [abs(s.dimensions["top_tube_slope"]) for s in found]
    assert slopes[0] == min(slopes)


def test_a_tall_frame_is_sloped_where_every_other_number_is_given_outright():
    """Nothing but the seat tube's length then waits for the slope."""
    outright = {
        "bb_drop": 70.0, "rear_centre_horizontal": 425.0, "front_centre_horizontal": 620.0,
        "head_angle": 72.0, "seat_angle": 73.0, "fork_offset": 45.0,
        "fork_length_on_axis": 390.0, "head_tube_length": 200.0,
        "rear_radius": 348.0, "front_radius": 348.0, "lower_stack": 12.0, "upper_stack": 15.0,
        "top_tube_at_head": 35.0, "down_tube_at_head": 35.0, "top_tube_at_seat": 45.0,
    }  # fmt: skip
    frame = solve_frame(outright)
    assert "top_tube_slope" in frame.defaults
    assert frame.dimensions["top_tube_slope"] == pytest.approx(SLOPE_LIMIT)
    level = solve_frame({**outright, "top_tube_slope": 0.0})
    assert frame.dimensions["standover"] < level.dimensions["standover"] - 50.0

"""Every kind of bad input is refused in plain words, with the dimension that causes it."""

from __future__ import annotations

import math
import re

import pytest
from road import ROAD

from layout.errors import Fault, SolveError
from layout.geometry.solver import Agreement, solve_frame, solve_frames

WHEELS = {"rear_radius": 348.0, "front_radius": 348.0}


def faults(numbers: dict, held: dict | None = None, **options) -> tuple[Fault, ...]:
    with pytest.raises(SolveError) as caught:
        solve_frame(numbers, held, **options)
    return caught.value.faults


def fault(numbers: dict, held: dict | None = None, **options) -> Fault:
    (only,) = faults(numbers, held, **options)
    return only


def without(*names: str) -> dict:
    return {n: v for n, v in ROAD.items() if n not in names}


WRONG = {**ROAD, **WHEELS, "wheelbase": 1030.0}
MIRRORED = {**without("bb_drop"), "rear_centre_horizontal": 424.2641}
"""A drop and a rise of 70 are both solutions."""
TIED = {**MIRRORED, "rear_centre": 424.5, "rear_radius": 200.0}

UNBUILDABLE = {
    "seat_tube_length": 401.0,
    "angle_seat_chain": 66.47,
    "top_tube_at_seat": 47.0,
    "rear_centre_horizontal": 375.0,
    "axle_to_crown": 401.5,
    "top_tube_effective": 545.5,
    "head_angle": 68.0,
    "angle_top_head": 93.49,
    "top_tube_length": 507.14,
    "fork_offset": 20.0,
    "rear_radius": 230.0,
    "front_radius": 287.0,
    "lower_stack": 0.0,
    "upper_stack": 0.0,
    "head_tube_length": 96.0,
    "front_centre_horizontal": 540.0,
}


class TestNumbersThatCannotBeUsed:
    def test_a_value_out_of_range_is_told_with_the_range(self):
        found = fault({**ROAD, "head_angle": 17.5})
        assert (found.code, found.key) == ("range", "head_angle")
        assert found.message == "head_angle is 17.5 degrees; expected 45 to 90 degrees."

    def test_all_faults_are_told_at_once(self):
        found = faults({**ROAD, "head_angle": 17.5, "bb_drop": 900.0, "frontcentre": 600.0})
        assert [(f.code, f.key) for f in found] == [
            ("range", "bb_drop"),
            ("range", "head_angle"),
            ("unknown_key", "frontcentre"),
        ]

    @pytest.mark.parametrize(
        "name", ("pedal_to_tyre", "toe_clearance", "pedal_lean_angle", "down_tube_to_tyre")
    )
    def test_a_worst_case_cannot_be_given(self, name):
        found = fault({**ROAD, name: 30.0})
        assert (found.code, found.key) == ("unknown_key", name)
        assert "calculated" in found.message

    @pytest.mark.parametrize("value", (math.nan, math.inf, "72", None, True, 10**400))
    def test_what_is_no_finite_number_is_refused(self, value):
        found = fault({**ROAD, "head_angle": value})
        assert (found.code, found.key) == ("type", "head_angle")
        assert "finite number" in found.message

    def test_an_unknown_part_size_is_refused(self):
        assert fault(ROAD, {"seatpost": 27.2}).code == "unknown_key"

    def test_a_choice_needs_a_dimension_and_a_number(self):
        assert fault(ROAD, choose={"bb_dorp": 70.0}).code == "unknown_key"
        assert fault(ROAD, choose={"bb_drop": math.nan}).code == "type"


class TestTooFew:
    def test_what_is_free_is_listed_likeliest_first(self):
        found = fault(without("front_centre"))
        assert found.code == "insufficient"
        assert found.free == (
            ("front_centre", "reach", "wheelbase", "top_tube_effective", "front_centre_horizontal"),
        )
        assert found.message == (
            "too few numbers: 1 more is needed. Give one of front_centre, reach, wheelbase,"
            " top_tube_effective or front_centre_horizontal."
        )

    def test_two_freedoms_get_a_list_each(self):
        found = fault(without("head_angle", "seat_angle"))
        assert [names[0] for names in found.free] == ["head_angle", "seat_angle"]
        assert not set(found.free[0]) & set(found.free[1])
        assert found.message.startswith("too few numbers: 2 more are needed. Give one of head_angle,")

    def test_one_from_each_list_settles_the_frame(self):
        truth = solve_frame(ROAD)
        numbers = without("head_angle", "seat_angle", "bb_drop", "head_tube_length")
        found = fault(numbers)
        assert len(found.free) == 4
        for first in found.free[0]:
            for last in found.free[3]:
                names = (first, found.free[1][0], found.free[2][0], last)
                solution = solve_frame({**numbers, **{n: truth.dimensions[n] for n in names}})
                assert solution.dimensions["stack"] == pytest.approx(truth.dimensions["stack"], abs=1e-6)

    def test_no_number_at_all_asks_for_the_eight(self):
        assert [names[0] for names in fault({}).free] == [
            "head_angle",
            "seat_angle",
            "bb_drop",
            "rear_centre",
            "front_centre",
            "head_tube_length",
            "axle_to_crown",
            "fork_offset",
        ]

    def test_numbers_that_say_nothing_of_the_frame_do_not_count(self):
        found = fault({**without("seat_angle"), "saddle_height": 720.0, "saddle_setback": 60.0})
        assert found.free[0][0] == "seat_angle"

    def test_an_angle_that_rests_on_a_drop_of_nothing_settles_no_chain_stay(self):
        numbers = {**without("rear_centre"), "bb_drop": 0.0, "angle_seat_chain": 73.5}
        assert fault(numbers).code == "insufficient"


class TestTooMany:
    def test_the_smallest_set_is_named_with_what_each_would_have_to_be(self):
        found = fault(WRONG)
        assert found.code == "contradictory"
        needs = {c.name: c.needs for c in found.conflict}
        assert set(needs) == {"bb_drop", "rear_centre", "front_centre", "wheelbase", *WHEELS}
        for name in ("bb_drop", "rear_centre", "front_centre", "wheelbase"):
            rest = {n: v for n, v in WRONG.items() if n != name}
            assert needs[name] == pytest.approx(solve_frame(rest).dimensions[name], abs=1e-6)
        assert needs["rear_radius"] is needs["front_radius"] is None

    def test_the_likeliest_comes_first_and_the_message_names_three(self):
        found = fault(WRONG)
        assert [c.name for c in found.conflict[:3]] == ["wheelbase", "front_centre", "rear_centre"]
        assert found.key == "wheelbase"
        assert found.message == (
            "these six numbers contradict each other. Check wheelbase: it is 1030.0 mm, the others need"
            " 1024.2 mm. Then front_centre: it is 604.0 mm, the others need 609.8 mm. Then rear_centre: it is"
            " 430.0 mm, the others need 435.7 mm. Correct one or delete it."
        )

    def test_what_nothing_corrects_admits_no_value(self):
        """A wheelbase longer than both centres in line: no drop would do."""
        found = fault({**ROAD, **WHEELS, "wheelbase": 1200.0})
        assert [c.name for c in found.conflict[:2]] == ["wheelbase", "front_centre"]
        assert {"bb_drop", *WHEELS} == {c.name for c in found.conflict if c.needs is None}

    def test_a_given_that_is_never_solved_for_is_named_too(self):
        numbers = {**ROAD, "saddle_setback": 60.0, "saddle_clamp_back": 190.0, "saddle_nose_length": 140.0}
        found = fault(numbers)
        assert {c.name: c.needs for c in found.conflict} == pytest.approx(
            {"saddle_setback": 50.0, "saddle_clamp_back": 200.0, "saddle_nose_length": 130.0}
        )

    def test_numbers_that_fit_only_what_cannot_be_built_contradict(self):
        """A top tube angle 7.7 degrees off, which a frame fits whose top tube misses the head tube."""
        found = faults(UNBUILDABLE)[0]
        needs = {c.name: c.needs for c in found.conflict[:3]}
        assert needs["angle_top_head"] == pytest.approx(85.80, abs=0.05)
        rest = {n: v for n, v in UNBUILDABLE.items() if n != "angle_top_head"}
        assert solve_frame(rest).dimensions["angle_top_head"] == pytest.approx(needs["angle_top_head"])

    def test_numbers_that_agree_on_what_cannot_be_built_make_no_frame(self):
        found = fault({**ROAD, **WHEELS, "axle_to_crown": 300.0, "wheelbase": 1024.194})
        assert (found.code, found.key) == ("no_frame", "axle_to_crown")

    def test_two_contradictions_are_told_apart(self):
        numbers = {**WRONG, "saddle_setback": 60.0, "saddle_clamp_back": 190.0}
        groups = [{c.name for c in f.conflict} for f in faults(numbers)]
        assert {"saddle_setback", "saddle_clamp_back"} in groups
        assert any("wheelbase" in g for g in groups)
        assert not groups[0] & groups[1]

    def test_numbers_so_wrong_that_nothing_solves_them_are_still_named(self):
        numbers = {**ROAD, "rear_centre_horizontal": 440.0, "wheelbase": 1024.19}
        found = fault({**numbers, **WHEELS, "front_centre_horizontal": 599.93})
        assert found.code == "contradictory"
        assert found.conflict[0].name == "rear_centre_horizontal"
        assert found.conflict[0].needs == pytest.approx(math.sqrt(430.0**2 - 70.0**2), abs=0.1)

    def test_numbers_too_few_that_contradict_are_told_both(self):
        numbers = {n: v for n, v in WRONG.items() if n != "head_angle"}
        few, wrong = faults(numbers)
        assert (few.code, wrong.code) == ("insufficient", "contradictory")
        assert wrong.conflict[0].name == "wheelbase"

    def test_wheels_by_their_marking_are_held_and_never_doubted(self):
        found = fault(WRONG, agreement=Agreement(own=dict.fromkeys(WHEELS, 0.0)))
        assert not {c.name for c in found.conflict} & set(WHEELS)

    def test_unlike_wheels_are_offered_where_only_they_would_fit(self):
        """The wheelbase typed 10 mm too long, no wheels written: they are not blamed, but offered."""
        numbers = {
            "stack": 544.0, "reach": 388.0, "head_angle": 72.4, "seat_angle": 74.8, "bb_drop": 70.0,
            "rear_centre": 419.0, "axle_to_crown": 374.0, "fork_offset": 48.0, "wheelbase": 1011.0,
        }  # fmt: skip
        found = fault(numbers)
        assert found.conflict[0].name == "wheelbase"
        assert found.conflict[0].needs == pytest.approx(1001.0, abs=1.0)
        assert set(numbers) >= {c.name for c in found.conflict}
        wheels = r"Or write wheels: a front wheel [\d.]+ mm smaller than the rear fits\.$"
        assert re.search(wheels, found.message)

    def test_a_steerer_shorter_than_its_head_tube_is_refused(self):
        cockpit = {"steerer_length": 120.0, "spacers": 10.0, "stem_length": 100.0, "stem_angle": 0.0}
        found = fault({**ROAD, **cockpit})
        assert found.conflict[0].name == "steerer_length"
        assert found.conflict[0].needs == pytest.approx(140.0 + 12.0 + 15.0 + 10.0 + 40.0, abs=1e-3)

    def test_two_exchanged_numbers_are_named_together(self):
        truth = solve_frame({**ROAD, **WHEELS}).dimensions
        names = ("stack", "reach", "wheelbase", "top_tube_effective", "trail", "bb_height")
        numbers = {**ROAD, **WHEELS, **{n: truth[n] for n in names}, "lower_stack": 12.0}
        numbers["head_angle"], numbers["seat_angle"] = numbers["seat_angle"], numbers["head_angle"]
        found = fault(numbers)
        assert {c.name for c in found.conflict[:2]} == {"head_angle", "seat_angle"}
        assert {c.name: c.needs for c in found.conflict[:2]} == pytest.approx(
            {"head_angle": 71.5, "seat_angle": 73.5}, abs=1e-4
        )
        assert "Two of them are wrong" in found.message


class TestTwoFrames:
    def test_the_more_usual_is_taken_and_the_other_listed(self):
        solution = solve_frame(MIRRORED)
        assert solution.dimensions["bb_drop"] == pytest.approx(70.0, abs=1e-3)
        warning = next(w for w in solution.warnings if w.code == "second_frame")
        assert "bb_drop -70.0 mm (here 70.0 mm)" in warning.message

    def test_the_one_chosen_is_taken(self):
        solution = solve_frame(MIRRORED, choose={"bb_drop": -50.0})
        assert solution.dimensions["bb_drop"] == pytest.approx(-70.0, abs=1e-3)
        solution = solve_frame(MIRRORED, choose={"bb_height": 300.0})
        assert solution.dimensions["bb_drop"] == pytest.approx(70.0, abs=1e-3)

    def test_frames_equally_usual_are_ambiguous(self):
        """A drop of 14 and a rise of 14 are as odd as each other on small wheels."""
        found = fault(TIED)
        assert found.code == "ambiguous"
        assert "two frames fit these numbers equally well." in found.message
        assert "choose" in found.message
        chosen = solve_frame(TIED, choose={"bb_drop": 20.0})
        assert chosen.dimensions["bb_drop"] == pytest.approx(14.15, abs=0.01)

    def test_a_choice_of_what_is_not_known_is_refused(self):
        found = fault(MIRRORED, choose={"saddle_height": 700.0})
        assert (found.code, found.key) == ("insufficient", "saddle_height")


class TestNoFrame:
    def test_a_front_centre_shorter_than_its_horizontal(self):
        found = fault({**ROAD, "front_centre_horizontal": 640.0})
        assert (found.code, found.key) == ("contradictory", "front_centre")
        assert "front_centre: it is 604.0 mm, the others need 644.0 mm (one digit?)" in found.message

    def test_a_rear_centre_shorter_than_its_horizontal(self):
        numbers = {**without("bb_drop"), "rear_centre_horizontal": 450.0}
        found = fault(numbers)
        assert found.code == "no_frame"
        assert {c.name for c in found.conflict} == {"rear_centre", "rear_centre_horizontal"}

    def test_a_head_tube_through_the_wheel(self):
        found = fault({**ROAD, "axle_to_crown": 300.0})
        assert (found.code, found.key) == ("no_frame", "axle_to_crown")
        assert "would pass through the front wheel" in found.message
        assert found.message.endswith("Or write wheels: 37-622 is only a default.")
        assert solve_frame({**ROAD, "axle_to_crown": round(found.conflict[0].needs, 1)})

    def test_a_crown_inside_the_head_tube(self):
        whole = solve_frame(ROAD).dimensions
        found = fault({**ROAD, **WHEELS, "stack": whole["stack"] - 40.0})
        assert found.code == "no_frame"
        assert "lower_stack would have to be -30" in found.message

    def test_a_top_tube_that_misses_the_head_tube(self):
        found = fault({**ROAD, "seat_tube_length": 540.0, "top_tube_at_head": 180.0})
        assert found.code == "no_frame"
        assert {c.name for c in found.conflict} == {"top_tube_at_head", "head_tube_length"}
        assert "would miss the head tube" in found.message

    def test_a_seat_tube_that_takes_the_top_tube_past_the_head_tube(self):
        numbers = {**ROAD, "seat_tube_length": 700.0, "top_tube_slope": 5.0, "top_tube_at_seat": 40.0}
        found = fault(numbers)
        assert found.code == "no_frame"
        assert "beyond the head tube's top end" in found.message

    def test_a_down_tube_that_misses_the_head_tube(self):
        found = fault({**ROAD, "down_tube_at_head": 160.0})
        assert found.code == "no_frame"
        assert {c.name for c in found.conflict} == {"down_tube_at_head", "head_tube_length"}

    @pytest.mark.parametrize(
        "numbers",
        [
            {**ROAD, "axle_to_crown": 300.0},
            {**ROAD, **WHEELS, "stack": 500.0},
            {**ROAD, "seat_tube_length": 700.0, "top_tube_slope": 5.0, "top_tube_at_seat": 40.0},
            {**ROAD, "down_tube_at_head": 160.0},
            {**without("head_angle"), **WHEELS, "trail": 330.0},
            {**ROAD, **WHEELS, "stack": 545.0},
        ],
    )
    def test_whatever_is_advised_gives_a_frame_as_it_is_typed(self, numbers: dict):
        found = fault(numbers)
        assert found.code == "no_frame"
        advised = re.findall(r"(\w+): it is [-\d.]+ \w+, the others need (-?\d+\.\d+)", found.message)
        assert advised and advised[0][0] == found.key
        for name, value in advised:
            assert solve_frame({**numbers, name: float(value)}), name

    def test_an_angle_that_the_numbers_drive_out_of_range_names_the_number(self):
        whole = solve_frame(ROAD)
        numbers = without("head_angle")
        numbers["trail"] = whole.dimensions["trail"]
        assert solve_frame(numbers).dimensions["head_angle"] == pytest.approx(71.5)
        found = fault({**numbers, **WHEELS, "trail": 330.0})
        assert found.code == "no_frame"
        assert "trail" in {c.name for c in found.conflict}

    def test_lengths_that_do_not_meet_are_told_with_what_they_need(self):
        whole = solve_frame(ROAD)
        numbers = without("head_angle", "fork_offset")
        numbers |= {n: whole.dimensions[n] for n in ("trail", "top_tube_effective")}
        found = fault({**numbers, **WHEELS, "trail": 300.0})
        assert found.code == "no_frame"
        assert "trail" in {c.name for c in found.conflict}
        first = found.conflict[0]
        assert solve_frame({**numbers, **WHEELS, "trail": 300.0, first.name: round(first.needs, 1)})


def test_frames_that_nothing_tells_apart_are_one():
    """Two roots a hundredth of a millimetre apart, at a rear centre that is all but level."""
    numbers = {**without("bb_drop"), "rear_centre_horizontal": 430.0 - 1e-10}
    found = solve_frames(numbers)
    assert len(found) > 1
    assert "second_frame" not in [w.code for w in solve_frame(numbers).warnings]

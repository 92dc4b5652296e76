"""Frames computed forwards come back when solved from the sets a builder is given."""

from __future__ import annotations

import random

import pytest

from layout.errors import SolveError
from layout.geometry.solver import solve_frame, solve_frames

CENTRES_AND_ANGLES = (
    "bb_drop rear_centre front_centre head_angle seat_angle head_tube_length axle_to_crown fork_offset"
).split()
STACK_AND_REACH = "stack reach head_angle seat_angle bb_drop rear_centre axle_to_crown fork_offset".split()
WHEELBASE_AND_TRAIL = (
    "wheelbase trail top_tube_effective seat_angle bb_drop rear_centre head_tube_length axle_to_crown"
).split()
PARTS = ["lower_stack", "rear_radius", "front_radius"]
SETS = {
    "centres_and_angles": CENTRES_AND_ANGLES,
    "stack_and_reach": STACK_AND_REACH,
    "wheelbase_and_trail": WHEELBASE_AND_TRAIL,
    "length_on_axis": [n.replace("axle_to_crown", "fork_length_on_axis") for n in CENTRES_AND_ANGLES],
}


@pytest.mark.parametrize("names", SETS.values(), ids=SETS)
def test_a_frame_computed_forwards_is_found_again(names, make_frame, derive):
    rng = random.Random(20)
    for _ in range(25):
        frame = make_frame(rng)
        truth = derive(frame)
        given = {n: truth[n] for n in [*names, *PARTS]}
        found = solve_frames(given)
        settled = ("stack", "reach", "wheelbase", "trail", "front_centre", "top_tube_effective")
        off = [max(abs(s.dimensions[n] - truth[n]) for n in settled) for s in found]
        assert min(off) < 1e-6
        for solution in found:
            assert all(abs(solution.dimensions[n] - v) < 1e-9 for n, v in given.items())


def test_eight_numbers_draw_a_frame():
    values = (70, 430, 604, 71.5, 73.5, 140, 395, 45)
    solution = solve_frame(dict(zip(CENTRES_AND_ANGLES, values, strict=True)))
    assert solution.defaults["rear_radius"] == 348.0
    assert solution.defaults["lower_stack"] == 12.0
    assert solution.dimensions["standover"] == pytest.approx(800.0, abs=1e-9)
    assert "seat_tube_assumed" in [w.code for w in solution.warnings]


def test_too_few_numbers_are_refused():
    with pytest.raises(SolveError) as caught:
        solve_frame({"bb_drop": 70.0, "head_angle": 72.0})
    assert caught.value.faults[0].code == "insufficient"

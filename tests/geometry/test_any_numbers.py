"""Whatever numbers are given: a frame that can be built, or a fault in our own words.

Some thirty sets in the suite; 3,000 with WHOLE_STUDIES=1 pytest tests/geometry/test_any_numbers.py
"""

from __future__ import annotations

import random

import pytest
from road import ROAD
from studies import WHOLE

from layout.errors import SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import solve_frame

CASES = 3000 if WHOLE else 30
GIVEN = tuple(n for n, d in REGISTRY.items() if not d.asked_only and not d.is_input)
NEVER_NEGATIVE = (
    *("seat_tube_length", "seat_tube_cc", "top_tube_length", "down_tube_length", "head_tube_length"),
    *("rear_centre", "front_centre", "wheelbase", "stem_length", "spacers", "steerer_length"),
    *("fork_length_on_axis", "axle_to_crown", "standover", "saddle_height"),
)
ROUNDING = 1e-6


def numbers(rng: random.Random) -> dict[str, float]:
    """A road frame without one or two of its numbers, and one to three others, its own or others."""
    whole = solve_frame(ROAD).dimensions
    out = dict(ROAD)
    for name in rng.sample(sorted(out), rng.choice((1, 2))):
        del out[name]
    for name in rng.sample(GIVEN, rng.choice((1, 2, 3))):
        own, possible = whole[name], REGISTRY[name].possible
        low, high = rng.choice(((own, own), REGISTRY[name].usual, possible)) or possible
        out[name] = round(rng.uniform(low, high), 1) if low is not None else possible[0]
    return out


def test_any_numbers_end_in_a_frame_or_in_faults():
    """A forgotten rear_centre among numbers that say something twice ended in a traceback."""
    frames, refused = 0, 0
    for seed in range(CASES):
        given = numbers(random.Random(f"numbers {seed}"))
        try:
            frame = solve_frame(given)
        except SolveError as e:
            refused += 1
            assert all(f.message and f.code for f in e.faults), (seed, given)
            continue
        frames += 1
        if "top_tube_slope" not in frame.defaults:
            found = {n: frame.dimensions[n] for n in NEVER_NEGATIVE}
            assert not [n for n, v in found.items() if v is not None and v < -ROUNDING], (seed, given)
    assert frames and refused


@pytest.mark.parametrize("twice", ["stack", "reach", "trail", "bb_height"])
def test_a_forgotten_number_is_asked_for_where_others_say_a_thing_twice(twice: str):
    """Without rear_centre, and with a number more than enough at the front, there was a traceback."""
    whole = solve_frame({**ROAD, "lower_stack": 12.0}).dimensions
    given = {n: v for n, v in ROAD.items() if n != "rear_centre"} | {"lower_stack": 12.0}
    given |= {n: whole[n] for n in ("front_radius", "rear_radius", "stack", "reach", twice)}
    with pytest.raises(SolveError) as caught:
        solve_frame(given)
    (fault,) = caught.value.faults
    assert fault.code == "insufficient" and "rear_centre" in fault.message


@pytest.mark.parametrize(
    ("given", "key", "reason"),
    [
        ({"standover": 300.0}, "standover", "mm below the bottom bracket"),
        ({"top_tube_slope": 60.0}, "top_tube_slope", "mm below the bottom bracket"),
        ({"steerer_length": 178.0}, "steerer_length", "spacers would have to be -"),
        ({"bar_x": 310.0, "bar_y": 650.0, "stem_angle": 10.0}, "bar_x", "stem_length would have to be -"),
    ],
)
def test_no_length_is_found_that_is_less_than_nothing(given: dict[str, float], key: str, reason: str):
    """A seat tube of -25 mm was drawn, with a warning that it is not usual."""
    with pytest.raises(SolveError) as caught:
        solve_frame({**ROAD, **given})
    (fault,) = caught.value.faults
    assert (fault.code, fault.key) == ("no_frame", key)
    assert reason in fault.message and f"Check {key}: it is" in fault.message


def test_a_default_slope_refuses_no_frame():
    """A level top tube that nobody asked for, from the foot of a long head tube, runs below the shell."""
    low = {"bb_drop": -160.0, "rear_centre": 430.0, "front_centre": 700.0, "seat_angle": 73.0}
    low |= {"head_angle": 55.0, "fork_offset": 0.0, "axle_to_crown": 180.0, "rear_radius": 150.0}
    frame = solve_frame({**low, "head_tube_length": 330.0, "top_tube_at_head": 329.5})
    assert "top_tube_slope" in frame.defaults
    assert (frame.dimensions["seat_tube_cc"] or 0.0) < 0.0
    assert any("seat_tube_cc" in w.message for w in frame.warnings)


def test_a_limit_that_a_good_fit_breaks_is_no_small_error():
    """It said that the worst number is off by 0.0 mm."""
    with pytest.raises(SolveError) as caught:
        solve_frame({**ROAD, "steerer_length": 178.0})
    assert "small errors" not in caught.value.faults[0].message

"""The fewest shims, against trying every step with every subset of the shims."""

from __future__ import annotations

import math
import random
import time
import tracemalloc
from itertools import combinations

import pytest

from layout.geometry.shims import REACHED, Steps, stack

SLACK = 1e-9


def brute(value: float, steps: list[float], shims: list[float], side: int) -> tuple[bool, int, float]:
    """Whether a stack comes within REACHED, its pieces and its error; the error first where none does."""
    made = [
        (count, abs(step + side * math.fsum(taken) - value))
        for step in steps
        for count in range(len(shims) + 1)
        for taken in combinations(shims, count)
    ]
    near = [m for m in made if m[1] <= REACHED + SLACK]
    if near:
        pieces, error = min(near, key=lambda m: (m[0], round(m[1], 9)))
        return True, pieces, error
    pieces, error = min(made, key=lambda m: (round(m[1], 9), m[0]))
    return False, pieces, error


def test_stacks_agree_with_trying_every_subset() -> None:
    draw = random.Random(7)
    reached = missed = most = 0
    for _ in range(1500):
        pitch = draw.choice([2.0, 5.0, 7.5, 10.0, 12.7, 25.0])
        grain = draw.choice([0.05, 0.1, 0.25, 0.5, 0.127])
        shims = [round(grain * draw.randint(1, 60), 3) for _ in range(draw.randint(0, 7))]
        origin, side = draw.choice([0.0, 3.0, -1.3]), draw.choice([1, -1])
        first = draw.randint(-3, 8)
        last = first + draw.randint(0, 6)
        steps = Steps(pitch, origin, origin + first * pitch, origin + last * pitch)
        value = round(draw.uniform(steps.low - 2.0, steps.high + 9.0), draw.choice([0, 1, 2]))
        found = stack(value, steps, shims, side)
        assert found is not None
        near, pieces, error = brute(value, [steps.at(k) for k in range(first, last + 1)], shims, side)
        assert found.reached == near
        assert len(found.shims) == pieces
        assert abs(found.error) == pytest.approx(error, abs=1e-9)
        made = found.step + side * math.fsum(found.shims)
        assert found.error == pytest.approx(made - value, abs=1e-9)
        left = list(shims)
        for shim in found.shims:
            left.remove(shim)
        reached, missed, most = reached + near, missed + (not near), max(most, pieces)
    print(f"shims: {reached} stacks reached the value, {missed} took the nearest; at most {most} pieces")
    assert reached > 300 and missed > 300 and most >= 4


def test_a_greedy_choice_would_take_more_pieces() -> None:
    """6 from 4, 3, 3, 1, 1: the thickest first needs three pieces, two of 3 do."""
    found = stack(46.0, Steps(40.0, 0.0, 40.0, 40.0), [4.0, 3.0, 3.0, 1.0, 1.0])
    assert found is not None
    assert (found.step, found.shims, found.error) == (40.0, (3.0, 3.0), 0.0)


def test_a_shim_is_used_once() -> None:
    found = stack(52.0, Steps(50.0, 0.0, 50.0, 50.0), [1.0])
    assert found is not None
    assert found.shims == (1.0,)
    assert found.error == -1.0
    assert not found.reached


def test_shims_that_lower_are_taken_from_the_step_above() -> None:
    found = stack(72.0, Steps(5.0, 0.0, 40.0, 90.0), [0.5, 1.0, 2.0], side=-1)
    assert found is not None
    assert (found.step, found.shims, found.error) == (75.0, (2.0, 1.0), 0.0)


@pytest.mark.parametrize(
    ("value", "step"), [(72.0, 70.0), (73.0, 75.0), (200.0, 90.0), (-50.0, 40.0)]
)
def test_without_shims_the_nearest_step_within_the_range_is_taken(value: float, step: float) -> None:
    found = stack(value, Steps(5.0, 0.0, 40.0, 90.0), [])
    assert found is not None
    assert found.step == step
    assert found.error == step - value


def test_an_open_range_takes_a_far_step_where_that_saves_a_piece() -> None:
    found = stack(52.3, Steps(10.0), [1.15, 1.15, 12.3])
    assert found is not None
    assert (found.step, found.shims) == (40.0, (12.3,))


def test_a_range_between_two_steps_has_no_stack() -> None:
    assert stack(42.0, Steps(10.0, 0.0, 41.0, 44.0), [1.0]) is None


def test_many_odd_shims_are_still_quick_and_exact() -> None:
    """Forty pieces that share no unit but the micrometre: 2**40 subsets, none of them tried."""
    draw = random.Random(3)
    shims = [round(draw.uniform(0.1, 9.0), 3) for _ in range(40)]
    wanted = round(math.fsum(sorted(shims)[:5]), 3)
    found = stack(100.0 + wanted, Steps(200.0, 100.0, 100.0, 100.0), shims)
    assert found is not None
    assert found.reached
    assert len(found.shims) <= 3


def test_in_an_open_range_too_stacks_agree_with_trying_every_subset() -> None:
    draw = random.Random(11)
    for _ in range(300):
        pitch = draw.choice([2.0, 7.5, 12.7])
        count = draw.randint(0, 6)
        shims = [round(draw.choice([0.05, 0.127, 3.0]) * draw.randint(1, 60), 3) for _ in range(count)]
        origin, side = draw.choice([0.0, -1.3]), draw.choice([1, -1])
        value = round(draw.uniform(-9.0, 60.0), 2)
        found = stack(value, Steps(pitch, origin), shims, side)
        assert found is not None
        reach = math.ceil((60.0 + math.fsum(shims)) / pitch) + 2
        near, pieces, error = brute(value, [origin + k * pitch for k in range(-reach, reach)], shims, side)
        assert (found.reached, len(found.shims)) == (near, pieces)
        assert abs(found.error) == pytest.approx(error, abs=1e-9)


def test_forty_thick_shims_in_an_open_range_take_little_room_and_time() -> None:
    """3.8 m of shims, told apart by micrometres: every sum had its place, 240 MB of them."""
    draw = random.Random(5)
    shims = [round(draw.uniform(90.0, 100.0), 3) for _ in range(40)]
    begun = time.process_time()
    tracemalloc.start()
    found = stack(612.345, Steps(200.0, 10.0), shims)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert found is not None and found.reached and most < 30e6
    assert time.process_time() - begun < 1.0

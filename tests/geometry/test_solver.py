"""Frames computed forwards come back when solved from the sets a builder is given."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import dimensions_of, sane_frame

from layout.geometry.plane import Plane
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
    "centres and angles": CENTRES_AND_ANGLES,
    "stack and reach": STACK_AND_REACH,
    "wheelbase and trail": WHEELBASE_AND_TRAIL,
    "length on axis": [n.replace("axle_to_crown", "fork_length_on_axis") for n in CENTRES_AND_ANGLES],
}
POINTS = """
bb rear_axle front_axle fork_foot crown_race head_tube_bottom head_tube_top seat_tube_foot seat_tube_top
top_tube_at_head top_tube_at_seat down_tube_at_head down_tube_at_bb rear_contact front_contact
""".split()
ROAD = dict(zip(CENTRES_AND_ANGLES, (70.0, 430.0, 604.0, 71.5, 73.5, 140.0, 395.0, 45.0), strict=True))


@pytest.mark.parametrize("names", SETS.values(), ids=SETS)
def test_a_frame_computed_forwards_is_found_again(names):
    rng = random.Random(20)
    for _ in range(25):
        truth = dimensions_of(sane_frame(rng))
        given = {n: truth[n] for n in [*names, *PARTS]}
        found = solve_frames(given)
        settled = ("stack", "reach", "wheelbase", "trail", "front_centre", "top_tube_effective")
        assert min(max(abs(s.dimensions[n] - truth[n]) for n in settled) for s in found) < 1e-6
        for solution in found:
            assert all(abs(solution.dimensions[n] - v) < 1e-9 for n, v in given.items())


@pytest.mark.parametrize("names", (CENTRES_AND_ANGLES, STACK_AND_REACH, WHEELBASE_AND_TRAIL))
def test_eight_numbers_draw_a_frame(names):
    whole = solve_frame(ROAD)
    assert len(names) == 8
    again = solve_frame({n: whole.dimensions[n] for n in names})
    for name, value in whole.dimensions.items():
        assert again.dimensions[name] == (None if value is None else pytest.approx(value, abs=1e-8)), name


def test_a_solution_has_every_point_in_plain_numbers():
    solution = solve_frame(ROAD)
    assert sorted(solution.points) == sorted(POINTS)
    numbers = [*solution.dimensions.values(), *solution.parameters.values(), *solution.defaults.values()]
    numbers += [v for p in solution.points.values() for v in p]
    assert {type(v) for v in numbers} == {float, type(None)}


def test_points_and_dimensions_are_of_one_frame():
    s = solve_frame(ROAD)
    assert s.points["head_tube_top"] == (s.dimensions["reach"], s.dimensions["stack"])
    assert s.points["rear_contact"][1] == -s.dimensions["bb_height"]
    plane = Plane(s.parameters)
    assert s.points["top_tube_at_seat"] == pytest.approx(plane.top_tube_seat)


def test_the_same_numbers_always_give_the_same_frame():
    first, again = solve_frame(ROAD), solve_frame(dict(reversed(ROAD.items())))
    assert again.dimensions == first.dimensions
    assert solve_frame(ROAD) == first


def test_solving_a_solution_changes_nothing():
    rng = random.Random(5)
    for _ in range(10):
        truth = dimensions_of(sane_frame(rng))
        first = solve_frame({n: truth[n] for n in [*CENTRES_AND_ANGLES, *PARTS]})
        again = solve_frame({n: first.dimensions[n] for n in [*CENTRES_AND_ANGLES, *PARTS]})
        assert again.points["head_tube_top"] == pytest.approx(first.points["head_tube_top"], abs=1e-9)


def test_the_solver_imports_nothing_but_numpy():
    code = (
        "import sys, layout.geometry.solver; print(' '.join(sorted({m.split('.')[0] for m in sys.modules})))"
    )
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    foreign = {m for m in loaded.stdout.split() if m not in sys.stdlib_module_names and not m.startswith("_")}
    assert foreign - {"numpy", "layout", "sitecustomize"} == set()

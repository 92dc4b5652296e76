"""The tolerance table against thousands of perturbed frames, and against single changes."""

from __future__ import annotations

import numpy as np
import pytest
import road

from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import solve_frame
from layout.geometry.tolerance import GAUGE, STOP, tolerances

ROAD = {**road.ROAD, "seat_tube_offset": 8.0, "crank_length": 172.5}
FOUND = {n: v for n, v in ROAD.items() if n not in ("head_angle", "fork_offset", "front_centre")}
FOUND |= {"wheelbase": 1024.0, "trail": 62.0, "top_tube_effective": 546.0, "seat_tube_length": 540.0}
COUNT = 2_000
STATISTICAL = 4.0 / np.sqrt(2 * COUNT)
"""A standard deviation of so many frames is itself known to 1.6 %, one sigma; four of these."""
CURVED = 0.01
"""What the curvature of the dimensions may add to a straight line's answer, as a share."""


@pytest.mark.parametrize("numbers", (ROAD, FOUND), ids=("set by angles", "angles found"))
def test_spreads_are_those_of_thousands_of_frames(numbers):
    """Both the spread of each dimension, and each frame's own answer, which no chance blurs."""
    table = tolerances(numbers)
    rng = np.random.default_rng(6)
    offs = {n: rng.normal(0.0, table.errors[n], COUNT) for n in numbers}
    frames = [solve_frame({n: v + offs[n][i] for n, v in numbers.items()}).dimensions for i in range(COUNT)]
    for name, sigma in table.combined.items():
        found = np.array([f[name] for f in frames])
        straight = sum(table.effects[n][name] * offs[n] / table.errors[n] for n in numbers)
        assert float(np.std(found)) == pytest.approx(sigma, rel=STATISTICAL + CURVED, abs=1e-9), name
        assert float(np.std(found - straight)) <= 2.0 * CURVED * sigma + 1e-9, name


def test_an_effect_is_the_change_of_the_dimension():
    table = tolerances(ROAD)
    for given in ROAD:
        step = 1e-4 * table.errors[given]
        high = solve_frame({**ROAD, given: ROAD[given] + step}).dimensions
        low = solve_frame({**ROAD, given: ROAD[given] - step}).dimensions
        for name, effect in table.effects[given].items():
            assert effect == pytest.approx((high[name] - low[name]) / 2e-4, abs=1e-4), (given, name)


def test_errors_are_common_practice_unless_given():
    table = tolerances(ROAD)
    assert table.errors["front_centre"] == STOP == 0.5
    assert table.errors["head_angle"] == GAUGE == 0.15
    own = tolerances(ROAD, stop=0.2, gauge=0.1, errors={"bb_drop": 1.0})
    assert (own.errors["bb_drop"], own.errors["rear_centre"], own.errors["seat_angle"]) == (1.0, 0.2, 0.1)


def test_every_known_dimension_is_in_every_row():
    table = tolerances(ROAD)
    known = {n for n, v in solve_frame(ROAD).dimensions.items() if v is not None}
    assert set(table.effects) == set(ROAD)
    assert all(set(row) == known for row in table.effects.values())
    assert set(table.combined) == known


def test_a_given_moves_by_its_own_error_alone():
    table = tolerances(ROAD)
    for name in ROAD:
        assert table.effects[name][name] == pytest.approx(table.errors[name], abs=1e-12)
        assert table.combined[name] == pytest.approx(table.errors[name], abs=1e-12)


def test_numbers_too_many_share_their_errors():
    """A number told twice by others is steadier than told once: the fit averages."""
    exact = solve_frame(ROAD).dimensions
    more = {**ROAD, "rear_radius": 348.0, "front_radius": 348.0, "wheelbase": exact["wheelbase"]}
    table = tolerances(more)
    assert table.combined["wheelbase"] < 0.95 * table.errors["wheelbase"]
    step = 1e-3
    moved = solve_frame({**more, "wheelbase": more["wheelbase"] + step}).dimensions
    slope = (moved["front_centre"] - solve_frame(more).dimensions["front_centre"]) / step
    assert table.effects["wheelbase"]["front_centre"] == pytest.approx(slope * STOP, abs=1e-5)


def test_a_lone_saddle_height_moves_only_itself():
    table = tolerances({**ROAD, "saddle_height": 720.0})
    assert all(v == 0.0 for v in table.effects["saddle_height"].values())
    assert set(table.combined) <= set(REGISTRY)

"""Least squares within bounds: hand-made cases, and the conditions that only the least can meet.

Conditions of W. Karush (1939), H. W. Kuhn and A. W. Tucker (1951), from memory.
"""

from __future__ import annotations

import numpy as np
import pytest

from layout.geometry.bounded import least_squares_within, positive_least_squares

POINT = np.eye(2), np.array([3.0, 4.0])


def test_the_nearest_point_of_a_half_plane() -> None:
    x = least_squares_within(*POINT, np.array([[-1.0, 0.0]]), np.array([-1.0]))
    assert x == pytest.approx([1.0, 4.0])


def test_bounds_that_do_not_press_change_nothing() -> None:
    x = least_squares_within(*POINT, np.array([[-1.0, 0.0]]), np.array([-9.0]))
    assert x == pytest.approx([3.0, 4.0])


def test_bounds_that_shut_each_other_out_have_no_answer() -> None:
    g, h = np.array([[1.0, 0.0], [-1.0, 0.0]]), np.array([2.0, -1.0])
    assert least_squares_within(np.eye(2), np.zeros(2), g, h) is None


@pytest.mark.parametrize("seed", range(40))
def test_the_answer_meets_the_conditions_of_the_least(seed: int) -> None:
    rng = np.random.default_rng(seed)
    e, f = rng.normal(size=(20, 8)), 5.0 * rng.normal(size=20)
    wide = rng.uniform(6.0, 9.0)
    g, h = np.vstack([e[:10], -e[:10]]), np.concatenate([f[:10] - wide, -f[:10] - wide])
    x = least_squares_within(e, f, g, h)
    room = g @ x - h
    assert room.min() > -1e-9
    pressing = room < 1e-9
    pull = e.T @ (e @ x - f)
    shares = np.linalg.lstsq(g[pressing].T, pull, rcond=None)[0]
    assert g[pressing].T @ shares == pytest.approx(pull, abs=1e-8)
    assert np.all(shares > -1e-9)


def test_positive_least_squares_of_a_wall() -> None:
    a = np.array([[1.0, 1.0], [0.0, 1.0]])
    assert positive_least_squares(a, np.array([1.0, -1.0])) == pytest.approx([1.0, 0.0])

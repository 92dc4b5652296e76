"""Curves as arcs: never further off than asked, tangent where the curve is, corners kept."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.plates.arcs import biarc, fit_arcs, off
from layout.geometry.plates.contour import ContourPiece

WITHIN = 0.01


def kinks(pieces: list[ContourPiece]) -> list[float]:
    return [
        abs(math.remainder(b.direction(0.0) - a.direction(1.0), 2 * math.pi)) for a, b in pairwise(pieces)
    ]


def test_an_arc_is_found_as_an_arc() -> None:
    a = np.linspace(0.3, 2.0, 400)
    pieces = fit_arcs(np.stack([20 * np.cos(a), 20 * np.sin(a)], axis=1), WITHIN)
    assert len(pieces) == 2
    assert [p.radius for p in pieces] == pytest.approx([20.0, 20.0], rel=1e-4)


def test_a_line_stays_a_line() -> None:
    t = np.linspace(0.0, 50.0, 100)
    assert all(p.bulge == 0.0 for p in fit_arcs(np.stack([t, 2 * t], axis=1), WITHIN))


@given(st.floats(5.0, 40.0), st.floats(5.0, 40.0))
def test_an_ellipse_is_within_the_bound(width: float, height: float) -> None:
    """Checked on points between the samples the arcs were fitted to."""
    a = np.linspace(0.1, 3.0, 1001)
    curve = np.stack([width * np.cos(a), height * np.sin(a)], axis=1)
    pieces = fit_arcs(curve[::2], WITHIN)
    assert off(curve, pieces) <= WITHIN + 1e-4
    assert max(kinks(pieces), default=0.0) < 1e-4
    assert pieces[0].start == pytest.approx(curve[0])
    assert pieces[-1].end == pytest.approx(curve[-1])


def test_a_finer_bound_takes_more_arcs() -> None:
    a = np.linspace(0.1, 3.0, 2001)
    curve = np.stack([30 * np.cos(a), 12 * np.sin(a)], axis=1)
    counts = [len(fit_arcs(curve, within)) for within in (0.1, 0.01, 0.001)]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1] < 60


def test_a_corner_stays_a_corner() -> None:
    t = np.linspace(-1.0, 1.0, 801)
    curve = np.stack([10 * np.abs(t), 10 * t], axis=1)
    pieces = fit_arcs(curve, WITHIN)
    assert any(math.dist(p.end, (0.0, 0.0)) < 1e-9 for p in pieces)
    assert max(kinks(pieces)) == pytest.approx(math.pi / 2)


def test_a_biarc_starts_and_ends_as_asked() -> None:
    pieces = biarc((0.0, 0.0), 0.4, (10.0, 1.0), -0.7)
    assert pieces[0].direction(0.0) == pytest.approx(0.4)
    assert pieces[-1].direction(1.0) == pytest.approx(-0.7)
    assert pieces[0].direction(1.0) == pytest.approx(pieces[1].direction(0.0))
    assert biarc((0.0, 0.0), math.pi, (1.0, 0.0), math.pi) == []


def test_too_little_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        fit_arcs(np.zeros((1, 2)), WITHIN)

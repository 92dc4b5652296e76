"""Strokes as straight runs: chords, dashes and cutting, against hand cases and shapely."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from shapely.geometry import LineString, box

from layout.drafting.rect import Rect
from layout.drafting.style import Pattern, Pen
from layout.writers.polylines import chords, clip_run, dash_run


@pytest.mark.parametrize("radius", [0.3, 2.5, 20.0, 350.0, 2000.0])
@pytest.mark.parametrize(("start", "end"), [(0.0, 360.0), (10.0, 11.0), (-30.0, 200.0)])
def test_chords_leave_their_arc_by_no_more_than_asked(radius: float, start: float, end: float):
    run = chords((3.0, -4.0), radius, start, end, 0.005)
    for p in run:
        assert math.dist(p, (3.0, -4.0)) == pytest.approx(radius)
    for a, b in pairwise(run):
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert radius - math.dist(middle, (3.0, -4.0)) <= 0.005 + 1e-12
    assert math.degrees(math.atan2(run[0][1] + 4.0, run[0][0] - 3.0)) == pytest.approx(
        math.remainder(start, 360.0), abs=1e-6
    )


def test_a_small_circle_stays_round():
    assert len(chords((0.0, 0.0), 0.01, 0.0, 360.0, 0.005)) >= 5


def test_dashes_begin_with_a_mark_and_end_where_the_line_does():
    pen = Pen(0.25, Pattern.CHAIN)
    marks = list(dash_run([(0.0, 0.0), (20.0, 0.0)], pen.dashes))
    # ISO 128-2, from memory: 24d, 3d, 0.5d, 3d with d = 0.25.
    expected = [(0.0, 6.0), (6.75, 6.875), (7.625, 13.625), (14.375, 14.5), (15.25, 20.0)]
    assert [(m[0][0], m[-1][0]) for m in marks] == [pytest.approx(e) for e in expected]


def test_dashes_run_on_round_corners():
    marks = list(dash_run([(0.0, 0.0), (3.0, 0.0), (3.0, 9.0)], (5.0, 1.0)))
    assert marks == [((0.0, 0.0), (3.0, 0.0), (3.0, 2.0)), ((3.0, 3.0), (3.0, 8.0))]


@pytest.mark.parametrize("seed", range(20))
def test_marks_and_gaps_add_up(seed: int):
    """Whole cycles, and of the last one what there is room for: up to 6 of its mark, then of its dot."""
    r = random.Random(seed)
    run = [(r.uniform(0, 400), r.uniform(0, 400)) for _ in range(9)]
    marks = list(dash_run(run, (6.0, 1.5, 0.5, 1.5)))
    cycles, rest = divmod(LineString(run).length, 9.5)
    marked = cycles * 6.5 + min(rest, 6.0) + min(max(rest - 7.5, 0.0), 0.5)
    assert sum(LineString(m).length for m in marks) == pytest.approx(marked, abs=1e-9)
    assert len(marks) == 2 * cycles + 1 + (rest > 7.5)


def test_a_line_without_a_pattern_is_whole():
    assert list(dash_run([(0.0, 0.0), (1.0, 1.0)], ())) == [((0.0, 0.0), (1.0, 1.0))]


def test_cutting_agrees_with_shapely():
    r = random.Random(7)
    window = Rect(100.0, 150.0, 300.0, 280.0)
    for _ in range(300):
        run = [(r.uniform(0, 400), r.uniform(0, 400)) for _ in range(r.randint(2, 7))]
        pieces = clip_run(run, window)
        expected = LineString(run).intersection(box(100.0, 150.0, 300.0, 280.0))
        assert sum(LineString(p).length for p in pieces) == pytest.approx(expected.length, abs=1e-9)
        for piece in pieces:
            assert all(window.holds(p, 1e-9) for p in piece)


@pytest.mark.parametrize(
    ("run", "expected"),
    [
        ([(0.0, 0.0), (9.0, 0.0)], [((0.0, 0.0), (4.0, 0.0))]),
        ([(4.0, -1.0), (4.0, 9.0)], [((4.0, 0.0), (4.0, 4.0))]),
        ([(5.0, 0.0), (9.0, 0.0)], []),
        ([(1.0, 1.0), (2.0, 2.0)], [((1.0, 1.0), (2.0, 2.0))]),
        ([(1.0, 1.0), (9.0, 1.0), (9.0, 2.0), (1.0, 2.0)],
         [((1.0, 1.0), (4.0, 1.0)), ((4.0, 2.0), (1.0, 2.0))]),
        ([(-1.0, 5.0), (5.0, -1.0)], [((0.0, 4.0), (4.0, 0.0))]),
        ([(-1.0, 1.0), (1.0, -1.0)], []),
    ],
)  # fmt: skip
def test_cutting_by_hand(run: list[tuple[float, float]], expected: list[tuple[tuple[float, float], ...]]):
    pieces = clip_run(run, Rect(0.0, 0.0, 4.0, 4.0))
    assert pieces == [tuple(pytest.approx(p) for p in piece) for piece in expected]

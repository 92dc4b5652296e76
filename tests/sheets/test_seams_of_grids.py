"""Which crosses lie on seams, by shapely; where pages meet; how much room names have beside a cross."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import LineString, box
from shapely.geometry import Point as Spot

from layout.drafting.entities import Line
from layout.drafting.rect import Rect
from layout.drafting.rooms import SEAM_CLEAR
from layout.drafting.style import Layer
from layout.sheets.tiles.grid import FINEST, Grid, best_grid
from layout.sheets.tiles.ink import ink_of
from layout.sheets.tiles.seams import ABOVE, BESIDE, ENOUGH, hits, rooms

STEP = (60.0, 90.0)


def seams_of(kept: np.ndarray, x: float, y: float) -> list[LineString]:
    """Edges that two kept cells share; rows from below, the first cell's corner at (x, y)."""
    cells = [
        box(x + c * STEP[0], y + r * STEP[1], x + (c + 1) * STEP[0], y + (r + 1) * STEP[1])
        for r, c in np.argwhere(kept)
    ]
    shared = [a.intersection(b) for k, a in enumerate(cells) for b in cells[:k]]
    return [edge for edge in shared if edge.length > 1.0]


@pytest.mark.parametrize("seed", range(4))
def test_a_cross_on_the_seam_of_two_pages_counts_and_on_a_blank_pages_edge_does_not(seed: int):
    """A cross that a seam cuts cannot be measured to: many grids at once, each as shapely finds it."""
    r = np.random.default_rng(seed)
    kept = r.random((3, 4, 25)) < 0.6
    x, y = r.uniform(-STEP[0], 0.0, 25), r.uniform(30.0, 30.0 + STEP[1], 25)
    points = np.column_stack([r.uniform(-70.0, 250.0, 40), r.uniform(0.0, 400.0, 40)])
    counted = hits(points, x, y, STEP, kept)
    for k in range(25):
        seams = seams_of(kept[:, :, k], float(x[k]), float(y[k]))
        squares = [Spot(at).buffer(SEAM_CLEAR, cap_style="square") for at in points]
        assert counted[k] == sum(any(square.intersects(seam) for seam in seams) for square in squares)
    assert counted.sum() > 20


def test_seams_are_drawn_where_two_pages_meet_and_nowhere_else():
    """Names were kept off the outer edge of the pages instead of off the seam that cuts them."""
    mask = np.array([[1, 1, 0, 1], [0, 1, 1, 1], [1, 0, 1, 0]], dtype=bool)
    cells = tuple((int(c), 2 - int(r)) for r, c in np.argwhere(mask))
    grid = Grid(7.0, 11.0 + 3 * STEP[1], *STEP, columns=4, rows=3, kept=cells)
    drawn = {LineString(seam).normalize().wkt for seam in grid.seams()}
    assert drawn == {seam.normalize().wkt for seam in seams_of(mask, 7.0, 11.0)}
    assert len(drawn) == len(list(grid.seams())) == 6


def test_the_room_beside_a_cross_is_what_its_page_leaves_to_the_nearest_trim_line():
    """A cross 3 mm from a trim line was taken to have more room than one in a page's middle."""
    x, y = np.array([0.0, -20.0, -27.0]), np.array([0.0, -45.0, 0.0])
    least, room = rooms(np.array([[10.0, 45.0], [30.0, 45.0]]), x, y, STEP)
    assert least.tolist() == [10.0, 0.0, 3.0]
    for k, (left, below) in enumerate(zip(x, y, strict=True)):
        parts = [
            min(free / wanted, 1.0)
            for at in ((10.0, 45.0), (30.0, 45.0))
            for past, pitch, wanted in (
                ((at[0] - left) % STEP[0], STEP[0], BESIDE),
                ((at[1] - below) % STEP[1], STEP[1], ABOVE),
            )
            for free in (past, pitch - past)
        ]
        assert room[k] == pytest.approx(sum(parts) / len(parts), abs=1e-6)
    assert rooms(np.array([[30.0, 45.0]]), x[:1], y[:1], STEP)[0].tolist() == [ENOUGH]


@pytest.mark.parametrize("length", [20.0, 31.0])
def test_what_one_page_holds_lies_in_its_middle(length: float):
    """Of grids that are as good in all else the even one: the frame lay in a corner of its page."""
    lines = [Line((200.0, 300.0), (200.0 + length, 340.0), Layer.OUTLINE)]
    ink = ink_of(lines, Rect(200.0, 300.0, 200.0 + length, 340.0))
    grid = best_grid(ink, ink, (), *STEP).grid
    (cell,) = grid.kept
    page = grid.cell(*cell)
    assert (page.left + page.right) / 2 == pytest.approx(200.0 + length / 2, abs=FINEST)
    assert (page.bottom + page.top) / 2 == pytest.approx(320.0, abs=FINEST)


@pytest.mark.parametrize("seed", range(12))
def test_a_page_that_only_joins_others_brings_no_seam_over_a_cross(seed: int):
    """Two parts far apart, crosses between them: a bridge's seam went through one that was clear before."""
    r = np.random.default_rng(seed)
    across, up = r.uniform(110.0, 260.0), r.uniform(0.0, 250.0)
    parts = [
        Line((0.0, 0.0), (20.0, 25.0), Layer.OUTLINE),
        Line((across, up), (across + 20.0, up + 20.0), Layer.OUTLINE),
    ]
    room = Rect(0.0, 0.0, across + 20.0, max(25.0, up + 20.0))
    x, y = r.uniform(0.0, across, 5).tolist(), r.uniform(0.0, up + 20.0, 5).tolist()
    crosses = list(zip(x, y, strict=True))
    choice = best_grid(ink_of(parts, room), ink_of([], room), crosses, *STEP)
    assert choice.grid.bridges and choice.cost[0] == 0.0
    for at in crosses:
        square = Spot(at).buffer(SEAM_CLEAR, cap_style="square")
        assert not any(square.intersects(LineString(seam)) for seam in choice.grid.seams())

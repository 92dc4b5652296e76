"""Pages that only join others: the fewest, along every edge of the sheet, and those that show an axis."""

from __future__ import annotations

import numpy as np
import pytest

from layout.sheets.tiles.cells import bridge_cells, links


def whole_edges(cells: np.ndarray) -> int:
    """In how many parts cells hang together by whole edges."""
    left, parts = {(int(r), int(c)) for r, c in np.argwhere(cells)}, 0
    while left:
        parts += 1
        now = [left.pop()]
        while now:
            r, c = now.pop()
            beside = {(r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)} & left
            left -= beside
            now += beside
    return parts


@pytest.mark.parametrize("shape", [(5, 1), (1, 5), (4, 2), (2, 4), (4, 6)])
def test_two_pages_apart_are_joined_by_the_fewest_between_them(shape: tuple[int, int]):
    """By the distance in rows and columns. Along the sheet's edge there was no way, so pages fell apart."""
    rows, columns = shape
    everywhere = [(r, c) for r in range(rows) for c in range(columns)]
    for a in everywhere:
        for b in everywhere:
            kept = np.zeros(shape, dtype=bool)
            kept[a] = kept[b] = True
            apart = max(abs(a[0] - b[0]) + abs(a[1] - b[1]) - 1, 0)
            joined = bridge_cells(kept, np.zeros(shape, dtype=bool))
            assert (joined & kept).sum() == kept.sum()
            assert joined.sum() - kept.sum() == apart
            assert whole_edges(joined) == 1


@pytest.mark.parametrize("seed", range(6))
def test_pages_that_fall_in_many_parts_hang_together_once_joined(seed: int):
    """And the count that grids are compared by is never more than what joining them takes."""
    r = np.random.default_rng(seed)
    for _ in range(20):
        kept = r.random((int(r.integers(1, 6)), 5)) < 0.3
        if not kept.any():
            continue
        joined = bridge_cells(kept, r.random(kept.shape) < 0.5)
        assert not (kept & ~joined).any()
        assert whole_edges(joined) == 1
        least = int(links(kept[..., None])[0])
        assert least <= joined.sum() - kept.sum()
        assert (least > 0) == (whole_edges(kept) > 1)


def test_of_two_ways_as_short_the_pages_that_show_an_axis_are_printed():
    """A page that only joins others is of use where it has a line to set them by."""
    kept = np.zeros((3, 3), dtype=bool)
    kept[0, 0] = kept[2, 2] = True
    for way in ({(1, 0), (2, 0), (2, 1)}, {(0, 1), (0, 2), (1, 2)}, {(0, 1), (1, 1), (2, 1)}):
        liked = np.zeros_like(kept)
        for cell in way:
            liked[cell] = True
        added = {(int(r), int(c)) for r, c in np.argwhere(bridge_cells(kept, liked) & ~kept)}
        assert added == way

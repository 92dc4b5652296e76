"""The fewest pages, by brute force with shapely; seams kept clear; pages that hang together."""

from __future__ import annotations

import random
from itertools import combinations

import numpy as np
import pytest
from shapely import LineString, box, get_num_geometries, intersects, unary_union

from layout.drafting.entities import ControlPoint, LengthDimension, Line
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.tiles.cells import covers
from layout.sheets.tiles.grid import GRAIN, OVERLAP, best_grid, offsets
from layout.sheets.tiles.ink import ink_of
from layout.sheets.tiles.seams import features_of

HALF = OVERLAP / 2
STEP = (60.0, 90.0)
NOTHING = features_of([])


def level_and_upright(seed, count=9, size=260):
    """Lines on half millimetres, whose pixels are exact: (x0, y0, x1, y1)."""
    r = random.Random(seed)
    for _ in range(count):
        x, y = r.randrange(size) + 0.5, r.randrange(size) + 0.5
        length = r.randrange(5, 90)
        x1, y1 = (min(x + length, size - 0.5), y) if r.random() < 0.5 else (x, min(y + length, size - 0.5))
        yield Line((x, y), (x1, y1), Layer.OUTLINE)


def extent(lines):
    xs = [p[0] for e in lines for p in (e.start, e.end)]
    ys = [p[1] for e in lines for p in (e.start, e.end)]
    return Rect(min(xs), min(ys), max(xs), max(ys))


def found(lines, step=STEP, features=NOTHING, bound=()):
    ink = ink_of(lines, extent(lines))
    return best_grid(ink, ink_of(bound, extent(lines)), features, *step)


def fewest_at(ink, x, y, step, room):
    """The fewest cells of one grid that print all of `ink`, by trying all sets beyond those forced."""
    columns = range(int((room.left - x) // step[0]) - 1, int((room.right - x) // step[0]) + 2)
    rows = range(int((room.bottom - y) // step[1]) - 1, int((room.top - y) // step[1]) + 2)
    pages = {
        (c, r): box(
            x + c * step[0] - HALF,
            y + r * step[1] - HALF,
            x + (c + 1) * step[0] + HALF,
            y + (r + 1) * step[1] + HALF,
        )
        for c in columns
        for r in rows
    }
    pages = {cell: page for cell, page in pages.items() if ink.intersection(page).area > 1e-9}
    forced = [
        cell
        for cell, page in pages.items()
        if ink.intersection(page).difference(unary_union([p for c, p in pages.items() if c != cell])).area
        > 1e-9
    ]
    left = ink.difference(unary_union([pages[c] for c in forced]))
    others = [c for c in pages if c not in forced]
    for extra in range(len(others) + 1):
        for chosen in combinations(others, extra):
            if left.difference(unary_union([pages[c] for c in chosen])).area <= 1e-9:
                return len(forced) + extra
    raise AssertionError("all pages together print all ink")


@pytest.mark.parametrize("seed", range(5))
def test_no_grid_takes_fewer_pages(seed):
    lines = list(level_and_upright(seed))
    ink = unary_union([LineString([e.start, e.end]).buffer(0.4, cap_style="square") for e in lines])
    room = extent(lines)
    x, y = np.floor(room.left) - 1 + HALF, np.floor(room.bottom) - 1 + HALF
    tried = {
        fewest_at(ink, x - GRAIN * i, y - GRAIN * j, STEP, room)
        for i in range(0, int(STEP[0]) // GRAIN, 3)
        for j in range(0, int(STEP[1]) // GRAIN, 3)
    }
    assert len(tried) > 1
    assert len(found(lines).grid.kept) <= min(tried)


@pytest.mark.parametrize("seed", range(6))
def test_the_grid_found_takes_no_page_more_than_it_needs(seed):
    lines = list(level_and_upright(seed, count=5, size=200))
    ink = unary_union([LineString([e.start, e.end]).buffer(0.4, cap_style="square") for e in lines])
    grid = found(lines).grid
    x, y = grid.node(0, grid.rows)
    assert len(grid.kept) == fewest_at(ink, x, y, STEP, extent(lines))


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("step", [STEP, (185.9, 249.4), (37.3, 41.9)])
def test_all_ink_is_on_the_pages_kept(seed, step):
    r = random.Random(seed)
    lines = [
        Line((r.uniform(0, 500), r.uniform(0, 400)), (r.uniform(0, 500), r.uniform(0, 400)), Layer.OUTLINE)
        for _ in range(6)
    ]
    grid = found(lines, step).grid
    printed = unary_union(
        [box(c.left, c.bottom, c.right, c.top) for c in (grid.cell(*k).grown(HALF) for k in grid.kept)]
    )
    ink = unary_union([LineString([e.start, e.end]) for e in lines])
    assert ink.difference(printed).length < 1e-9
    for cell in set(grid.kept) - grid.bridges:
        at = grid.cell(*cell).grown(HALF)
        assert ink.intersection(box(at.left, at.bottom, at.right, at.top)).length > 0


def test_ink_in_an_outer_overlap_needs_no_page_of_its_own():
    one_column = [Line((0.5, 0.5), (STEP[0] + OVERLAP - 2.5, 0.5), Layer.OUTLINE)]
    assert found(one_column).grid.kept == ((0, 0),)
    two = [Line((0.5, 0.5), (STEP[0] + OVERLAP + 1.5, 0.5), Layer.OUTLINE)]
    assert len(found(two).grid.kept) == 2


def test_blank_cells_between_are_left_out():
    ring = [
        Line((0.5, 0.5), (239.5, 0.5), Layer.OUTLINE),
        Line((239.5, 0.5), (239.5, 359.5), Layer.OUTLINE),
        Line((239.5, 359.5), (0.5, 359.5), Layer.OUTLINE),
        Line((0.5, 359.5), (0.5, 0.5), Layer.OUTLINE),
    ]
    grid = found(ring).grid
    assert len(grid.kept) < grid.columns * grid.rows
    kept = unary_union([box(c.left, c.bottom, c.right, c.top) for c in (grid.cell(*k) for k in grid.kept)])
    assert not intersects(kept, box(110, 170, 130, 190))


def test_points_are_kept_off_the_seams_where_that_costs_no_page():
    frame = [Line((0.5, 0.5), (300.5, 0.5), Layer.OUTLINE), Line((0.5, 0.5), (0.5, 300.5), Layer.OUTLINE)]
    r = random.Random(3)
    points = [ControlPoint(f"p{i}", (r.uniform(0, 300), r.uniform(0, 300))) for i in range(3)]
    choice = found([*frame], features=features_of(points))
    assert choice.cost[1] == 0
    assert len(choice.grid.kept) == len(found(frame).grid.kept)
    for point in points:
        for axis, pitch in enumerate(STEP):
            start = (choice.grid.left, choice.grid.top)[axis]
            past = (point.at[axis] - start) % pitch
            near = min(past, pitch - past) < HALF + 2.0
            beside = on_seam(choice.grid, point.at, axis)
            assert not (near and beside)


@pytest.mark.parametrize("seed", range(3))
def test_no_grid_of_as_few_pages_has_fewer_dimensions_on_its_seams(seed):
    r = random.Random(seed)
    frame = [Line((0.5, 0.5), (300.5, 0.5), Layer.OUTLINE), Line((0.5, 0.5), (0.5, 300.5), Layer.OUTLINE)]
    words = [dimension(r.uniform(0, 270), r.uniform(0, 10)) for _ in range(3)]
    words += [dimension(r.uniform(0, 10), r.uniform(30, 280)) for _ in range(3)]
    drawn = [*frame, *words]
    room = Rect(-5.0, -5.0, 310.0, 310.0)
    ink, nothing, features = ink_of(drawn, room), ink_of([], room), features_of(words)
    choice = best_grid(ink, nothing, features, *STEP)
    across, up = offsets(STEP[0]), offsets(STEP[1])
    kept, _ = covers(ink, nothing, (across, up), STEP, HALF)
    least = kept.sum(axis=(1, 2)).min()
    counts = []
    for i in np.flatnonzero(kept.sum(axis=(1, 2)) == least):
        x, y = across[i % len(across)] + ink.left, up[i // len(across)] + ink.bottom
        counts.append(sum(touches_seam(b, kept[i], x, y) for b in features.dimensions))
    assert choice.cost[0] == least
    grid = choice.grid
    chosen = np.zeros((grid.rows, grid.columns), dtype=bool)
    for c, row in grid.kept:
        chosen[grid.rows - 1 - row, c] = True
    own = sum(touches_seam(b, chosen, *grid.node(0, grid.rows)) for b in features.dimensions)
    assert choice.cost[2] == own == min(counts)
    assert min(counts) < max(counts)


def touches_seam(lettering, kept, x, y):
    """Whether lettering meets, by shapely, a strip that two kept cells print."""
    words = box(*lettering)
    row = int(((lettering[1] + lettering[3]) / 2 - y) // STEP[1])
    column = int(((lettering[0] + lettering[2]) / 2 - x) // STEP[0])

    def has(r, c):
        return 0 <= r < kept.shape[0] and 0 <= c < kept.shape[1] and kept[r, c]

    upright = any(
        has(row, c - 1)
        and has(row, c)
        and words.intersects(box(x + c * STEP[0] - HALF, -1e3, x + c * STEP[0] + HALF, 1e3))
        for c in range(kept.shape[1] + 1)
    )
    level = any(
        has(r - 1, column)
        and has(r, column)
        and words.intersects(box(-1e3, y + r * STEP[1] - HALF, 1e3, y + r * STEP[1] + HALF))
        for r in range(kept.shape[0] + 1)
    )
    return upright or level


def on_seam(grid, at, axis):
    """Whether the trim line nearest `at` along `axis` lies between two kept cells."""
    place = ((at[0] - grid.left) / STEP[0], (grid.top - at[1]) / STEP[1])
    line, other = round(place[axis]), int(place[1 - axis] // 1)
    pair = ((line - 1, other), (line, other)) if axis == 0 else ((other, line - 1), (other, line))
    return all(cell in grid.kept for cell in pair)


def test_a_line_that_is_no_seam_does_not_count():
    """A point beside a trim line with a kept cell on one side only has nothing to be taped through it."""
    line = [Line((0.5, 0.5), (0.5, 300.5), Layer.OUTLINE)]
    choice = found(line, features=features_of([ControlPoint("p", (0.5, 150.5))]))
    assert choice.cost[1] == 0


def dimension(x, y):
    return LengthDimension(
        "d", (x, y), (x + 30.5, y), 0.0, line_at=(x, y + 5.0), text_at=(x + 15.0, y + 6.0), text_angle=0.0
    )


def test_pages_with_dimensions_hang_together_and_tables_may_lie_apart():
    left, right = dimension(10.5, 10.5), dimension(310.5, 100.5)
    table = Line((10.5, 400.5), (50.5, 400.5), Layer.SHEET)
    room = [left, right, table]
    ink, bound = (
        ink_of(room, Rect(0.0, 0.0, 350.0, 410.0)),
        ink_of([left, right], Rect(0.0, 0.0, 350.0, 410.0)),
    )
    grid = best_grid(ink, bound, NOTHING, *STEP).grid
    assert grid.bridges
    cells = {k: grid.cell(*k) for k in grid.kept}
    joined = unary_union(
        [box(c.left, c.bottom, c.right, c.top).buffer(-1e-3).buffer(2e-3) for c in cells.values()]
    )
    assert get_num_geometries(joined) == 2
    with_dimensions = [
        g
        for g in joined.geoms
        if intersects(g, box(10, 10, 41, 16)) or intersects(g, box(310, 100, 341, 106))
    ]
    assert len(with_dimensions) == 1


def test_the_same_drawing_gives_the_same_grid():
    lines = list(level_and_upright(11))
    assert found(lines) == found(lines)

"""The fewest pages, by brute force with shapely; crosses kept off seams; pages that hang together."""

from __future__ import annotations

import random
from itertools import combinations, product

import numpy as np
import pytest
from shapely import LineString, box, get_num_geometries, intersects, unary_union
from shapely.geometry import Point as Spot

from layout.drafting.bounds import box_of
from layout.drafting.entities import ControlPoint, Line
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.media import TRUE_PRINTER, medium
from layout.sheets.page import cut_pages
from layout.sheets.tiles.cells import Nodes, needed_cells, printing_cells
from layout.sheets.tiles.grid import GRAIN, OVERLAP, best_grid
from layout.sheets.tiles.ink import ink_of, segments_of
from layout.sheets.tiles.page import TilePage
from layout.views.side.view import draft

HALF = OVERLAP / 2
STEP = (60.0, 90.0)


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


def found(lines, step=STEP, points=(), liked=()):
    room = extent(lines)
    return best_grid(ink_of(lines, room), ink_of(liked, room), points, *step)


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
def test_no_grid_needs_fewer_cells(seed):
    """Before they are joined: for each grid tried, the cells that have all ink are as few as can be."""
    lines = list(level_and_upright(seed))
    ink = unary_union([LineString([e.start, e.end]).buffer(0.4, cap_style="square") for e in lines])
    room = extent(lines)
    x, y = np.floor(room.left) - 1 + HALF, np.floor(room.bottom) - 1 + HALF
    across = [-float(GRAIN * i) for i in range(0, int(STEP[0]) // GRAIN, 3)]
    up = [-float(GRAIN * j) for j in range(0, 30, 3)]
    raster = ink_of(lines, room)
    first = Nodes(HALF + np.array(across), HALF + np.array(up))
    needed = needed_cells(raster, first, STEP, HALF).sum(axis=(0, 1))
    counts = [fewest_at(ink, x + dx, y + dy, STEP, room) for dy in up for dx in across]
    assert len(set(counts)) > 1
    assert needed.tolist() == counts


@pytest.mark.parametrize("step", [STEP, (37.3, 41.9)])
def test_each_cell_that_is_needed_prints_some_ink(step):
    """So cells are joined without asking where they have ink."""
    lines = list(level_and_upright(1))
    raster = ink_of(lines, extent(lines))
    across, up = HALF - np.arange(0.0, step[0], 5.0), HALF - np.arange(0.0, step[1], 5.0)
    needed = needed_cells(raster, Nodes(across, up), step, HALF)
    assert needed.any(axis=(0, 1)).all()
    for grid, (y, x) in enumerate(product(up, across)):
        printing = printing_cells(raster, (x, y), step, half=HALF, shape=needed.shape[:2])
        assert not (needed[..., grid] & ~printing).any()


@pytest.mark.parametrize("seed", range(6))
def test_the_grid_found_takes_no_page_more_than_it_needs(seed):
    lines = list(level_and_upright(seed, count=5, size=200))
    ink = unary_union([LineString([e.start, e.end]).buffer(0.4, cap_style="square") for e in lines])
    grid = found(lines).grid
    x, y = grid.node(0, grid.rows)
    assert len(grid.kept) - len(grid.bridges) == fewest_at(ink, x, y, STEP, extent(lines))


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


@pytest.mark.parametrize("seed", range(4))
def test_points_are_kept_off_the_seams(seed):
    frame = [Line((0.5, 0.5), (300.5, 0.5), Layer.OUTLINE), Line((0.5, 0.5), (0.5, 300.5), Layer.OUTLINE)]
    r = random.Random(seed)
    points = [(r.uniform(0, 300), 0.5) for _ in range(2)] + [(0.5, r.uniform(0, 300)) for _ in range(2)]
    choice = found(frame, points=points)
    assert choice.cost[0] == 0
    for at in points:
        assert min(distance_to_seams(choice.grid, at)) >= 6.0


def distance_to_seams(grid, at):
    """From a point to each seam, by shapely."""
    for a, b in grid.seams():
        yield LineString([a, b]).distance(Spot(at))


def test_a_line_that_is_no_seam_does_not_count():
    """A point beside a trim line with a kept cell on one side only has nothing to be joined through it."""
    line = [Line((0.5, 0.5), (0.5, 300.5), Layer.OUTLINE)]
    assert found(line, points=[(0.5, 150.5)]).cost[0] == 0


def test_pages_hang_together_and_those_that_only_join_show_an_axis():
    """Two crosses far apart, as the front axle is from the head tube, with the fork's axis between them."""
    left = Line((10.5, 10.5), (41.5, 10.5), Layer.OUTLINE)
    right = Line((310.5, 280.5), (340.5, 280.5), Layer.OUTLINE)
    axis = Line((41.5, 10.5), (310.5, 280.5), Layer.CENTRE)
    room = Rect(0.0, 0.0, 350.0, 300.0)
    grid = best_grid(ink_of([left, right], room), ink_of([axis], room), (), *STEP).grid
    assert grid.bridges
    joined = unary_union([page_box(grid.cell(*k)) for k in grid.kept]).buffer(1e-6).buffer(-1e-3)
    assert get_num_geometries(joined) == 1
    seen = LineString([axis.start, axis.end])
    shown = [seen.intersects(page_box(grid.cell(*k).grown(HALF))) for k in grid.bridges]
    assert sum(shown) >= len(shown) - 1


def page_box(r):
    return box(r.left, r.bottom, r.right, r.top)


@pytest.mark.parametrize("name", ["all-road", "tourer", "generated-30"])
def test_no_grid_tried_by_hand_takes_fewer_pages_for_a_frame(name, frame_named):
    """Grids here and there, their cells counted by shapely: those in which frame or a point lies.

    Only those count whose cells hang together and keep each cross's centre 6 from where two of them meet.
    """
    held, axes, points, room = held_of(frame_named(name))
    shapes = unary_union([LineString([(a, b), (c, d)]).buffer(0.01) for a, b, c, d in segments_of(held)])
    r, counted = random.Random(1), 0
    for page in cut_pages(medium("a4"), TRUE_PRINTER):
        step = TilePage(page).step
        ours = len(best_grid(ink_of(held, room), ink_of(axes, room), points, *step).grid.kept)
        for _ in range(150):
            x, y = room.left - r.uniform(0, step[0]), room.bottom - r.uniform(0, step[1])
            cells = [
                box(x + c * step[0], y + k * step[1], x + (c + 1) * step[0], y + (k + 1) * step[1])
                for c in range(int(room.width // step[0]) + 2)
                for k in range(int(room.height // step[1]) + 2)
            ]
            needed = [cell for cell in cells if cell.intersects(shapes)]
            whole = get_num_geometries(unary_union(needed).buffer(-1e-3)) == 1
            if whole and keeps_clear(needed, points):
                assert ours <= len(needed)
                counted += 1
    assert counted > 5


def keeps_clear(cells, points):
    """Whether no point lies within 6 of an edge that two of the cells share."""
    beside = [a.buffer(1e-6).intersection(b) for a, b in combinations(cells, 2)]
    seams = unary_union([strip for strip in beside if strip.length > 1.0])
    return all(seams.distance(Spot(at)) >= 6.0 for at in points)


def held_of(frame):
    view = draft(frame).view
    axes = tuple(e for e in view.core if e.layer is Layer.CENTRE)
    points = [e.at for e in view.held if isinstance(e, ControlPoint)]
    return view.held, axes, points, box_of((*view.held, *axes))

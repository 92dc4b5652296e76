"""The order of joining on grids small enough to do by hand."""

from __future__ import annotations

import math

import pytest

from layout.sheets.tiles.grid import Grid
from layout.sheets.tiles.order import cross_names, joining, runs, tile_name


def grid(*rows):
    """A grid from a picture, x a tile that is kept; cells of 30 by 40."""
    kept = tuple((c, r) for r, row in enumerate(rows) for c, mark in enumerate(row) if mark == "x")
    return Grid(0.0, 0.0, 30.0, 40.0, max(map(len, rows)), len(rows), kept)


def told(steps):
    return [(s.words, [(c.first, c.second, c.distance) for c in s.checks]) for s in steps]


def test_names_are_row_and_column():
    assert [tile_name(c) for c in ((0, 0), (1, 1), (25, 0), (26, 8))] == ["1-1", "2-2", "1-26", "9-27"]


def test_a_full_grid_is_taped_row_by_row_then_the_rows():
    whole = grid("xxx", "xxx")
    assert told(joining(whole)) == [
        ("row 1: 1-1, 1-2, 1-3", [("R5", "R8", 90.0)]),
        ("row 2: 2-1, 2-2, 2-3", [("R9", "R12", 90.0)]),
        ("lay row 2 on row 1", [("R1", "R12", math.hypot(90.0, 80.0)), ("R9", "R4", math.hypot(90.0, 80.0))]),
    ]


def test_crosses_are_numbered_in_reading_order_at_corners_of_kept_tiles_only():
    names = cross_names(grid("x..", ".x."))
    assert names == {
        (0, 0): "R1", (1, 0): "R2", (0, 1): "R3", (1, 1): "R4", (2, 1): "R5", (1, 2): "R6", (2, 2): "R7",
    }  # fmt: skip


def test_a_row_with_a_gap_is_taped_in_pieces():
    ring = grid("xxx", "x.x", "xxx")
    assert [[tile_name(c) for c in run] for run in runs(ring)] == [
        ["1-1", "1-2", "1-3"], ["2-1"], ["2-3"], ["3-1", "3-2", "3-3"],
    ]  # fmt: skip
    assert [s.words for s in joining(ring)] == [
        "row 1: 1-1, 1-2, 1-3",
        "row 3: 3-1, 3-2, 3-3",
        "lay row 2 on row 1",
        "lay row 3 on row 2",
    ]


def test_pieces_that_only_meet_further_down_are_joined_there():
    assert [s.words for s in joining(grid("x.x", "x.x", "xxx"))] == [
        "row 3: 3-1, 3-2, 3-3",
        "lay 2-1 on 1-1",
        "lay 2-3 on 1-3",
        "lay row 3 on row 2",
    ]


def test_what_hangs_together_with_nothing_is_said_so():
    steps = told(joining(grid("xx...", "xx.xx")))
    assert steps[-1] == ("2-4, 2-5: a separate piece", [])
    assert [words for words, _ in steps[:-1]] == [
        "row 1: 1-1, 1-2",
        "row 2: 2-1, 2-2",
        "row 2: 2-4, 2-5",
        "lay 2-1 to 2-2 on row 1",
    ]


@pytest.mark.parametrize(
    "rows", [("xxxx", "xxxx", "xxxx"), ("xx", "xx", "xx", "xx"), (".xx.", "xxxx", ".xx.")]
)
def test_every_row_and_every_joining_has_a_distance_to_check(rows):
    whole = grid(*rows)
    steps = joining(whole)
    assert len(steps) == 2 * len(rows) - 1
    places = {name: whole.node(*node) for node, name in cross_names(whole).items()}
    for step in steps:
        assert step.checks
        for check in step.checks:
            assert check.distance == pytest.approx(math.dist(places[check.first], places[check.second]))
            assert check.distance >= 60.0


def test_a_single_tile_needs_no_joining():
    assert joining(grid("x")) == ()

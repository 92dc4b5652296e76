"""The order in which tiles are joined, and the distance to check after each step.

Rows first, each from left to right, then the rows, from the top down. Crosses lie on the
nodes of the grid at the corners of kept tiles and are numbered in reading order, R1, R2, ...;
the same cross is printed on every tile that meets there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from itertools import groupby
from typing import NamedTuple

from layout.sheets.tiles.cells import Cell
from layout.sheets.tiles.grid import Grid

Node = tuple[int, int]


class StepCheck(NamedTuple):
    """A distance to measure between two crosses, mm."""

    first: str
    second: str
    distance: float


class JoiningStep(NamedTuple):
    """One step of the joining: what to do, then what to check."""

    words: str
    checks: tuple[StepCheck, ...]


def tile_name(cell: Cell) -> str:
    """Row and column, both counted from the upper left.

    >>> tile_name((1, 0)), tile_name((26, 3))
    ('1-2', '4-27')
    """
    return f"{cell[1] + 1}-{cell[0] + 1}"


def is_tile(name: str) -> bool:
    """Whether a page's name is a tile's: the map and the tables have words.

    >>> is_tile("2-4"), is_tile("map"), is_tile("tables-2")
    (True, False, False)
    """
    return re.fullmatch(r"\d+-\d+", name) is not None


def cross_names(grid: Grid) -> dict[Node, str]:
    """The name of the cross at each node that a kept tile has at a corner."""
    nodes = {node for cell in grid.kept for node in corners(cell)}
    ordered = sorted(nodes, key=lambda n: (n[1], n[0]))
    return {node: f"R{i}" for i, node in enumerate(ordered, start=1)}


def corners(cell: Cell) -> tuple[Node, Node, Node, Node]:
    """A cell's nodes: upper left, upper right, lower left, lower right."""
    c, r = cell
    return (c, r), (c + 1, r), (c, r + 1), (c + 1, r + 1)


def runs(grid: Grid) -> list[list[Cell]]:
    """The kept tiles that follow one another in a row, row by row."""
    found: list[list[Cell]] = []
    for _, group in groupby(
        enumerate(sorted(grid.kept, key=lambda c: (c[1], c[0]))),
        key=lambda item: (item[1][1], item[1][0] - item[0]),
    ):
        found.append([cell for _, cell in group])
    return found


def joining(grid: Grid) -> tuple[JoiningStep, ...]:
    """Every step, rows first, then the rows together, then what stays by itself."""
    names = cross_names(grid)
    return (*_row_steps(grid, names), *_joining_steps(grid, names), *_apart_steps(grid))


def _row_steps(grid: Grid, names: Mapping[Node, str]) -> Iterable[JoiningStep]:
    for run in runs(grid):
        if len(run) > 1:
            (c, r), (last, _) = run[0], run[-1]
            words = f"row {r + 1}: {', '.join(tile_name(cell) for cell in run)}"
            yield JoiningStep(words, (_check(grid, names, (c, r + 1), (last + 1, r + 1)),))


def _joining_steps(grid: Grid, names: Mapping[Node, str]) -> Iterable[JoiningStep]:
    parts: list[set[Cell]] = []
    rows = {row: list(group) for row, group in groupby(runs(grid), key=lambda run: run[0][1])}
    for row, across in rows.items():
        for run in across:
            touching = [p for p in parts if any((c, row - 1) in p for c, _ in run)]
            parts = [p for p in parts if p not in touching] + [set(run).union(*touching)]
        for part in parts:
            here = [run for run in across if run[0] in part]
            if here and any(r < row for _, r in part):
                over = {(c, r - 1) for run in here for c, r in run}
                above = [run for run in rows[row - 1] if over & set(run)]
                words = f"lay {_name_runs(here, across)} on {_name_runs(above, rows[row - 1])}"
                yield JoiningStep(words, _diagonals(grid, names, part))


def _apart_steps(grid: Grid) -> Iterable[JoiningStep]:
    """What hangs together with nothing larger: a table on pages of its own."""
    parts = sorted(_parts(grid), key=len)
    for part in parts[:-1]:
        words = ", ".join(tile_name(cell) for cell in sorted(part, key=lambda c: (c[1], c[0])))
        yield JoiningStep(f"{words}: a separate piece", ())


def _parts(grid: Grid) -> list[set[Cell]]:
    """The kept cells that hang together by whole edges, as sets."""
    parts: list[set[Cell]] = []
    for c, r in grid.kept:
        touching = [p for p in parts if {(c - 1, r), (c + 1, r), (c, r - 1), (c, r + 1)} & p]
        parts = [p for p in parts if p not in touching] + [{(c, r)}.union(*touching)]
    return parts


def _name_runs(here: list[list[Cell]], across: list[list[Cell]]) -> str:
    """What to call some of the runs of a row: the row where they are all of it."""
    if len(here) == len(across):
        return f"row {here[0][0][1] + 1}"
    return " and ".join(
        tile_name(run[0]) if len(run) == 1 else f"{tile_name(run[0])} to {tile_name(run[-1])}" for run in here
    )


def _diagonals(grid: Grid, names: Mapping[Node, str], part: set[Cell]) -> tuple[StepCheck, ...]:
    """The two long diagonals across what is joined so far: the sheet is square where both are right."""
    nodes = sorted({node for cell in part for node in corners(cell)})
    place = {node: grid.node(*node) for node in nodes}

    def falling(n: Node) -> float:
        return place[n][0] - place[n][1]

    def rising(n: Node) -> float:
        return place[n][0] + place[n][1]

    return tuple(
        _check(grid, names, min(nodes, key=along), max(nodes, key=along)) for along in (falling, rising)
    )


def _check(grid: Grid, names: Mapping[Node, str], a: Node, b: Node) -> StepCheck:
    return StepCheck(names[a], names[b], math.dist(grid.node(*a), grid.node(*b)))

"""All the possible frames that satisfy a square set of equations.

The blocks of the structure are solved in order. What one unknown can be torn from is
searched over that unknown's whole range; the few blocks left are solved by Newton's
method from many possible frames at once. Starts are fixed, so the same numbers always give
the same frames.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from layout.geometry.blocks import Block, Shape, Step
from layout.geometry.derivative import GENERIC, Floats, jacobian
from layout.geometry.newton import (
    RESIDUAL,
    Parameters,
    bracketed,
    newton,
    refined,
    scalar_miss,
    target_of,
)
from layout.geometry.plane import Plane
from layout.geometry.starts import MANY_STARTS, START_COUNT, search_range, start_frames

_SAME = 1e-6
"""Two roots nearer than this in every unknown are one."""
_GRID = 37
"""Places at which one unknown is tried over its range: a degree apart, or some 10 mm."""
_COARSE_GRID = 17
"""Places at which each of two is tried; a root is sought from every mesh that may hold one."""
_CHAIN_STEPS = 12
"""Newton steps for a curve without a turn, from the plain frame: quadratic well before."""
_DEPTH = 2
"""How often a doubtful part is searched again: its places are then some 0.001 apart."""
_SCANS = 24
"""How often one block may be scanned: numbers of a frame need a handful, others would go on."""
_MOST_BRANCHES = 16
"""Frames kept while blocks are solved; more than a few never occur with the numbers of a frame."""


def solve_blocks(
    blocks: Sequence[Block], known: Parameters, targets: Mapping[str, float]
) -> tuple[list[Parameters], Block | None]:
    """Every solution of the blocks in the search ranges.

    Blocks whose unknowns are all known are passed over. Returns the parameters of each, and
    the first block that had none (None where all had); unknowns of later blocks then hold
    values of no meaning, which no earlier equation depends on.
    """
    blocks = [b for b in blocks if not all(c in known for c in b.columns)]
    filler = {c: GENERIC[c] for b in blocks for c in b.columns}
    branches = [{**filler, **known}]
    for block in blocks:
        grown = [{**branch, **root} for branch in branches for root in block_roots(block, branch, targets)]
        if not grown:
            return branches, block
        branches = grown[:_MOST_BRANCHES]
    return branches, None


def block_roots(block: Block, frame: Parameters, targets: Mapping[str, float]) -> list[Parameters]:
    """Every solution of one block, its earlier unknowns being in `frame`."""
    if not block.steps and not block.tears:
        return _all_at_once(block, frame, targets, (START_COUNT, MANY_STARTS))
    if not block.tears:
        step = block.steps[0]
        x = _outright(step, frame, target_of(step.equation, targets))
        return [] if x is None else [{step.column: x}]
    roots: list[Parameters] = []
    for sides in product((0, 1), repeat=sum(s.shape is Shape.ONE_TURN for s in block.steps)):
        if len(block.tears) == 2:
            _mesh_search(block, frame, targets, sides, roots=roots)
        else:
            search = _Search(block, frame, targets, sides, roots=roots)
            search.between(*search_range(block.tears[0]))
    if not roots and len(block.tears) == 2:
        return _all_at_once(block, frame, targets, (START_COUNT,))
    return sorted(roots, key=lambda r: tuple(r.values()))


def _outright(step: Step, frame: Parameters, target: float) -> float | None:
    if step.shape is not Shape.STRAIGHT:
        low, high = search_range(step.column)
        return bracketed(step.equation, step.column, frame, target, a=low, b=high)
    x = frame[step.column]
    for _ in range(2):
        miss, slope = scalar_miss(step.equation, step.column, frame, target, x=x)
        if not slope or not math.isfinite(miss):
            return None
        x -= miss / slope
    return x


@dataclass
class _Search:
    """The search along one torn unknown; what is found is added to `roots`."""

    block: Block
    frame: Parameters
    targets: Mapping[str, float]
    sides: tuple[int, ...]
    roots: list[Parameters]
    scans_left: int = _SCANS

    def between(self, low: float, high: float, depth: int = 0) -> None:
        """Search a part of the range.

        Where a place is doubtful, or a root found from it lies elsewhere, that part is
        searched again, finer. Where the equation holds everywhere it settles nothing.
        """
        block, frame, tear = self.block, self.frame, self.block.tears[0]
        self.scans_left -= 1
        at = np.linspace(low, high, _GRID)
        along, misses = _along(block, frame, self.targets, {tear: at}, sides=self.sides)
        if np.all(np.abs(misses[0]) < RESIDUAL):
            return
        for i, j, share in _candidates(misses[0]):
            if not _useful(along, i, j):
                continue
            part = (float(at[i]), float(at[j]))
            finer = depth < _DEPTH and self.scans_left > 0
            if share is not None or not finer:
                start = {c: _between(v[i], v[j], share) for c, v in along.items()}
                root = _closed(block, {**frame, **start}, self.targets, part)
                _keep(self.roots, root)
                if root is not None and part[0] <= root[tear] <= part[1]:
                    continue
            if finer:
                self.between(*part, depth + 1)


def _useful(along: Mapping[str, Floats], i: int, j: int) -> bool:
    """Whether every unknown may lie in its search range between two places; other roots are of no use."""
    for column, values in along.items():
        low, high = search_range(column)
        a, b = values[i], values[j]
        if (a < low and not b > low) or (a > high and not b < high) or (a != a and not low < b < high):
            return False
    return True


def _closed(
    block: Block, frame: Parameters, targets: Mapping[str, float], ends: tuple[float, float]
) -> Parameters | None:
    if len(block.columns) == 1:
        equation, column = block.equations[0], block.columns[0]
        target, (low, high) = target_of(equation, targets), ends
        root = bracketed(equation, column, frame, target, a=low, b=high)
        if root is not None:
            return {column: root}
    return refined(block.equations, block.columns, frame, targets)


def _mesh_search(
    block: Block,
    frame: Parameters,
    targets: Mapping[str, float],
    sides: tuple[int, ...],
    roots: list[Parameters],
) -> None:
    """Add to `roots` those reached from every likely mesh over the ranges of two torn unknowns."""
    places = [np.linspace(*search_range(c), _COARSE_GRID) for c in block.tears]
    grid = np.meshgrid(*places, indexing="ij")
    torn = {c: g.ravel() for c, g in zip(block.tears, grid, strict=True)}
    along, misses = _along(block, frame, targets, torn, sides=sides)
    shape = grid[0].shape
    likely = np.ones((shape[0] - 1, shape[1] - 1), bool)
    for miss in misses:
        corners = _corners(miss.reshape(shape))
        gap = np.isnan(corners).any(axis=0)
        low, high = np.fmin.reduce(corners), np.fmax.reduce(corners)
        likely &= (_around(low, np.fmin) <= 0.0) & (_around(high, np.fmax) >= 0.0) | gap
    whole = np.ones(shape, bool)
    for column, values in along.items():
        low, high = search_range(column)
        edge = 0.25 * (high - low)
        whole &= ((values > low - edge) & (values < high + edge)).reshape(shape)
    likely &= _corners(whole).any(axis=0)
    middles = [np.nanmean(_corners(along[c].reshape(shape))[:, likely], axis=0) for c in block.columns]
    if likely.any():
        _from_many(block, frame, targets, np.array(middles), roots=roots)


def _corners(values: NDArray[Any]) -> NDArray[Any]:
    """The values at the four corners of each mesh, shape (4, meshes, meshes)."""
    return np.array([values[:-1, :-1], values[1:, :-1], values[:-1, 1:], values[1:, 1:]])


def _around(values: Floats, least: np.ufunc) -> Floats:
    """The least (or greatest) over each mesh and its neighbours: two roots may share one mesh."""
    wide = np.pad(values, 1, mode="edge")
    rows = least(least(wide[:-2], wide[1:-1]), wide[2:])
    return np.asarray(least(least(rows[:, :-2], rows[:, 1:-1]), rows[:, 2:]), float)


def _along(
    block: Block,
    frame: Parameters,
    targets: Mapping[str, float],
    torn: dict[str, Floats],
    sides: tuple[int, ...],
) -> tuple[dict[str, Floats], list[Floats]]:
    """All unknowns of the block at the places tried, and the misses of the equations left over.

    NaN where an unknown has no value. Where a curve turns, `sides` says from which end of its
    range each is come at: Newton's method then stays on that side of the turn.
    """
    along = dict(torn)
    side = iter(sides)
    with np.errstate(all="ignore"):
        for step in block.steps:
            along[step.column] = _stepped(step, {**frame, **along}, target_of(step.equation, targets), side)
        zero = 0.0 * next(iter(torn.values()))
        plane = Plane({**frame, **along})
        misses = [np.asarray(e.function(plane) - target_of(e, targets) + zero, float) for e in block.closing]
    return along, misses


def _stepped(step: Step, frame: Mapping[str, float | Floats], target: float, side: Iterator[int]) -> Floats:
    low, high = search_range(step.column)
    start = (low, high)[next(side)] if step.shape is Shape.ONE_TURN else GENERIC[step.column]
    shape = np.broadcast_shapes(*{np.shape(v) for v in frame.values() if type(v) is not float})
    x, move = np.full(shape, start), np.zeros(shape)
    for _ in range(1 if step.shape is Shape.STRAIGHT else _CHAIN_STEPS):
        values, rows = jacobian([step.equation.function], {**frame, step.column: x}, [step.column])
        move = (values[0] - target) / rows[0, 0]
        x = x - move
        if not np.any(np.abs(move) > RESIDUAL):
            break
    return x if step.shape is Shape.STRAIGHT else np.where(np.abs(move) < 1.0, x, np.nan)


def _between(a: float, b: float, share: float | None) -> float:
    """A value between two places, of which one may have none."""
    if not np.isfinite(a):
        return float(b)
    return float(a) if share is None or not np.isfinite(b) else float(a + share * (b - a))


def _candidates(miss: Floats) -> Iterator[tuple[int, int, float | None]]:
    """Parts of the range, by the places at their ends, that hold a root or may hold one.

    A change of sign holds a root, and its share of the way is returned. Where the miss
    turns back before it reaches zero there may be two close together, and where it
    ceases to have a value there may be one beyond the last place: no share is known.
    """
    real = np.isfinite(miss)
    size = np.abs(miss)
    above = miss > 0.0
    change = (real[:-1] != real[1:]) | (real[:-1] & real[1:] & (above[:-1] != above[1:])) | (miss[:-1] == 0.0)
    turn = (size[1:-1] < size[:-2]) & (size[1:-1] <= size[2:]) & ~change[:-1] & ~change[1:]
    for i in np.nonzero(change)[0].tolist():
        a, b = float(miss[i]), float(miss[i + 1])
        yield i, i + 1, None if real[i] != real[i + 1] else a / (a - b) if a != b else 0.0
    for i in np.nonzero(turn)[0].tolist():
        yield i, i + 2, None


def _keep(roots: list[Parameters], found: Parameters | None) -> None:
    if found is None or any(max(abs(found[c] - r[c]) for c in r) < _SAME for r in roots):
        return
    if all(low <= found[c] <= high for c in found for low, high in [search_range(c)]):
        roots.append(found)


def _all_at_once(
    block: Block, frame: Parameters, targets: Mapping[str, float], counts: Sequence[int]
) -> list[Parameters]:
    """The roots reached from possible frames; more of them are tried only where the first reach none."""
    roots: list[Parameters] = []
    for count in counts:
        starts = start_frames(count)
        _from_many(block, frame, targets, np.array([starts[c] for c in block.columns]), roots=roots)
        if roots:
            break
    return sorted(roots, key=lambda r: tuple(r.values()))


def _from_many(
    block: Block, frame: Parameters, targets: Mapping[str, float], starts: Floats, roots: list[Parameters]
) -> None:
    goal = np.array([target_of(e, targets) for e in block.equations])[:, None]
    x, miss = newton(block.equations, block.columns, frame, goal, x=starts)
    for candidate in x[:, miss < RESIDUAL].T.tolist():
        _keep(roots, dict(zip(block.columns, candidate, strict=True)))

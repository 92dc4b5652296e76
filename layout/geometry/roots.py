"""All the sane frames that satisfy a square set of equations.

The blocks of the structure are solved in order. A block of one unknown is searched over
its whole sane range; a larger one by Newton's method from many sane frames at once.
Starts are fixed, so the same numbers always give the same frames.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np

from layout.geometry.analytic import STEP
from layout.geometry.blocks import Block
from layout.geometry.derivative import GENERIC, Floats, jacobian
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import Equation
from layout.geometry.plane import UNKNOWNS, Plane

Parameters = dict[str, float]

RESIDUAL = 1e-9
"""A frame satisfies its equations when none is off by more, mm or degrees."""

_SAME = 1e-6
"""Two roots nearer than this in every unknown are one."""
_GRID = 33
"""Points at which one unknown is tried over its range: 1 degree or 10 mm apart, or less."""
_STARTS = 24
_NEWTON_STEPS = 40
_MOST_BRANCHES = 16
"""Frames kept while blocks are solved; more than a few never occur with sane numbers."""

_EXTRA_RANGES = {"saddle_rise": (250.0, 1000.0)}
_EXTRA_USUAL = {"saddle_rise": (520.0, 820.0)}


@cache
def search_range(column: str) -> tuple[float, float]:
    """Where a parameter is looked for: its sane range, a little widened so that ends are inside."""
    low, high = REGISTRY[column].sane if column in REGISTRY else _EXTRA_RANGES[column]
    edge = 0.02 * (high - low)
    return low - edge, high + edge


@cache
def _start_frames() -> dict[str, Floats]:
    """Sane frames to start from: one plain, the rest spread evenly over usual practice.

    A Kronecker sequence (multiples of irrational numbers, modulo 1) fills the box evenly.
    """
    n = np.arange(_STARTS, dtype=float)
    starts = {}
    for i, name in enumerate(UNKNOWNS):
        low, high = (REGISTRY[name].usual if name in REGISTRY else None) or _EXTRA_USUAL[name]
        at = np.modf(0.5 + n * math.sqrt(_PRIMES[i]))[0]
        starts[name] = low + (high - low) * at
        starts[name][0] = GENERIC[name]
    return starts


_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73)


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
        grown = [
            {**branch, **root} for branch in branches for root in block_roots(block, branch, targets)
        ]
        if not grown:
            return branches, block
        branches = grown[:_MOST_BRANCHES]
    return branches, None


def target_of(equation: Equation, targets: Mapping[str, float]) -> float:
    """The number an equation must equal."""
    return targets[equation.name] if equation.value is None else equation.value


def block_roots(block: Block, known: Parameters, targets: Mapping[str, float]) -> list[Parameters]:
    """Every solution of one block, its earlier unknowns being in `known`."""
    if len(block.columns) > 1:
        return _newton_roots(block, known, targets)
    equation, column = block.equations[0], block.columns[0]
    target = target_of(equation, targets)
    if block.affine:
        x = GENERIC[column]
        for _ in range(2):
            x = _scalar_step(equation, column, known, target, x)
        return [{column: x}] if math.isfinite(x) else []
    return [{column: x} for x in _scanned(equation, column, known, target)]


def _scalar_step(equation: Equation, column: str, known: Parameters, target: float, x: float) -> float:
    value = equation.function(Plane({**known, column: complex(x, STEP)}))
    slope = value.imag / STEP
    return float(x - (value.real - target) / slope) if slope else math.nan


def _scanned(equation: Equation, column: str, known: Parameters, target: float) -> list[float]:
    """Roots of one equation in one unknown over its whole search range."""
    low, high = search_range(column)
    at = np.linspace(low, high, _GRID)
    with np.errstate(all="ignore"):
        miss = np.asarray(equation.function(Plane({**known, column: at})) - target, float)
        size = np.abs(miss)
        crossing = np.nonzero((miss[:-1] <= 0.0) != (miss[1:] <= 0.0))[0]
        dips = 1 + np.nonzero((size[1:-1] < size[:-2]) & (size[1:-1] <= size[2:]))[0]
    roots: list[float] = []
    for i in crossing.tolist():
        x = _bracketed(equation, column, known, target, float(at[i]), float(at[i + 1]))
        if x is not None:
            roots.append(x)
    for i in dips.tolist():
        for start in (at[i - 1], at[i], at[i + 1]):
            x = _polished(equation, column, known, target, float(start))
            if x is not None and low <= x <= high and all(abs(x - r) > _SAME for r in roots):
                roots.append(x)
    return sorted(roots)


def _bracketed(
    equation: Equation, column: str, known: Parameters, target: float, a: float, b: float
) -> float | None:
    """A root between a and b: Newton's step where it stays inside, else half the interval."""
    miss_a = equation.function(Plane({**known, column: a})) - target
    if not math.isfinite(miss_a):
        return None
    x = 0.5 * (a + b)
    for _ in range(80):
        value = equation.function(Plane({**known, column: complex(x, STEP)}))
        miss, slope = value.real - target, value.imag / STEP
        if not math.isfinite(miss):
            return None
        if (miss <= 0.0) == (miss_a <= 0.0):
            a = x
        else:
            b = x
        step = miss / slope if slope else math.inf
        new = x - step
        inside = min(a, b) <= new <= max(a, b)
        if abs(miss) < 1e-13 or (inside and abs(step) <= 1e-14 * abs(x)):
            return float(new) if inside else x
        x = new if inside else 0.5 * (a + b)
        if a == b or abs(b - a) <= 1e-15 * abs(x):
            break
    miss = equation.function(Plane({**known, column: x})) - target
    return x if abs(miss) < RESIDUAL else None


def _polished(
    equation: Equation, column: str, known: Parameters, target: float, x: float
) -> float | None:
    for _ in range(_NEWTON_STEPS):
        new = _scalar_step(equation, column, known, target, x)
        if not math.isfinite(new):
            return None
        if abs(new - x) <= 1e-14 * abs(x):
            x = new
            break
        x = new
    miss = equation.function(Plane({**known, column: x})) - target
    return x if abs(miss) < RESIDUAL else None


def _newton_roots(block: Block, known: Parameters, targets: Mapping[str, float]) -> list[Parameters]:
    starts = _start_frames()
    x = np.array([starts[c] for c in block.columns])
    goal = np.array([target_of(e, targets) for e in block.equations])[:, None]
    x, miss = newton(block, known, goal, x)
    ranges = np.array([search_range(c) for c in block.columns])
    good = (miss < RESIDUAL) & np.all((x >= ranges[:, :1]) & (x <= ranges[:, 1:]), axis=0)
    roots: list[Floats] = []
    for candidate in x[:, good].T:
        if all(np.max(np.abs(candidate - r)) > _SAME for r in roots):
            roots.append(candidate)
    roots.sort(key=lambda r: tuple(r.tolist()))
    return [dict(zip(block.columns, r.tolist(), strict=True)) for r in roots]


def newton(
    block: Block, known: Mapping[str, float | Floats], goal: Floats, x: Floats
) -> tuple[Floats, Floats]:
    """Newton's method on a block from many starts at once.

    `x` has shape (unknowns, S), `goal` (equations, 1 or S), `known` numbers or arrays
    of shape S. A step moves no unknown by more than a quarter of its search range.
    Returns the unknowns reached and the largest miss of each, shape (S,).
    """
    functions = [e.function for e in block.equations]
    spread = np.array([search_range(c) for c in block.columns])
    most = 0.25 * (spread[:, 1:] - spread[:, :1])
    miss = np.full(x.shape[1], np.inf)
    with np.errstate(all="ignore"):
        for _ in range(_NEWTON_STEPS):
            here = {**known, **dict(zip(block.columns, x, strict=True))}
            values, rows = jacobian(functions, here, block.columns)
            off = values - goal
            step = _solved(rows, off)
            last, miss = miss, np.max(np.abs(off), axis=0)
            share = np.max(np.abs(step) / most, axis=0)
            x = x - step / np.maximum(share, 1.0)
            settled = (miss < 1e-11) | ((miss < RESIDUAL) & (miss >= last)) | ~np.isfinite(miss)
            if settled.all():
                break
    return x, np.where(np.isfinite(miss), miss, np.inf)


def _solved(rows: Floats, off: Floats) -> Floats:
    """Solve (k, k, S) systems for (k, S); NaN where one is singular."""
    a = np.moveaxis(rows, 2, 0)
    b = off.T[:, :, None]
    try:
        return np.asarray(np.linalg.solve(a, b)[:, :, 0].T, float)
    except np.linalg.LinAlgError:
        return np.array([_one(m, v) for m, v in zip(a, b[:, :, 0], strict=True)]).T


def _one(a: Floats, b: Floats) -> Floats:
    try:
        return np.asarray(np.linalg.solve(a, b), float)
    except np.linalg.LinAlgError:
        return np.full(len(b), np.nan)

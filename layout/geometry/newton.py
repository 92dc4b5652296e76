"""Newton's method with exact derivatives: for one frame in plain numbers, for many in arrays."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from layout.geometry.analytic import STEP
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.equations import Equation
from layout.geometry.plane import Plane
from layout.geometry.starts import search_range

RESIDUAL = 1e-9
"""A frame satisfies its equations when none is off by more, mm or degrees."""

_DONE = 1e-12
"""Nothing is gained below: the rounding of a few hundred millimetres."""
_STEPS = 24
_NEAR_STEPS = 15
"""From a start near a root: what has not arrived by then is not near one."""

Parameters = dict[str, float]


def target_of(equation: Equation, targets: Mapping[str, float]) -> float:
    """The number an equation must equal."""
    return targets[equation.name] if equation.value is None else equation.value


def scalar_miss(
    equation: Equation, column: str, frame: Parameters, target: float, x: float
) -> tuple[float, float]:
    """Miss of one equation and its derivative at `column` = x."""
    value = equation.function(Plane({**frame, column: complex(x, STEP)}))
    return value.real - target, value.imag / STEP


def bracketed(
    equation: Equation, column: str, frame: Parameters, target: float, a: float, b: float
) -> float | None:
    """The root between a and b, where the miss changes sign: Newton, halving where it would leave."""
    miss_a = scalar_miss(equation, column, frame, target, x=a)[0]
    miss_b = scalar_miss(equation, column, frame, target, x=b)[0]
    if not (math.isfinite(miss_a) and math.isfinite(miss_b)) or miss_a * miss_b > 0.0:
        return None
    x = a - miss_a * (b - a) / (miss_b - miss_a) if miss_a != miss_b else a
    for _ in range(100):
        miss, slope = scalar_miss(equation, column, frame, target, x=x)
        if not math.isfinite(miss):
            return None
        if (miss < 0.0) == (miss_a < 0.0):
            a = x
        else:
            b = x
        new = x - miss / slope if slope else math.inf
        if not min(a, b) <= new <= max(a, b):
            new = 0.5 * (a + b)
        if abs(new - x) <= 1e-15 * abs(x) or abs(miss) < 1e-14:
            return new
        x = new
    return x if abs(scalar_miss(equation, column, frame, target, x=x)[0]) < RESIDUAL else None


def refined(
    equations: Sequence[Equation],
    columns: Sequence[str],
    frame: Parameters,
    targets: Mapping[str, float],
) -> Parameters | None:
    """The root of a small square system nearest `frame`, or None where Newton does not arrive."""
    goal = [target_of(e, targets) for e in equations]
    x = [frame[c] for c in columns]
    most = [0.25 * (high - low) for low, high in map(search_range, columns)]
    last = math.inf
    for _ in range(_NEAR_STEPS):
        here = {**frame, **dict(zip(columns, x, strict=True))}
        rows = [
            [e.function(plane) for e in equations]
            for plane in (Plane({**here, c: complex(v, STEP)}) for c, v in zip(columns, x, strict=True))
        ]
        off = [v.real - g for v, g in zip(rows[0], goal, strict=True)]
        miss = max(map(abs, off))
        if not math.isfinite(miss):
            return None
        if miss < _DONE or (miss < RESIDUAL and miss >= last):
            return dict(zip(columns, x, strict=True))
        last = miss
        step = eliminated([[v.imag / STEP for v in column] for column in zip(*rows, strict=True)], off)
        if step is None:
            return None
        share = max(1.0, *(abs(s) / m for s, m in zip(step, most, strict=True)))
        x = [v - s / share for v, s in zip(x, step, strict=True)]
    return dict(zip(columns, x, strict=True)) if last < RESIDUAL else None


def eliminated(a: list[list[float]], b: list[float]) -> list[float] | None:
    """Solve a x = b for a small system by elimination with row pivoting; None where singular.

    >>> eliminated([[0.0, 2.0], [1.0, 1.0]], [4.0, 5.0])
    [3.0, 2.0]
    """
    n = len(b)
    m = [[*row, v] for row, v in zip(a, b, strict=True)]
    for i in range(n):
        pivot = max(range(i, n), key=lambda r: abs(m[r][i]))
        m[i], m[pivot] = m[pivot], m[i]
        head = m[i]
        if not abs(head[i]) > 0.0:
            return None
        for r in range(i + 1, n):
            factor = m[r][i] / head[i]
            if factor:
                m[r] = [v - factor * h for v, h in zip(m[r], head, strict=True)]
    x = [0.0] * n
    for i in reversed(range(n)):
        x[i] = (m[i][n] - sum(m[i][j] * x[j] for j in range(i + 1, n))) / m[i][i]
    return x


def newton(
    equations: Sequence[Equation],
    columns: Sequence[str],
    frame: Mapping[str, float | Floats],
    goal: Floats,
    x: Floats,
) -> tuple[Floats, Floats]:
    """Newton's method on a square system for many frames at once.

    `x` has shape (unknowns, S), `goal` (equations, 1 or S), `frame` numbers or arrays
    of shape S. A step moves no unknown by more than a quarter of its search range.
    Returns the unknowns reached and the largest miss of each frame, shape (S,).
    """
    functions = [e.function for e in equations]
    spread = np.array([search_range(c) for c in columns])
    most = 0.25 * (spread[:, 1:] - spread[:, :1])
    miss = np.full(x.shape[1], np.inf)
    with np.errstate(all="ignore"):
        for _ in range(_STEPS):
            values, rows = jacobian(functions, {**frame, **dict(zip(columns, x, strict=True))}, columns)
            off = values - goal
            last, miss = miss, np.max(np.abs(off), axis=0)
            settled = (miss < _DONE) | ((miss < RESIDUAL) & (miss >= last)) | ~np.isfinite(miss)
            if settled.all():
                break
            step = many_eliminated(rows, off)
            share = np.max(np.abs(step) / most, axis=0)
            x = np.where(settled, x, x - step / np.maximum(share, 1.0))
    return x, np.where(np.isfinite(miss), miss, np.inf)


def many_eliminated(a: Floats, b: Floats) -> Floats:
    """Solve systems a x = b by elimination with row pivoting.

    `a` has shape (k, k, S), `b` (k, S); returns (k, S), not finite where singular.
    """
    n, count = b.shape
    m = np.concatenate([a, b[:, None]], axis=1)
    every = np.arange(count)
    for i in range(n - 1):
        pivot = i + np.argmax(np.abs(m[i:, i]), axis=0)
        head = m[pivot, :, every].T
        m[pivot, :, every] = m[i].T
        m[i] = head
        m[i + 1 :, i + 1 :] -= (m[i + 1 :, i] / head[i])[:, None] * head[None, i + 1 :]
    x = np.empty_like(b)
    for i in reversed(range(n)):
        x[i] = (m[i, n] - np.einsum("js,js->s", m[i, i + 1 : n], x[i + 1 :])) / m[i, i]
    return x

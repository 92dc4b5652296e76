"""Linear least squares under linear inequalities.

    least |E x - f|  with  G x >= h

is turned into a least distance by the QR of E, and that into least squares with positive
unknowns (C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, Prentice-Hall 1974,
chapter 23: problems LSI, LDP and NNLS).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_TINY = 1e-11
_MOST_STEPS = 3
"""Steps of the search for positive unknowns, times their number: a handful is usual."""


def least_squares_within(e: Floats, f: Floats, g: Floats, h: Floats) -> Floats | None:
    """The x that makes |e x - f| least with g x >= h.

    `e` has full column rank. None where no x keeps all inequalities.
    """
    q, r = np.linalg.qr(e)
    start = q.T @ f
    turned = np.linalg.solve(r.T, g.T).T
    z = _least_distance(turned, h - turned @ start)
    return None if z is None else np.linalg.solve(r, z + start)


def _least_distance(g: Floats, h: Floats) -> Floats | None:
    """The shortest z with g z >= h."""
    size = np.maximum(np.linalg.norm(g, axis=1), _TINY)
    whole = np.vstack([(g / size[:, None]).T, h / size])
    target = np.zeros(len(whole))
    target[-1] = 1.0
    rest = whole @ positive_least_squares(whole, target) - target
    return None if -rest[-1] <= _TINY else -rest[:-1] / rest[-1]


def positive_least_squares(a: Floats, b: Floats) -> Floats:
    """The x >= 0 that makes |a x - b| least.

    >>> positive_least_squares(np.array([[1.0, 0.0], [0.0, 1.0]]), np.array([2.0, -1.0])).tolist()
    [2.0, 0.0]
    """
    count = a.shape[1]
    x = np.zeros(count)
    free = np.zeros(count, bool)
    for _ in range(_MOST_STEPS * count):
        pull = a.T @ (b - a @ x)
        pull[free] = 0.0
        first = int(np.argmax(pull))
        if pull[first] <= _TINY:
            break
        free[first] = True
        x = _kept_positive(a, b, x, free)
        if not free[first]:
            break
    return x


def _kept_positive(a: Floats, b: Floats, x: Floats, free: NDArray[np.bool_]) -> Floats:
    """Least squares over the free unknowns; those that would fall below nothing are held at it again."""
    while free.any():
        there = np.zeros(len(x))
        there[free] = np.linalg.lstsq(a[:, free], b, rcond=None)[0]
        low = free & (there <= 0.0)
        if not low.any():
            return there
        steps = x[low] / (x[low] - there[low])
        x = x + float(np.min(steps)) * (there - x)
        free &= x > _TINY * max(1.0, float(np.max(np.abs(x))))
        x[~free] = 0.0
    return x

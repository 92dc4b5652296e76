"""Weighted least squares over given numbers that are more than enough.

Each given weighs by the agreement expected of its kind. Defaults are independent of the
givens, so that the best fit keeps them exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from layout.geometry.derivative import Floats, jacobian
from layout.geometry.equations import Equation
from layout.geometry.newton import Parameters, target_of
from layout.geometry.problem import Agreement

_STEPS = 30
_DONE = 1e-12


def weighted(
    equations: Sequence[Equation],
    columns: Sequence[str],
    frame: Parameters,
    targets: Mapping[str, float],
    agreement: Agreement,
) -> tuple[Floats, Floats]:
    """Misses (wanted less actual) and derivatives of equations, in units of their agreement."""
    values, rows = jacobian([e.function for e in equations], frame, columns)
    wanted = np.array([target_of(e, targets) for e in equations])
    weight = 1.0 / np.array([agreement.of(e) for e in equations])
    return (wanted - values) * weight, rows * weight[:, None]


def fitted(
    equations: Sequence[Equation],
    columns: Sequence[str],
    frame: Parameters,
    targets: Mapping[str, float],
    agreement: Agreement,
) -> Parameters:
    """The frame near `frame` that fits all equations best (Gauss-Newton)."""
    for _ in range(_STEPS):
        miss, rows = weighted(equations, columns, frame, targets, agreement=agreement)
        step = np.linalg.lstsq(rows, miss, rcond=None)[0]
        frame = {**frame, **{c: frame[c] + s for c, s in zip(columns, step.tolist(), strict=True)}}
        if float(np.max(np.abs(step))) < _DONE:
            break
    return frame

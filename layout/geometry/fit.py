"""Weighted least squares over given numbers that are more than enough.

Each given weighs by the agreement expected of its kind; defaults are independent of the
givens, so that the best fit keeps them exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from layout.geometry.derivative import Floats, jacobian
from layout.geometry.equations import Equation
from layout.geometry.newton import Parameters, target_of
from layout.geometry.plane import UNKNOWNS

_STEPS = 30


@dataclass(frozen=True)
class Agreement:
    """How far given numbers may disagree: lengths in mm, angles in degrees."""

    length: float = 0.5
    angle: float = 0.1

    def of(self, equation: Equation) -> float:
        """The agreement expected of one equation."""
        return self.angle if equation.angle else self.length


def linear(
    equations: Sequence[Equation], frame: Parameters, targets: Mapping[str, float], agreement: Agreement
) -> tuple[Floats, Floats, list[str]]:
    """Misses (wanted less actual) and derivatives of `equations`, in units of their agreement."""
    columns = [c for c in UNKNOWNS if c in frame]
    values, rows = jacobian([e.function for e in equations], frame, columns)
    wanted = np.array([target_of(e, targets) for e in equations])
    weight = 1.0 / np.array([agreement.of(e) for e in equations])
    return (wanted - values) * weight, rows * weight[:, None], columns


def fitted(
    equations: Sequence[Equation], frame: Parameters, targets: Mapping[str, float], agreement: Agreement
) -> Parameters:
    """The frame near `frame` that fits all equations best (Gauss-Newton)."""
    for _ in range(_STEPS):
        miss, rows, columns = linear(equations, frame, targets, agreement)
        step = np.linalg.lstsq(rows, miss, rcond=None)[0]
        frame = {**frame, **{c: frame[c] + float(s) for c, s in zip(columns, step, strict=True)}}
        if float(np.max(np.abs(step))) < 1e-12:
            break
    return frame

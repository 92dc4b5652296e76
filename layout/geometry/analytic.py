"""Functions that carry an exact derivative, on floats and arrays alike.

The derivative is had by the complex step: a number's imaginary part holds its tangent
times STEP, so tiny that its square vanishes and no subtraction takes place (W. Squire
and G. Trapp, "Using complex variables to estimate derivatives of real functions", SIAM
Review 40, 1998). Sums, products and quotients of complex numbers then obey the rules
of differentiation by themselves; the functions here do so for the rest, from real
functions of the real part, which is quicker than numpy's complex ones and exact:

    f(x + i STEP dx) = f(x) + i STEP f'(x) dx

Each function takes a float, a complex, or an array of either, and returns the same
kind. Angles are degrees.
"""

from __future__ import annotations

import math
from typing import Any, TypeAlias

import numpy as np

Value: TypeAlias = Any
"""A float, a complex carrying a tangent, or a numpy array of one of these."""

STEP = 1e-40
"""Size of a unit tangent: its square is below any rounding, itself far from underflow."""

_RAD = math.pi / 180.0
_DEG = 180.0 / math.pi


def real(x: Value) -> Value:
    """The value without its tangent."""
    return x.real


def tangent(x: Value) -> Value:
    """The derivative carried by `x`; zero for a plain number."""
    return x.imag / STEP


def _join(value: Value, imag: Value) -> Value:
    out = np.empty(np.broadcast_shapes(np.shape(value), np.shape(imag)), complex)
    out.real = value
    out.imag = imag
    return out


def sincos(x: Value) -> tuple[Value, Value]:
    """Sine and cosine of `x` degrees.

    >>> sincos(90.0)[0]
    1.0
    """
    if isinstance(x, float):
        a = x * _RAD
        return math.sin(a), math.cos(a)
    if isinstance(x, complex):
        a, da = x.real * _RAD, x.imag * _RAD
        s, c = math.sin(a), math.cos(a)
        return complex(s, c * da), complex(c, -s * da)
    a = x.real * _RAD
    s, c = np.sin(a), np.cos(a)
    if not np.iscomplexobj(x):
        return s, c
    da = x.imag * _RAD
    return _join(s, c * da), _join(c, -s * da)


def sqrt(x: Value) -> Value:
    """Square root; NaN where the real part is negative.

    >>> sqrt(9.0), sqrt(-1.0)
    (3.0, nan)
    """
    if isinstance(x, (float, complex)):
        if x.real < 0.0:
            return math.nan
        root = math.sqrt(x.real)
        return root if isinstance(x, float) else complex(root, x.imag / (2.0 * root) if root else 0.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        root = np.sqrt(x.real)
        return root if not np.iscomplexobj(x) else _join(root, x.imag / (2.0 * root))


def hypot(x: Value, y: Value) -> Value:
    """Length of the vector (x, y).

    >>> hypot(3.0, 4.0)
    5.0
    """
    return sqrt(x * x + y * y)


def atan2(y: Value, x: Value) -> Value:
    """Direction of the vector (x, y) in degrees, -180 to 180.

    >>> round(atan2(1.0, 1.0), 12)
    45.0
    """
    if isinstance(x, (float, complex)) and isinstance(y, (float, complex)):
        if isinstance(x, float) and isinstance(y, float):
            return math.atan2(y, x) * _DEG
        square = x.real * x.real + y.real * y.real
        return complex(math.atan2(y.real, x.real) * _DEG, (x.real * y.imag - y.real * x.imag) / square * _DEG)
    angle = np.arctan2(y.real, x.real) * _DEG
    if not (np.iscomplexobj(x) or np.iscomplexobj(y)):
        return angle
    square = x.real * x.real + y.real * y.real
    with np.errstate(invalid="ignore", divide="ignore"):
        return _join(angle, (x.real * y.imag - y.real * x.imag) / square * _DEG)


def where(condition: Value, a: Value, b: Value) -> Value:
    """Return `a` where the real condition holds, else `b`."""
    if isinstance(condition, bool):
        return a if condition else b
    return np.where(condition, a, b)


def least(a: Value, b: Value) -> Value:
    """The lesser of two values, with its tangent."""
    return where(a.real < b.real, a, b)


def absolute(x: Value) -> Value:
    """The magnitude, with its tangent."""
    return where(x.real < 0.0, -x, x)


def clamp(x: Value, low: float, high: Value) -> Value:
    """`x` kept between `low` and `high`."""
    x = where(x.real < low, x * 0.0 + low, x)
    return where(x.real > high.real, x * 0.0 + high, x)

"""Each function carries the derivative of the textbook, on plain numbers and arrays alike."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.geometry.analytic import (
    STEP,
    absolute,
    atan2,
    clamp,
    hypot,
    least,
    real,
    sincos,
    sqrt,
    tangent,
    where,
)

RAD = math.pi / 180.0
XS = (-71.3, -2.0, 0.3, 12.5, 71.5, 163.0)

RULES = {
    "sine": (lambda x: sincos(x)[0], lambda x: math.cos(x * RAD) * RAD),
    "cosine": (lambda x: sincos(x)[1], lambda x: -math.sin(x * RAD) * RAD),
    "square root": (lambda x: sqrt(x * x + 4.0), lambda x: x / math.sqrt(x * x + 4.0)),
    "length": (lambda x: hypot(x, 3.0), lambda x: x / math.hypot(x, 3.0)),
    "angle of rise": (lambda x: atan2(x, 5.0), lambda x: 5.0 / (x * x + 25.0) / RAD),
    "angle of run": (lambda x: atan2(5.0, x), lambda x: -5.0 / (x * x + 25.0) / RAD),
    "magnitude": (absolute, lambda x: math.copysign(1.0, x)),
    "lesser": (lambda x: least(x, 1.0 + 0.0 * x), lambda x: 1.0 if x < 1.0 else 0.0),
    "clamped": (lambda x: clamp(x, 0.0, 20.0 + 0.0 * x), lambda x: 1.0 if 0.0 < x < 20.0 else 0.0),
}


@pytest.mark.parametrize("name", RULES)
def test_the_derivative_is_the_rule_of_the_textbook(name):
    function, rule = RULES[name]
    for x in XS:
        assert tangent(function(complex(x, STEP))) == pytest.approx(rule(x), rel=1e-14, abs=1e-15)


@pytest.mark.parametrize("name", RULES)
def test_arrays_and_numbers_agree(name):
    function, _ = RULES[name]
    seeded = function(np.array(XS) + 1j * STEP)
    plain = function(np.array(XS))
    for i, x in enumerate(XS):
        assert real(seeded)[i] == pytest.approx(function(x), rel=1e-15, abs=1e-15)
        assert plain[i] == pytest.approx(function(x), rel=1e-15, abs=1e-15)
        alone = tangent(function(complex(x, STEP)))
        assert tangent(seeded)[i] == pytest.approx(alone, rel=1e-14, abs=1e-15)


def test_a_product_of_functions_has_the_derivative_of_the_product():
    x = complex(0.7, STEP)
    s, c = sincos(x)
    value = s * c / sqrt(x)
    expected = math.sin(0.7 * RAD) * math.cos(0.7 * RAD) / math.sqrt(0.7)
    slope = RAD * math.cos(1.4 * RAD) / math.sqrt(0.7) - 0.5 * expected / 0.7
    assert value.real == pytest.approx(expected, rel=1e-15)
    assert tangent(value) == pytest.approx(slope, rel=1e-13)


def test_no_square_root_of_a_negative_number():
    assert math.isnan(sqrt(-1.0))
    assert np.isnan(sqrt(np.array([-1.0, 4.0]))).tolist() == [True, False]


def test_where_takes_single_conditions_and_arrays():
    assert where(True, 1.0, 2.0) == 1.0
    assert where(np.array([True, False]), 1.0, 2.0).tolist() == [1.0, 2.0]

"""Values and exact derivatives of equations, for one frame or an array of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from layout.geometry.analytic import STEP, Value, tangent
from layout.geometry.equations import HELD_DEFAULTS, Equation
from layout.geometry.plane import INPUTS, UNKNOWNS, Plane

Floats = NDArray[np.float64]
Function = Callable[[Plane], Value]


def jacobian(
    functions: Sequence[Function],
    parameters: Mapping[str, Value],
    columns: Sequence[str],
) -> tuple[Floats, Floats]:
    """Values and derivatives of `functions` with respect to `columns`.

    `parameters` hold floats or arrays of one shape S. Returns values of shape
    (rows, *S) and derivatives of shape (rows, columns, *S), both exact to rounding.
    """
    shape = np.broadcast_shapes(*{np.shape(v) for v in parameters.values() if type(v) is not float})
    k = len(columns)
    seeded: dict[str, Value] = dict(parameters)
    for i, name in enumerate(columns):
        column = np.zeros((k, *shape), complex)
        column.real = parameters[name]
        column.imag[i] = STEP
        seeded[name] = column
    frame = Plane(seeded)
    out = np.zeros((len(functions), k, *shape), complex)
    for row, function in enumerate(functions):
        out[row] = function(frame)
    return out[:, 0].real.copy(), tangent(out)


GENERIC: dict[str, float] = {
    "bb_drop": 63.71,
    "rear_centre_horizontal": 421.37,
    "front_centre_horizontal": 601.93,
    "rear_radius": 341.17,
    "front_radius": 329.41,
    "head_angle": 71.83,
    "fork_offset": 47.29,
    "fork_length_on_axis": 389.57,
    "lower_stack": 13.61,
    "head_tube_length": 147.91,
    "upper_stack": 14.33,
    "seat_angle": 73.19,
    "seat_tube_length": 537.71,
    "top_tube_at_head": 38.47,
    "top_tube_at_seat": 52.83,
    "down_tube_at_head": 46.19,
    "stem_length": 93.1,
    "stem_angle": -7.3,
    "spacers": 21.7,
    "saddle_clamp_back": 187.3,
    "saddle_rise": 683.9,
    "seat_tube_offset": 2.9,
    "down_tube_offset": 3.7,
    "saddle_nose_length": 137.9,
    "stem_clamp_height": 39.1,
    "crank_length": 171.3,
    "pedal_side": 143.9,
    "pedal_outer": 187.1,
    "pedal_below": 14.7,
    "shoe_ahead_of_spindle": 103.3,
    "fork_sag": 23.9,
    "rear_sag": 31.3,
    **HELD_DEFAULTS,
}
"""A frame with no round number in it: what holds here holds by structure, nothing by accident."""


@cache
def _generic_derivative(function: Function) -> tuple[tuple[float, ...], tuple[float, ...]]:
    _, rows = jacobian([function], GENERIC, (*UNKNOWNS, *INPUTS))
    row = tuple(float(v) for v in rows[0])
    return row[: len(UNKNOWNS)], row[len(UNKNOWNS) :]


def generic_row(equation: Equation) -> tuple[float, ...]:
    """Derivative of an equation at the generic frame with respect to UNKNOWNS."""
    return _generic_derivative(equation.function)[0]


def generic_inputs(equation: Equation) -> tuple[float, ...]:
    """Derivative of an equation at the generic frame with respect to INPUTS."""
    return _generic_derivative(equation.function)[1]


@cache
def rests_on(function: Function) -> frozenset[str]:
    """The parameters of UNKNOWNS that a function rests on."""
    row = _generic_derivative(function)[0]
    return frozenset(name for name, slope in zip(UNKNOWNS, row, strict=True) if slope != 0.0)

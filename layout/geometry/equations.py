"""Equations a frame must satisfy: a dimension equals its number, or a default holds.

The values of all defaults live here, in the order in which they are tried. One wheel as large as the
other comes first and is held whatever the numbers say; wheels and headset follow; then what is never
solved for; then the places of the tubes, whose weld land is an equation of its own since it depends
on the tube's slope.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from typing import NamedTuple

from layout.geometry.analytic import Value, sincos
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, SHELL, TOP_TUBE
from layout.geometry.wheel import DEFAULT_BEAD_SEAT, DEFAULT_WIDTH, wheel_radius

DEFAULT_WHEEL_RADIUS = wheel_radius(DEFAULT_WIDTH, DEFAULT_BEAD_SEAT)
DEFAULT_LOWER_STACK = 12.0
DEFAULT_UPPER_STACK = 15.0
DEFAULT_TOP_TUBE_AT_SEAT = 45.0
WELD_LAND = 8.0
"""Kept between a tube's edge and the head tube's end; 6 is the least of common practice."""
STANDOVER_WISH = 800.0
"""A level top tube higher than this at mid-tube is sloped, by SLOPE_LIMIT degrees at most."""
SLOPE_LIMIT = 15.0

INPUT_DEFAULTS: dict[str, float] = {
    "seat_tube_offset": 0.0,
    "down_tube_offset": 0.0,
    "saddle_nose_length": 140.0,
    "stem_clamp_height": 40.0,
    "pedal_side": 145.0,
}
"""Never solved for: given, or these."""

HELD_DEFAULTS: dict[str, float] = {
    "seat_tube_diameter": SEAT_TUBE.diameters[0],
    "top_tube_diameter": TOP_TUBE.diameters[0],
    "down_tube_diameter": DOWN_TUBE.diameters[0],
    "head_tube_diameter_top": HEAD_TUBE.diameters[1],
    "head_tube_diameter_bottom": HEAD_TUBE.diameters[0],
    "shell_diameter": SHELL.diameters[0],
}
"""Part sizes where none are given."""


class Equation(NamedTuple):
    """`function` of the plane equals a number.

    `name` is the dimension it settles; `value` is None where the number is the given one.
    `angle` says whether it is measured in degrees.
    """

    name: str
    function: Callable[[Plane], Value]
    value: float | None
    angle: bool = False


def weld_place(head_radius: Value, tube_radius: Value, included: Value) -> Value:
    """Distance of a tube's axis from the head tube's end that leaves the weld land.

    `included` is the angle, degrees, between the tube and the head tube toward that end.
    """
    s, c = sincos(included)
    return WELD_LAND + (head_radius * c + tube_radius) / s


def _top_tube_land(f: Plane) -> Value:
    included = f.head_angle + f.top_tube_rise
    return f.top_tube_at_head - weld_place(
        0.5 * f.head_tube_diameter_top, 0.5 * f.top_tube_diameter, included
    )


def _down_tube_land(f: Plane) -> Value:
    included = 180.0 - f.head_angle - f.down_tube_rise
    return f.down_tube_at_head - weld_place(
        0.5 * f.head_tube_diameter_bottom, 0.5 * f.down_tube_diameter, included
    )


def _level(f: Plane) -> Value:
    return f.top_tube_run[1]


_STEEPEST_TANGENT = math.tan(math.radians(SLOPE_LIMIT))


def _steepest(f: Plane) -> Value:
    dx, dy = f.top_tube_run
    return dy - _STEEPEST_TANGENT * dx


def _same_wheels(f: Plane) -> Value:
    return f.front_radius - f.rear_radius


def given(name: str) -> Equation:
    """The equation of a given dimension."""
    d = REGISTRY[name]
    return Equation(name, d.function, None, d.unit == "deg")


def _default(name: str, value: float) -> Equation:
    d = REGISTRY[name]
    return Equation(name, d.function, value, d.unit == "deg")


PART_DEFAULTS: tuple[Equation, ...] = (
    _default("rear_radius", DEFAULT_WHEEL_RADIUS),
    _default("lower_stack", DEFAULT_LOWER_STACK),
    _default("upper_stack", DEFAULT_UPPER_STACK),
)

"""Sizes of parts, each taken where the numbers do not settle it."""

FRONT_LIKE_REAR = Equation("front_radius", _same_wheels, 0.0)
REAR_LIKE_FRONT = Equation("rear_radius", _same_wheels, 0.0)


def wheels_alike(names: Collection[str]) -> tuple[Equation, ...]:
    """The default that holds unless both wheels are given: one is as large as the other."""
    if "front_radius" not in names:
        return (FRONT_LIKE_REAR,)
    return () if "rear_radius" in names else (REAR_LIKE_FRONT,)


LEVEL = Equation("top_tube_slope", _level, 0.0)
STEEPEST = Equation("top_tube_slope", _steepest, 0.0)
STOOD_OVER = Equation("top_tube_slope", REGISTRY["standover"].function, STANDOVER_WISH)

PLACE_DEFAULTS: tuple[Equation, ...] = (
    Equation("top_tube_at_head", _top_tube_land, 0.0),
    Equation("down_tube_at_head", _down_tube_land, 0.0),
    _default("top_tube_at_seat", DEFAULT_TOP_TUBE_AT_SEAT),
    LEVEL,
)

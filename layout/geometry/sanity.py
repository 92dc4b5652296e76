"""What makes a solved frame one that can be built, and how far it lies from usual practice."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from layout.geometry.analytic import Value, hypot
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane

SEARCH_BOUNDS = (
    "bb_drop",
    "bb_height",
    "rear_centre",
    "front_centre",
    "stack",
    "reach",
    "head_angle",
    "seat_angle",
    "head_tube_length",
    "fork_offset",
    "axle_to_crown",
    "front_radius",
    "rear_radius",
)
"""Dimensions whose sane range a found frame must keep."""

_SLACK = 1e-6
"""Rounding allowed at the end of a range, mm or degrees."""


@dataclass(frozen=True)
class Impossible:
    """Why a frame cannot be built: the dimension at fault, in words, and by how much.

    `quantity` of the plane should be at least `limit`, or at most where `upper`.
    """

    name: str
    reason: str
    quantity: Callable[[Plane], Value]
    limit: float
    upper: bool = False

    def holds(self, frame: Plane) -> bool:
        """Whether the frame keeps the limit."""
        value = float(self.quantity(frame))
        return value <= self.limit + _SLACK if self.upper else value >= self.limit - _SLACK


def impossible(frame: Plane, defaults: Collection[str]) -> Impossible | None:
    """The first reason why a frame of plain numbers cannot be built, or None.

    `defaults` are the dimensions taken from defaults, which never make a frame impossible.
    """
    limits = (*_range_limits(frame, defaults), *_part_limits(frame, defaults))
    return next((limit for limit in limits if not limit.holds(frame)), None)


def _range_limits(frame: Plane, defaults: Collection[str]) -> Iterator[Impossible]:
    for name in SEARCH_BOUNDS:
        dimension = REGISTRY[name]
        low, high = dimension.sane
        value, unit = float(dimension.function(frame)), dimension.unit
        if name not in defaults and not low <= value <= high:
            reason = f"{name} would be {value:.1f} {unit}; sane values are {low:g} to {high:g} {unit}"
            yield Impossible(name, reason, dimension.function, high if value > high else low, value > high)


def _part_limits(frame: Plane, defaults: Collection[str]) -> Iterator[Impossible]:
    yield Impossible(
        "axle_to_crown",
        "the head tube would pass through the front wheel: its lower end lies"
        f" {float(_above_tyre(frame) + frame.front_radius):.1f} mm from the front axle, the wheel's radius is"
        f" {frame.front_radius:.1f} mm",
        _above_tyre,
        0.0,
    )
    for name, tube, end in (
        ("top_tube_at_head", "top tube", "top"),
        ("down_tube_at_head", "down tube", "lower"),
    ):
        if name in defaults:
            continue
        at = getattr(frame, name)
        reason = (
            f"the {tube} would miss the head tube: it meets the steering axis {abs(at):.1f} mm"
            f" {'beyond' if at < 0.0 else 'from'} the head tube's {end} end, and the head tube is"
            f" {frame.head_tube_length:.1f} mm long"
        )
        yield Impossible(name, reason, REGISTRY[name].function, 0.0)
        yield Impossible(name, reason, _head_tube_left_below if end == "top" else _head_tube_left_above, 0.0)
    reason = "the top tube would run backwards: the head tube's axis lies behind the seat tube's"
    yield Impossible("top_tube_length", reason, lambda f: f.top_tube_run[0], 0.0)


def _above_tyre(f: Plane) -> Value:
    return hypot(f.head_tube_bottom_up, f.fork_offset) - f.front_radius


def _head_tube_left_below(f: Plane) -> Value:
    return f.head_tube_length - f.top_tube_at_head


def _head_tube_left_above(f: Plane) -> Value:
    return f.head_tube_length - f.down_tube_at_head


def unusual(dimensions: Mapping[str, float | None], apart_from: Collection[str] = ()) -> list[str]:
    """Names of dimensions outside usual practice, those in `apart_from` not looked at."""
    found = []
    for name, value in dimensions.items():
        usual = REGISTRY[name].usual
        if value is None or usual is None or name in apart_from:
            continue
        if not usual[0] - _SLACK <= value <= usual[1] + _SLACK:
            found.append(name)
    return found

"""What makes a solved frame one that can be built, and how far it lies from usual practice."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from layout.geometry.analytic import Value, hypot
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import DEFAULT_LOWER_STACK
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

_ROUNDED_STACK = 3.0
"""A lower stack found from rounded numbers may come out a little under nothing: warned of, not refused."""
_ROOM = 0.2
"""Inside a limit, mm or degrees: a value rounded as it is shown still keeps it."""
_SLACK = 1e-6
"""Rounding allowed at the end of a range, mm or degrees."""


@dataclass(frozen=True)
class Limit:
    """What a frame must keep to be built: `low` <= `quantity` of the plane <= `high`.

    `name` is the dimension at fault where it does not; if that is a default the limit
    is not asked for. `reason` puts it into words. `best` is a value in good practice
    where the ends of the range are none.
    """

    name: str
    quantity: Callable[[Plane], Value]
    low: float
    high: float
    reason: Callable[[Plane], str]
    best: float | None = None

    def aim(self, value: float) -> float:
        """What to change the quantity to, that is `value` now: inside the range by more than rounding."""
        if self.best is not None:
            return self.best
        return self.low + _ROOM if value < self.low else self.high - _ROOM

    def kept(self, frame: Plane) -> Any:
        """Whether the frame keeps it, or an array of whether each frame does."""
        value = self.quantity(frame)
        return (value >= self.low - _SLACK) & (value <= self.high + _SLACK)


def _range_limit(name: str) -> Limit:
    dimension = REGISTRY[name]
    (low, high), unit = dimension.sane, dimension.unit

    def reason(f: Plane) -> str:
        value = float(dimension.function(f))
        return f"{name} would be {value:.1f} {unit}; sane values are {low:g} to {high:g} {unit}"

    return Limit(name, dimension.function, low, high, reason=reason)


def _missed(name: str, tube: str, end: str) -> Callable[[Plane], str]:
    def reason(f: Plane) -> str:
        at = float(getattr(f, name))
        side = "beyond" if at < 0.0 else "from"
        return (
            f"the {tube} would miss the head tube: it meets the steering axis {abs(at):.1f} mm {side} the"
            f" head tube's {end} end, and the head tube is {f.head_tube_length:.1f} mm long"
        )

    return reason


def _through_wheel(f: Plane) -> str:
    return (
        "the head tube would pass through the front wheel: its lower end lies"
        f" {_above_tyre(f) + f.front_radius:.1f} mm from the front axle, the wheel's radius is"
        f" {f.front_radius:.1f} mm"
    )


def _crown_inside(f: Plane) -> str:
    return f"lower_stack would be {f.lower_stack:.1f} mm: the fork's crown would stand inside the head tube"


def _above_tyre(f: Plane) -> Value:
    return hypot(f.head_tube_bottom_up, f.fork_offset) - f.front_radius


_MISSED_TOP = _missed("top_tube_at_head", "top tube", "top")
_MISSED_LOW = _missed("down_tube_at_head", "down tube", "lower")

LIMITS: tuple[Limit, ...] = (
    *map(_range_limit, SEARCH_BOUNDS),
    Limit("axle_to_crown", _above_tyre, 0.0, np.inf, reason=_through_wheel),
    Limit(
        "lower_stack",
        lambda f: f.lower_stack,
        -_ROUNDED_STACK,
        np.inf,
        reason=_crown_inside,
        best=DEFAULT_LOWER_STACK,
    ),
    Limit("top_tube_at_head", lambda f: f.top_tube_at_head, 0.0, np.inf, reason=_MISSED_TOP),
    Limit(
        "top_tube_at_head", lambda f: f.head_tube_length - f.top_tube_at_head, 0.0, np.inf, reason=_MISSED_TOP
    ),
    Limit("down_tube_at_head", lambda f: f.down_tube_at_head, 0.0, np.inf, reason=_MISSED_LOW),
    Limit(
        "down_tube_at_head",
        lambda f: f.head_tube_length - f.down_tube_at_head,
        0.0,
        np.inf,
        reason=_MISSED_LOW,
    ),
    Limit(
        "top_tube_length",
        lambda f: f.top_tube_run[0],
        0.0,
        np.inf,
        reason=lambda f: "the top tube would run backwards: the head tube lies behind the seat tube",
    ),
)


def impossible(frame: Plane, defaults: Collection[str]) -> Limit | None:
    """The first limit that a frame of plain numbers does not keep, or None.

    `defaults` are the dimensions taken from defaults, which never make a frame impossible.
    """
    return next((m for m in LIMITS if m.name not in defaults and not m.kept(frame)), None)


def unusual_count(frames: Plane) -> NDArray[np.int_]:
    """How many dimensions of each of an array of frames lie outside usual practice."""
    counts: NDArray[np.int_] = np.zeros((), int)
    for dimension in REGISTRY.values():
        if dimension.usual is not None and all(map(frames.has, dimension.needs)):
            value = dimension.function(frames)
            low, high = dimension.usual
            counts = counts + np.asarray((value < low - _SLACK) | (value > high + _SLACK), int)
    return counts


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

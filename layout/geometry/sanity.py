"""What makes a solved frame one that can be built, and how far it lies from usual practice."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np

from layout.geometry import messages
from layout.geometry.analytic import Value, hypot
from layout.geometry.derivative import rests_on
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.practice import usual_range
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
"""Dimensions whose possible range a found frame must keep."""

FOUND_STACKS = {"lower_stack": (0.0, 20.0), "upper_stack": (0.0, 40.0)}
"""Headset stacks that nobody wrote lie within these, mm: what is made (common practice)."""
_SLACK = 1e-6
"""Rounding allowed at the end of a range, mm or degrees."""


class Limit(NamedTuple):
    """What a frame must keep to be built: `low` <= `quantity` of the plane <= `high`.

    `name` is the dimension at fault where it does not; if that is a default the limit
    is not asked for. `reason` puts it into words. `unit`, mm or degrees, is what an agreement
    is to a number.
    """

    name: str
    quantity: Callable[[Plane], Value]
    low: float
    high: float
    reason: Callable[[Plane], str]
    unit: float = 0.5

    def beyond(self, frame: Plane) -> float:
        """How far beyond the limit a frame is, in units; 0 or less where it keeps it."""
        value = float(self.quantity(frame))
        return max(self.low - value, value - self.high) / self.unit

    def kept(self, frame: Plane) -> Any:
        """Whether the frame keeps it, or an array of whether each frame does."""
        value = self.quantity(frame)
        return (value >= self.low - _SLACK) & (value <= self.high + _SLACK)


def _range_limit(name: str) -> Limit:
    dimension = REGISTRY[name]
    (low, high), unit = dimension.possible, dimension.unit

    def reason(f: Plane) -> str:
        value = float(dimension.function(f))
        said = "degrees" if unit == "deg" else unit
        return messages.WOULD_BE.format(name=name, value=value, low=low, high=high, unit=said)

    return Limit(name, dimension.function, low, high, reason=reason, unit=0.1 if unit == "deg" else 0.5)


def _stack_limit(name: str, low: float, high: float) -> Limit:
    def reason(f: Plane) -> str:
        return messages.STACK_WOULD_BE.format(name=name, value=float(getattr(f, name)), low=low, high=high)

    return Limit(name, lambda f: getattr(f, name), low, high, reason=reason)


def _sized(name: str) -> Limit:
    def reason(f: Plane) -> str:
        return messages.NEGATIVE.format(name=name, value=float(getattr(f, name)))

    return Limit(name, lambda f: getattr(f, name), 0.0, np.inf, reason=reason)


def _missed(name: str, tube: str, end: str) -> Callable[[Plane], str]:
    def reason(f: Plane) -> str:
        at = float(getattr(f, name))
        said = messages.MISSED_BEYOND if at < 0.0 else messages.MISSED_FROM
        return said.format(tube=tube, at=abs(at), end=end, length=float(f.head_tube_length))

    return reason


def _through_wheel(f: Plane) -> str:
    radius = float(f.front_radius)
    return messages.THROUGH_WHEEL.format(reach=float(_above_tyre(f)) + radius, radius=radius)


def _above_tyre(f: Plane) -> Value:
    return hypot(f.head_tube_bottom_up, f.fork_offset) - f.front_radius


def _below_shell(f: Plane) -> str:
    return messages.BELOW_SHELL.format(below=-float(_seat_tube_cc(f)))


def _seat_tube_cc(f: Plane) -> Value:
    return f.seat_tube_length - f.top_tube_at_seat


_MISSED_TOP = _missed("top_tube_at_head", "top tube", "top")
_MISSED_LOW = _missed("down_tube_at_head", "down tube", "lower")


LIMITS: tuple[Limit, ...] = (
    *map(_range_limit, SEARCH_BOUNDS),
    Limit("axle_to_crown", _above_tyre, 0.0, np.inf, reason=_through_wheel),
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
        reason=lambda _: messages.BACKWARDS,
    ),
)

SEAT_TUBE: tuple[Limit, ...] = (
    Limit("seat_tube_cc", _seat_tube_cc, 0.0, np.inf, reason=_below_shell),
    _sized("seat_tube_length"),
)
"""Not asked where the top tube has its default slope: a default refuses no frame."""
COCKPIT: tuple[Limit, ...] = (_sized("stem_length"), _sized("spacers"))

STACKS: tuple[Limit, ...] = tuple(_stack_limit(name, *ends) for name, ends in FOUND_STACKS.items())
"""Asked of a stack that is neither given nor a default."""


def limits(given: Collection[str], defaults: Collection[str], known: Collection[str]) -> tuple[Limit, ...]:
    """What a frame must keep, by the names of what was given and of what is a default: those do no harm.

    `known` are the parameters that the numbers reach: nothing is asked that rests on any other.
    """
    seat_tube = () if "top_tube_slope" in defaults else SEAT_TUBE
    kept = [m for m in (*LIMITS, *seat_tube, *COCKPIT) if m.name not in defaults]
    kept += [m for m in STACKS if m.name not in given and m.name not in defaults]
    return tuple(m for m in kept if rests_on(m.quantity).issubset(known))


def impossible(frame: Plane, asked: Iterable[Limit]) -> Limit | None:
    """The first of the limits that a frame of plain numbers does not keep, or None."""
    return next((m for m in asked if not m.kept(frame)), None)


def unusual(dimensions: Mapping[str, float | None], apart_from: Collection[str] = ()) -> list[str]:
    """Names of dimensions outside what is usual with wheels of their size, those `apart_from` left out."""
    radius, found = dimensions.get("rear_radius"), []
    for name, value in dimensions.items():
        usual = None if value is None or name in apart_from else usual_range(name, radius)
        if value is not None and usual is not None and not usual[0] - _SLACK <= value <= usual[1] + _SLACK:
            found.append(name)
    return found

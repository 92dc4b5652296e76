"""What makes a solved frame one that can be built, and how far it lies from usual practice."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from layout.geometry.analytic import hypot
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
"""Rounding allowed at the end of a range."""

Dimensions = Mapping[str, float | None]


@dataclass(frozen=True)
class Impossible:
    """Why a frame cannot be: the dimension at fault, in words, and how far beyond its limit (mm, deg)."""

    name: str
    reason: str
    limit: float


def impossible(frame: Plane, defaults: Collection[str]) -> Impossible | None:
    """The first reason why the frame cannot be built, or None.

    `defaults` are the dimensions taken from defaults, which never make a frame impossible.
    """
    for name in SEARCH_BOUNDS:
        dimension = REGISTRY[name]
        value = float(dimension.function(frame))
        low, high = dimension.sane
        if not low - _SLACK <= value <= high + _SLACK and name not in defaults:
            limit = low if value < low else high
            unit = dimension.unit
            return Impossible(
                name,
                f"{name} would be {value:.1f} {unit}, outside {low:g} to {high:g}",
                limit,
            )
    return _beyond_parts(frame, defaults)


def _beyond_parts(frame: Plane, defaults: Collection[str]) -> Impossible | None:
    crown = hypot(frame.head_tube_bottom_up, frame.fork_offset)
    if crown < frame.front_radius - _SLACK:
        return Impossible(
            "axle_to_crown",
            f"the head tube would pass through the front wheel: its lower end is {crown:.1f} mm from the"
            f" front axle, the wheel's radius is {frame.front_radius:.1f}",
            frame.front_radius,
        )
    for name, tube in (("top_tube_at_head", "top tube"), ("down_tube_at_head", "down tube")):
        at = getattr(frame, name)
        if name not in defaults and not -_SLACK <= at <= frame.head_tube_length + _SLACK:
            return Impossible(
                name,
                f"the {tube} would miss the head tube: it meets the axis {at:.1f} mm from the end of a head"
                f" tube {frame.head_tube_length:.1f} long",
                0.0 if at < 0.0 else frame.head_tube_length,
            )
    if frame.top_tube_run[0] <= 0.0:
        return Impossible("top_tube_length", "the top tube would run backwards", 0.0)
    return None


def unusual(dimensions: Dimensions, apart_from: Collection[str] = ()) -> list[str]:
    """Names of dimensions outside usual practice, those in `apart_from` not looked at."""
    found = []
    for name, value in dimensions.items():
        usual = REGISTRY[name].usual
        if value is None or usual is None or name in apart_from:
            continue
        if not usual[0] <= value <= usual[1]:
            found.append(name)
    return found

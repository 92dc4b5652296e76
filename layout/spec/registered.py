"""What the spec takes from geometry's registry: names, meanings, units and ranges of the plane dimensions."""

from __future__ import annotations

from functools import cache

from layout.geometry.dimensions import REGISTRY
from layout.spec.values import Quantity, Sure

DIMENSION_KEYS = {
    "fork.axle_to_crown": "axle_to_crown",
    "fork.offset": "fork_offset",
    "fork.length_on_axis": "fork_length_on_axis",
    "fork.sag": "fork_sag",
    "headset.lower_stack": "lower_stack",
    "headset.upper_stack": "upper_stack",
    "cockpit.stem_length": "stem_length",
    "cockpit.stem_angle": "stem_angle",
    "cockpit.stem_clamp_height": "stem_clamp_height",
    "cockpit.spacers": "spacers",
    "rider.saddle_height": "saddle_height",
    "rider.saddle_setback": "saddle_setback",
    "rider.saddle_nose_length": "saddle_nose_length",
    "rider.shoe_ahead_of_spindle": "shoe_ahead_of_spindle",
    "rider.crank_length": "crank_length",
    "rider.pedal_side": "pedal_side",
    "rider.pedal_outer": "pedal_outer",
    "rider.pedal_below": "pedal_below",
    "wheels.front": "front_radius",
    "wheels.rear": "rear_radius",
}
"""Keys outside `geometry` that give a plane dimension, with the dimension's name."""

_KEYS = {name: key for key, name in DIMENSION_KEYS.items()}


@cache
def quantity(name: str) -> Quantity:
    """How a dimension of the registry is read: its meaning, possible range and unit."""
    found = REGISTRY[name]
    low, high = found.possible
    return Quantity(found.meaning, low, high, "degrees" if found.unit == "deg" else found.unit)


@cache
def given(name: str) -> Sure:
    """How a dimension is read where it is given, which may say how sure it is."""
    found = quantity(name)
    return Sure(found.meaning, found.low, found.high, found.unit)


def givable() -> dict[str, Quantity]:
    """Every dimension that may be given, in the registry's order."""
    return {name: quantity(name) for name in REGISTRY if name not in asked_only()}


@cache
def asked_only() -> frozenset[str]:
    """The dimensions that are worked out but never given: worst cases over steering or lean."""
    return frozenset(name for name, found in REGISTRY.items() if found.asked_only)


def key_of(name: str) -> str:
    """The dotted key where a spec gives a dimension, outside `geometry` where there is one.

    >>> key_of("fork_offset"), key_of("reach")
    ('fork.offset', 'geometry.reach')
    """
    return _KEYS.get(name, f"geometry.{name}")

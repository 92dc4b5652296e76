"""What the builder should know of a frame that was found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from layout.errors import Notice
from layout.geometry.diagnosis.words import number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import Equation
from layout.geometry.sanity import unusual
from layout.geometry.structure import Structure

Dimensions = Mapping[str, float | None]


def notices(found: Structure, dimensions: Dimensions, defaults: Mapping[str, float]) -> Iterator[Notice]:
    """Warnings of one frame: default_replaced, seat_tube_assumed, unusual."""
    for equation in found.replaced:
        yield _replaced(equation, dimensions)
    if "top_tube_slope" in defaults:
        length = dimensions["seat_tube_length"] or 0.0
        slope = number(defaults["top_tube_slope"], "top_tube_slope")
        text = (
            f"seat tube length assumed: {number(length, 'seat_tube_length')} mm follows from a top tube slope"
            f" of {slope} deg, which is a default; give seat_tube_length or top_tube_slope"
        )
        yield Notice("seat_tube_assumed", text)
    for name in unusual(dimensions, defaults):
        yield _unusual(name, dimensions)


def _replaced(equation: Equation, dimensions: Dimensions) -> Notice:
    name = equation.name
    value = number(dimensions[name] or 0.0, name)
    default = "the same as the rear wheel's" if name == "front_radius" else f"{equation.value:g} mm"
    text = f"{name} follows from the other numbers: {value} mm; its default, {default}, is not used"
    return Notice("default_replaced", text)


def _unusual(name: str, dimensions: Dimensions) -> Notice:
    dimension = REGISTRY[name]
    low, high = dimension.usual or dimension.sane
    value = number(dimensions[name] or 0.0, name)
    unit = dimension.unit
    text = f"{name} is {value} {unit}; usual is {low:g} to {high:g} {unit} (common practice)"
    return Notice("unusual", text)

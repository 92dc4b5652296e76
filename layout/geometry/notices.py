"""What the builder should know of a frame that was found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from layout.errors import Notice
from layout.geometry import messages
from layout.geometry.clearances import down_tube_gap, seat_tube_gap
from layout.geometry.diagnosis.words import measured, unit_of
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.practice import usual_range
from layout.geometry.equations import PLACE_DEFAULTS, Equation
from layout.geometry.plane import Plane
from layout.geometry.sanity import unusual
from layout.geometry.structure import Structure

Dimensions = Mapping[str, float | None]


def notices(
    found: Structure, frame: Plane, dimensions: Dimensions, defaults: Mapping[str, float]
) -> Iterator[Notice]:
    """Warnings of one frame, by code.

    default_replaced, place_moved, seat_tube_assumed, tubes_crossed, seat_tube_short, overlap, unusual.
    """
    for equation in found.replaced:
        if equation.name not in defaults:
            yield (_moved if equation in PLACE_DEFAULTS else _replaced)(equation, dimensions)
    if "top_tube_slope" in defaults:
        length = measured(dimensions["seat_tube_length"] or 0.0, "seat_tube_length")
        slope = measured(defaults["top_tube_slope"], "top_tube_slope")
        text = messages.SEAT_TUBE_ASSUMED.format(length=length, slope=slope)
        yield Notice("seat_tube_assumed", text)
    yield from _crossed(frame)
    yield from _short_seat_tube(frame)
    yield from _overlaps(frame)
    for name in unusual(dimensions, defaults):
        yield _unusual(name, dimensions)


def _crossed(frame: Plane) -> Iterator[Notice]:
    """A word where the down tube's axis meets the head tube's above the top tube's."""
    top, down, length = (
        float(v) for v in (frame.top_tube_at_head, frame.down_tube_at_head, frame.head_tube_length)
    )
    if top + down > length:
        yield Notice("tubes_crossed", messages.CROSSED.format(top=top, down=down, length=length))


def _short_seat_tube(frame: Plane) -> Iterator[Notice]:
    """A word where the top tube's axis meets the seat tube's above its end."""
    above = -float(frame.top_tube_at_seat)
    if above > 0.0:
        yield Notice("seat_tube_short", messages.SEAT_TUBE_SHORT.format(above=above))


def _overlaps(frame: Plane) -> Iterator[Notice]:
    """A word for each tyre that stands in a tube."""
    for said, gap in (
        (messages.REAR_OVERLAP, seat_tube_gap(frame)),
        (messages.FRONT_OVERLAP, down_tube_gap(frame)),
    ):
        if gap < 0.0:
            yield Notice("overlap", said.format(by=-float(gap)))


def _replaced(equation: Equation, dimensions: Dimensions) -> Notice:
    name = equation.name
    value = measured(dimensions[name] or 0.0, name)
    where = "wheels" if name.endswith("radius") else "headset"
    default = f"{equation.value:g} mm"
    text = messages.REPLACED.format(name=name, value=value, default=default, where=where)
    return Notice("default_replaced", text)


def _moved(equation: Equation, dimensions: Dimensions) -> Notice:
    value = measured(dimensions[equation.name] or 0.0, equation.name)
    return Notice("place_moved", messages.PLACE_MOVED.format(name=equation.name, value=value))


def _unusual(name: str, dimensions: Dimensions) -> Notice:
    dimension = REGISTRY[name]
    low, high = usual_range(name, dimensions["rear_radius"]) or dimension.possible
    value = measured(dimensions[name] or 0.0, name)
    text = messages.UNUSUAL.format(name=name, value=value, low=low, high=high, unit=unit_of(name))
    return Notice("unusual", text)

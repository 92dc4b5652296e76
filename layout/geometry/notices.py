"""What the builder should know of a frame that was found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from layout.errors import Notice
from layout.geometry.clearances import down_tube_gap, seat_tube_gap
from layout.geometry.diagnosis.words import number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.practice import usual_range
from layout.geometry.equations import Equation
from layout.geometry.plane import Plane
from layout.geometry.sanity import unusual
from layout.geometry.structure import Structure

Dimensions = Mapping[str, float | None]


def notices(
    found: Structure, frame: Plane, dimensions: Dimensions, defaults: Mapping[str, float]
) -> Iterator[Notice]:
    """Warnings of one frame, by code.

    default_replaced, seat_tube_assumed, tubes_crossed, seat_tube_short, overlap, unusual.
    """
    for equation in found.replaced:
        if equation.name not in defaults:
            yield _replaced(equation, dimensions)
    if "top_tube_slope" in defaults:
        length = dimensions["seat_tube_length"] or 0.0
        slope = number(defaults["top_tube_slope"], "top_tube_slope")
        text = (
            f"seat tube length assumed: {number(length, 'seat_tube_length')} mm follows from a top tube slope"
            f" of {slope} deg, which is a default; give seat_tube_length or top_tube_slope"
        )
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
        yield Notice(
            "tubes_crossed",
            f"the top tube and the down tube cross at the head tube: {top:.1f} mm below its top and"
            f" {down:.1f} mm above its lower end are more than its {length:.1f} mm; give top_tube_at_head and"
            " down_tube_at_head, or a longer head tube",
        )


def _short_seat_tube(frame: Plane) -> Iterator[Notice]:
    """A word where the top tube's axis meets the seat tube's above its end."""
    above = -float(frame.top_tube_at_seat)
    if above > 0.0:
        yield Notice(
            "seat_tube_short",
            f"the top tube misses the seat tube: it meets its axis {above:.1f} mm above the seat tube's top"
            " end; give a longer seat_tube_length or a top tube that meets it lower",
        )


def _overlaps(frame: Plane) -> Iterator[Notice]:
    """A word for each tyre that stands in a tube."""
    for tyre, tube, gap in (
        ("rear", "seat tube", seat_tube_gap(frame)),
        ("front", "down tube", down_tube_gap(frame)),
    ):
        if gap < 0.0:
            text = f"the {tyre} tyre reaches {-float(gap):.1f} mm into the {tube}: the wheel cannot turn"
            yield Notice("overlap", text)


def _replaced(equation: Equation, dimensions: Dimensions) -> Notice:
    name = equation.name
    value = number(dimensions[name] or 0.0, name)
    where = "wheels" if name.endswith("radius") else "headset"
    text = (
        f"{name} is {value} mm, from your other numbers: its default, {equation.value:g} mm, is not used;"
        f" if that is not yours, write {where}"
    )
    return Notice("default_replaced", text)


def _unusual(name: str, dimensions: Dimensions) -> Notice:
    dimension = REGISTRY[name]
    low, high = usual_range(name, dimensions["rear_radius"]) or dimension.sane
    value = number(dimensions[name] or 0.0, name)
    unit = dimension.unit
    text = f"{name} is {value} {unit}; usual is {low:g} to {high:g} {unit} (common practice)"
    return Notice("unusual", text)

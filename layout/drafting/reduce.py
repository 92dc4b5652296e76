"""A reduced view as a Drawing of its own: for maps and overviews, never to measure from.

The caller letters it ("1:5, not for measuring").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TypeVar

from layout.drafting.dimensions import label_text, lines, value_text
from layout.drafting.entities import (
    AngleDimension,
    ControlPoint,
    Drawing,
    Entity,
    LengthDimension,
    Point,
    Text,
)
from layout.drafting.transform import map_entity

Reduced = TypeVar("Reduced", bound=Entity)


def reduce_drawing(
    drawing: Drawing, factor: float, *, text: bool = False, dimensions: bool = False
) -> Drawing:
    """A drawing `factor` times the size (0.2 for 1:5) about the origin, with no control points.

    Strokes and datum lines are kept. Lettering is kept where `text`, dimensions as their lines
    and lettering where `dimensions`, both in their own height: words keep their size, and a
    dimension keeps saying the true value.
    """
    return Drawing(
        drawing.title,
        tuple(_reduced_all(drawing.entities, factor, text, dimensions)),
    )


def _reduced_all(
    entities: tuple[Entity, ...], factor: float, text: bool, dimensions: bool
) -> Iterator[Entity]:
    for e in entities:
        match e:
            case LengthDimension() | AngleDimension():
                if dimensions:
                    yield from _reduced_dimension(e, factor)
            case ControlPoint():
                pass
            case Text() if not text:
                pass
            case _:
                yield _small(e, factor)


def _small(e: Reduced, factor: float) -> Reduced:
    def at(p: Point) -> Point:
        return p[0] * factor, p[1] * factor

    return map_entity(e, at, size=factor)


def _reduced_dimension(d: LengthDimension | AngleDimension, factor: float) -> Iterator[Entity]:
    """The lines of the small dimension, lettered with the value of the true one."""
    small = _small(d, factor)
    true = replace(d, text_at=small.text_at)
    label = label_text(true)
    yield from lines(small)
    yield from () if label is None else (label,)
    yield value_text(true)

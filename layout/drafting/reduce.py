"""A reduced view as a Drawing of its own: for maps and overviews, never to measure from.

The caller letters it ("1:5, not for measuring").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import assert_never

from layout.drafting.dimensions import label_text, lines, value_text
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Dimension,
    Drawing,
    Entity,
    Line,
    Point,
    Polyline,
    Text,
)


def reduced(drawing: Drawing, factor: float, *, text: bool = False, dimensions: bool = False) -> Drawing:
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
    def at(p: Point) -> Point:
        return p[0] * factor, p[1] * factor

    for e in entities:
        match e:
            case Line():
                yield replace(e, start=at(e.start), end=at(e.end))
            case Arc() | Circle():
                yield replace(e, centre=at(e.centre), radius=e.radius * factor)
            case Polyline():
                yield replace(e, points=tuple(at(p) for p in e.points))
            case DatumLine():
                yield replace(e, through=at(e.through))
            case Text():
                if text:
                    yield replace(e, at=at(e.at))
            case Dimension() | AngleDimension():
                if dimensions:
                    yield from _reduced_dimension(e, factor)
            case ControlPoint():
                pass
            case _:
                assert_never(e)


def _reduced_dimension(d: Dimension | AngleDimension, factor: float) -> Iterator[Entity]:
    """The lines of the small dimension, lettered with the value of the true one."""

    def at(p: Point) -> Point:
        return p[0] * factor, p[1] * factor

    leader = None if d.leader is None else at(d.leader)
    small: Dimension | AngleDimension
    if isinstance(d, Dimension):
        small = replace(
            d,
            start=at(d.start),
            end=at(d.end),
            line_at=at(d.line_at),
            text_at=at(d.text_at),
            leader=leader,
        )
    else:
        small = replace(
            d,
            vertex=at(d.vertex),
            start=at(d.start),
            end=at(d.end),
            radius=d.radius * factor,
            text_at=at(d.text_at),
            leader=leader,
        )
    true = replace(d, text_at=small.text_at)
    label = label_text(true)
    yield from lines(small)
    yield from () if label is None else (label,)
    yield value_text(true)

"""Rigid motion of entities and drawings: moved, or turned by quarter turns. There is no scale here.

Quarter turns are exact: (x, y) becomes (-y, x), with no sine or cosine to round.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar, assert_never, cast

from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Point,
    Polyline,
    Text,
)

Movable = TypeVar("Movable", bound=Drawing | Entity)

Kind = TypeVar("Kind", bound=Entity)

Move = Callable[[Point], Point]
"""Where a point goes."""


def move(thing: Movable, dx: float, dy: float) -> Movable:
    """The entity or drawing moved by (dx, dy) mm.

    >>> from layout.drafting.entities import ControlPoint
    >>> move(ControlPoint("bb", (1.0, 2.0)), 10.0, 20.0).at
    (11.0, 22.0)
    """

    def move(p: Point) -> Point:
        return p[0] + dx, p[1] + dy

    return _apply_map(thing, move, 0)


def turn_quarters(thing: Movable, quarter: int) -> Movable:
    """The entity or drawing turned about the origin by `quarter` turns of 90 degrees counter-clockwise.

    Lettering turns with it.

    >>> from layout.drafting.entities import ControlPoint
    >>> turn_quarters(ControlPoint("bb", (3.0, 1.0)), 1).at
    (-1.0, 3.0)
    """
    turns = quarter % 4
    if not turns:
        return thing

    def turn(p: Point) -> Point:
        x, y = p
        for _ in range(turns):
            x, y = -y, x
        return x, y

    return _apply_map(thing, turn, 90 * turns)


def _apply_map(thing: Movable, move: Move, angle: int) -> Movable:
    done: Drawing | Entity
    if isinstance(thing, Drawing):
        done = Drawing(thing.title, tuple([_map_one(e, move, angle, 1.0) for e in thing.entities]))
    else:
        done = _map_one(thing, move, angle, 1.0)
    return cast(Movable, done)


def map_entity(e: Kind, move: Move, angle: float = 0.0, size: float = 1.0) -> Kind:
    """The entity with points moved, directions turned by `angle` degrees, radii `size` times theirs.

    Lettering keeps its height.
    """
    return cast(Kind, _map_one(e, move, angle, size))


def _map_one(e: Entity, move: Move, angle: float, size: float) -> Entity:
    match e:
        case Line():
            return Line(move(e.start), move(e.end), e.layer, e.pen)
        case Text():
            return Text(move(e.at), e.text, e.height, e.layer, angle=e.angle + angle, align=e.align)
        case Polyline():
            return Polyline(tuple(map(move, e.points)), e.layer, e.closed, e.pen)
        case Arc():
            start, end = e.start_angle + angle, e.end_angle + angle
            return Arc(move(e.centre), e.radius * size, start, end, layer=e.layer, pen=e.pen)
        case Circle():
            return Circle(move(e.centre), e.radius * size, e.layer, e.pen)
        case ControlPoint():
            return ControlPoint(e.name, move(e.at), e.layer)
        case LengthDimension() | AngleDimension():
            return _mapped_dimension(e, move, angle, size)
        case DatumLine():
            return replace(e, through=move(e.through), angle=e.angle + angle)
        case _:
            assert_never(e)


def _mapped_dimension(
    d: LengthDimension | AngleDimension, move: Move, angle: float, size: float
) -> LengthDimension | AngleDimension:
    leader = None if d.leader is None else move(d.leader)
    ends = replace(
        d,
        start=move(d.start),
        end=move(d.end),
        text_at=move(d.text_at),
        text_angle=d.text_angle + angle,
        leader=leader,
    )
    if isinstance(ends, LengthDimension):
        return replace(ends, direction=ends.direction + angle, line_at=move(ends.line_at))
    return replace(ends, vertex=move(ends.vertex), radius=ends.radius * size)

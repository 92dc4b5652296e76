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
    Dimension,
    Drawing,
    Entity,
    Line,
    Point,
    Polyline,
    Text,
)

Movable = TypeVar("Movable", bound=Drawing | Entity)

_Move = Callable[[Point], Point]


def moved(thing: Movable, dx: float, dy: float) -> Movable:
    """The entity or drawing moved by (dx, dy) mm.

    >>> from layout.drafting.entities import ControlPoint
    >>> moved(ControlPoint("bb", (1.0, 2.0)), 10.0, 20.0).at
    (11.0, 22.0)
    """

    def move(p: Point) -> Point:
        return p[0] + dx, p[1] + dy

    return _applied(thing, move, 0)


def turned(thing: Movable, quarter: int) -> Movable:
    """The entity or drawing turned about the origin by `quarter` turns of 90 degrees counter-clockwise.

    Lettering turns with it.

    >>> from layout.drafting.entities import ControlPoint
    >>> turned(ControlPoint("bb", (3.0, 1.0)), 1).at
    (-1.0, 3.0)
    """
    turns = quarter % 4

    def turn(p: Point) -> Point:
        x, y = p
        for _ in range(turns):
            x, y = -y, x
        return x, y

    return _applied(thing, turn, 90 * turns)


def _applied(thing: Movable, move: _Move, angle: int) -> Movable:
    done: Drawing | Entity
    if isinstance(thing, Drawing):
        done = Drawing(
            thing.title,
            tuple(_entity(e, move, angle) for e in thing.entities),
        )
    else:
        done = _entity(thing, move, angle)
    return cast(Movable, done)


def _entity(e: Entity, move: _Move, angle: int) -> Entity:
    match e:
        case Line():
            return replace(e, start=move(e.start), end=move(e.end))
        case Arc():
            return replace(
                e,
                centre=move(e.centre),
                start_angle=e.start_angle + angle,
                end_angle=e.end_angle + angle,
            )
        case Circle():
            return replace(e, centre=move(e.centre))
        case Polyline():
            return replace(e, points=tuple(move(p) for p in e.points))
        case Text():
            return replace(e, at=move(e.at), angle=e.angle + angle)
        case ControlPoint():
            return replace(e, at=move(e.at))
        case Dimension():
            return replace(
                e,
                start=move(e.start),
                end=move(e.end),
                direction=e.direction + angle,
                line_at=move(e.line_at),
                text_at=move(e.text_at),
                text_angle=e.text_angle + angle,
                leader=None if e.leader is None else move(e.leader),
            )
        case AngleDimension():
            return replace(
                e,
                vertex=move(e.vertex),
                start=move(e.start),
                end=move(e.end),
                text_at=move(e.text_at),
                text_angle=e.text_angle + angle,
                leader=None if e.leader is None else move(e.leader),
            )
        case DatumLine():
            return replace(e, through=move(e.through), angle=e.angle + angle)
        case _:
            assert_never(e)

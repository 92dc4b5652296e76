"""Scribe crosses: two arms through a named point, its name beside it, the point itself for files.

|
|  rear axle        Points that coincide share one cross and one name, the first's.
----+----
|
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping

from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import ControlPoint, Line
from layout.drafting.style import Layer
from layout.drafting.vector import Point, along

Reach = Callable[[Point, float], float]
"""How long an arm is that leaves a point in a direction on paper, degrees; mm."""


def cross(at: Point, reach: float | Reach) -> tuple[Line, Line]:
    """The level and the upright arm through a point, `reach` to each side."""

    def end(direction: float) -> Point:
        return along(at, direction, reach if isinstance(reach, float) else reach(at, direction))

    return Line(end(180.0), end(0.0), Layer.POINT), Line(end(-90.0), end(90.0), Layer.POINT)


def crosses(points: Iterable[Point], reach: float | Reach) -> Iterator[Line]:
    """A cross on each point, once where points coincide."""
    for at in dict.fromkeys(points):
        yield from cross(at, reach)


def control_points(points: Mapping[str, Point], prefix: str = "") -> Iterator[ControlPoint]:
    """The points themselves, `prefix` before their names."""
    for name, at in points.items():
        yield ControlPoint(prefix + name, at)


def coinciding(points: Mapping[str, Point], within: float = 0.0) -> list[tuple[Point, list[str]]]:
    """The names at each place, in order; points no further apart than `within` mm are at one place.

    >>> coinciding({"a": (0.0, 0.0), "b": (1.0, 0.0), "c": (0.0, 0.0)})
    [((0.0, 0.0), ['a', 'c']), ((1.0, 0.0), ['b'])]
    """
    found: list[tuple[Point, list[str]]] = []
    for name, at in points.items():
        names = next((names for place, names in found if math.dist(place, at) <= within), None)
        if names is None:
            found.append((at, [name]))
        else:
            names.append(name)
    return found


def name_calls(
    points: Mapping[str, Point], said: Callable[[str], str], within: float = 0.0
) -> list[Call]:
    """The name beside each cross, as `said` has it."""
    return [NoteCall(said(names[0]), at) for at, names in coinciding(points, within)]

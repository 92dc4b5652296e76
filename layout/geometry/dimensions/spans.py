"""Where a dimension is measured in the side view: between which points, along which direction.

Said once, of named points, so that a drawing, a sketch and a setting all show the same thing:

    LengthSpan   from one spot to another along a direction; the value is positive where the end
                 lies in that direction of the start
    AngleSpan    at a vertex, from its first arm to its second; the value is positive where the
                 turn is counter-clockwise on a bicycle heading right

    spot         a named point, or where two lines meet
    line         through a named point: level, plumb, along an axis or square to it
    level        is measured ahead, plumb up, along an axis from its first point to its second,
                 square to an axis to its right: ahead of an upright tube, under one that lies

A span is placed on a mapping of point names to coordinates, mm; x may be mirrored, as it is on
a sheet of a bicycle heading left. Angles are degrees, counter-clockwise positive.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from layout.geometry.space.roles import CHAIN_STAY, DOWN_TUBE, HEAD_TUBE, SEAT_TUBE

Point = tuple[float, float]
Points = Mapping[str, Point]

ARM = 100.0
"""How long the level arm of an angle is made, mm."""
COINCIDE = 1e-9
"""Two points nearer than this, mm, have no direction of their own."""
PARALLEL = 1e-12
"""Two directions whose cross product is less than this do not meet."""
_QUARTERS = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), -90.0: (0.0, -1.0)}
"""Unit vectors without rounding."""


class Way(Enum):
    """A direction that needs no tube: straight is from the start to the end themselves."""

    STRAIGHT = "straight"
    LEVEL = "level"
    PLUMB = "plumb"


class Arm(Enum):
    """The level arm of an angle."""

    AHEAD = "ahead"
    BEHIND = "behind"


@dataclass(frozen=True)
class Along:
    """The direction of the axis from one named point to another."""

    first: str
    second: str

    @property
    def square(self) -> Square:
        """The direction square to this axis."""
        return Square(self)


@dataclass(frozen=True)
class Square:
    """The direction square to an axis, to its right on a bicycle heading right."""

    axis: Along


Direction = Way | Along | Square


@dataclass(frozen=True)
class Through:
    """The line through a named point in a direction."""

    point: str
    direction: Direction


@dataclass(frozen=True)
class Meeting:
    """The spot where two lines meet."""

    one: Through
    other: Through


Spot = str | Meeting
"""A named point, or where two lines meet."""

SEAT_AXIS = Along(*SEAT_TUBE.points)
HEAD_AXIS = Along(*HEAD_TUBE.points)
DOWN_AXIS = Along(*DOWN_TUBE.points)
CHAIN_STAY_AXIS = Along(*CHAIN_STAY.points)
FORK_AXIS = Along("fork_foot", "crown_race")
"""The steering axis, as the fork has it."""


def corner(over: str, level_with: str) -> Meeting:
    """The spot plumb over or under one named point, level with another."""
    return Meeting(Through(over, Way.PLUMB), Through(level_with, Way.LEVEL))


@dataclass(frozen=True)
class PlacedLength:
    """A length where it lies: two points, mm, and the direction it is measured along, degrees.

    A level line has direction 0 whichever way the bicycle heads; both ends of a length along or
    square to an axis lie on one such line, so that it has the direction of its own two ends
    but for a short one.
    `sense` is -1 where it is positive against its direction.
    """

    start: Point
    end: Point
    direction: float
    sense: float = 1.0

    @property
    def value(self) -> float:
        """The length in mm; negative where the end lies the other way than it is measured.

        >>> PlacedLength((0.0, 50.0), (30.0, 10.0), 0.0).value
        30.0
        """
        u = _unit(self.direction)
        along = (self.end[0] - self.start[0]) * u[0] + (self.end[1] - self.start[1]) * u[1]
        return self.sense * along


@dataclass(frozen=True)
class PlacedAngle:
    """An angle where it lies: its vertex and a point on each arm, mm.

    `sense` is +1 where counter-clockwise from first to second is positive: the bicycle heads right.
    """

    vertex: Point
    first: Point
    second: Point
    sense: float = 1.0

    @property
    def value(self) -> float:
        """The angle in degrees, more than -180 and at most 180.

        >>> round(PlacedAngle((0.0, 0.0), (2.0, 0.0), (3.0, 3.0)).value, 9)
        45.0
        """
        swept = _bearing(self.vertex, self.second) - _bearing(self.vertex, self.first)
        return 180.0 - (180.0 - self.sense * swept) % 360.0


@dataclass(frozen=True)
class LengthSpan:
    """Measured from `start` to `end` along a direction.

    The ends of a `short` one may be so near each other that its axis gives the direction, not they.
    """

    start: Spot
    end: Spot
    direction: Direction = Way.STRAIGHT
    short: bool = False

    def far_from(self, point: str) -> str | None:
        """The named point at its end, or at its start where that is `point` or no named point."""
        ends = (spot for spot in (self.end, self.start) if isinstance(spot, str) and spot != point)
        return next(ends, None)

    @property
    def sources(self) -> tuple[str, ...]:
        """The named points it is measured from: both ends, or the one that an end is level or square with."""
        met = [spot.other.point for spot in (self.start, self.end) if isinstance(spot, Meeting)]
        return tuple(met) or tuple(spot for spot in (self.start, self.end) if isinstance(spot, str))

    def value(self, points: Points) -> float:
        """What it measures among these points, mm. Raises ValueError where one is not known."""
        placed = self.placed(points)
        if placed is None:
            raise ValueError(f"no place for {self}")
        return placed.value

    def placed(self, points: Points) -> PlacedLength | None:
        """Where it lies among these points; None where one is not known or two lines do not meet."""
        start, end = _at(self.start, points), _at(self.end, points)
        if start is None or end is None:
            return None
        own, way = _bearing(start, end), self.direction
        if way is Way.STRAIGHT:
            return PlacedLength(start, end, own)
        direction = _degrees(way, points)
        if direction is None:
            return None
        if isinstance(way, Way):
            return PlacedLength(start, end, direction, _forward(points) if way is Way.LEVEL else 1.0)
        if self.short or math.dist(start, end) < COINCIDE:
            return PlacedLength(start, end, direction)
        return PlacedLength(start, end, own, math.copysign(1.0, math.cos(math.radians(own - direction))))


@dataclass(frozen=True)
class AngleSpan:
    """Measured at `vertex` from the arm through `first` to the one through `second`."""

    vertex: Spot
    first: Spot | Arm
    second: Spot | Arm

    def placed(self, points: Points) -> PlacedAngle | None:
        """Where it lies among these points; None where one is not known or two lines do not meet."""
        vertex = _at(self.vertex, points)
        if vertex is None:
            return None
        first, second = _arm(self.first, vertex, points), _arm(self.second, vertex, points)
        if first is None or second is None:
            return None
        return PlacedAngle(vertex, first, second, _forward(points))


Span = LengthSpan | AngleSpan
PlacedSpan = PlacedLength | PlacedAngle


def _at(spot: Spot, points: Points) -> Point | None:
    """Where a spot is."""
    if isinstance(spot, str):
        return points.get(spot)
    one, other = spot.one, spot.other
    p, q = points.get(one.point), points.get(other.point)
    a, b = _degrees(one.direction, points), _degrees(other.direction, points)
    if p is None or q is None or a is None or b is None:
        return None
    u, v = _unit(a), _unit(b)
    det = u[0] * v[1] - u[1] * v[0]
    if abs(det) < PARALLEL:
        return None
    t = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / det
    return p[0] + t * u[0], p[1] + t * u[1]


def _arm(arm: Spot | Arm, vertex: Point, points: Points) -> Point | None:
    """A point on an arm of an angle."""
    if isinstance(arm, Arm):
        out = _forward(points) * (ARM if arm is Arm.AHEAD else -ARM)
        return vertex[0] + out, vertex[1]
    return _at(arm, points)


def _degrees(direction: Direction, points: Points) -> float | None:
    """A direction that needs no start and end, in degrees; None where its axis is not known."""
    match direction:
        case Way.PLUMB:
            return 90.0
        case Way.LEVEL:
            return 0.0
        case Along(first, second):
            a, b = points.get(first), points.get(second)
            return None if a is None or b is None else _bearing(a, b)
        case Square(axis):
            upright = _degrees(axis, points)
            return None if upright is None else upright - 90.0 * _forward(points)
        case _:
            raise ValueError("straight is the direction of a span, not of a line")


def _forward(points: Points) -> float:
    """+1 where the bicycle heads right, -1 where it heads left."""
    return 1.0 if points["front_axle"][0] >= points["rear_axle"][0] else -1.0


def _bearing(a: Point, b: Point) -> float:
    """The direction from a to b, degrees."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _unit(angle: float) -> Point:
    """The unit vector at an angle in degrees; exact where it is level or plumb."""
    exact = _QUARTERS.get(angle)
    return exact or (math.cos(math.radians(angle)), math.sin(math.radians(angle)))

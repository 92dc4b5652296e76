"""Plane vectors as pairs of floats: the few operations drafting needs.

>>> along((1.0, 0.0), 90.0, 2.0)
(1.0, 2.0)
"""

from __future__ import annotations

import math

Point = tuple[float, float]

_QUARTERS: dict[float, Point] = {
    0.0: (1.0, 0.0),
    90.0: (0.0, 1.0),
    180.0: (-1.0, 0.0),
    270.0: (0.0, -1.0),
    360.0: (1.0, 0.0),
    -90.0: (0.0, -1.0),
    -180.0: (-1.0, 0.0),
}


def unit(angle: float) -> Point:
    """The unit vector at `angle` degrees; exact at multiples of 90."""
    exact = _QUARTERS.get(angle)
    if exact is not None:
        return exact
    a = math.radians(angle)
    return math.cos(a), math.sin(a)


def along(p: Point, angle: float, distance: float) -> Point:
    """The point `distance` mm from `p` in the direction `angle` degrees."""
    u = unit(angle)
    return p[0] + distance * u[0], p[1] + distance * u[1]


def bearing(a: Point, b: Point) -> float:
    """The direction from a to b, degrees in (-180, 180]."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def distance(a: Point, b: Point) -> float:
    """The distance between two points, mm."""
    return math.hypot(b[0] - a[0], b[1] - a[1])


def middle(a: Point, b: Point, part: float = 0.5) -> Point:
    """The point at `part` of the way from a to b; at 0 and 1 the points themselves."""
    if part == 0.0:
        return a
    if part == 1.0:
        return b
    return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def crossing(p: Point, angle: float, q: Point, other: float) -> Point | None:
    """Where the line through p at `angle` meets the one through q at `other`; None if parallel."""
    u, v = unit(angle), unit(other)
    det = u[0] * v[1] - u[1] * v[0]
    if abs(det) < 1e-12:
        return None
    t = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / det
    return p[0] + t * u[0], p[1] + t * u[1]


def readable(angle: float) -> float:
    """The same baseline direction turned so that it is read from below or from the right.

    After ISO 129-1: degrees in (-90, 90].

    >>> readable(180.0), readable(-90.0), readable(100.0)
    (0.0, 90.0, -80.0)
    """
    a = angle % 180.0
    return a - 180.0 if a > 90.0 else a

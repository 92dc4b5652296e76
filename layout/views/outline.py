"""Tubes as the side view shows them: edges, and at each end the mitre's shadow.

A tube runs from `start` to `end` in the frame's plane. Its generator at phi lies y = r cos phi
to the left of the axis and z = r sin phi in front of the plane. Against a tube of radius R in
the same plane it stops where its distance h from that axis satisfies h^2 + z^2 = R^2; against
the shell, square to the plane, where its plan position is R from the shell's centre.
Curves are chords of 3 degrees of phi: 0.007 mm at a radius of 20, under the 0.01 allowed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from layout.drafting.entities import Entity, Line, Polyline
from layout.drafting.style import Layer
from layout.drafting.vector import Point, bearing, distance, unit

STEP = 3.0
TAPER_ROUNDS = 6
"""The radius at a cut depends on where the cut is; each round gains a factor of the taper, 0.02."""


@dataclass(frozen=True, slots=True)
class Post:
    """Something a tube stops at: a tube along `axis` (degrees) through `at`, or the shell if None."""

    at: Point
    radius: float
    axis: float | None = None


@dataclass(frozen=True, slots=True)
class Bar:
    """A tube in the side view, with what its two ends stop at; no posts: a square end."""

    name: str
    start: Point
    end: Point
    start_radius: float
    end_radius: float
    start_posts: tuple[Post, ...] = ()
    end_posts: tuple[Post, ...] = ()

    @property
    def axis(self) -> float:
        """Direction start to end, degrees."""
        return bearing(self.start, self.end)

    @property
    def length(self) -> float:
        """Start to end along the axis."""
        return distance(self.start, self.end)

    def radius_at(self, s: float) -> float:
        """Outside radius at `s` mm from the start, held constant beyond the ends."""
        part = min(max(s / self.length, 0.0), 1.0)
        return self.start_radius + part * (self.end_radius - self.start_radius)

    def reversed(self) -> Bar:
        """The same tube seen from its other end."""
        return Bar(self.name, self.end, self.start, self.end_radius, self.start_radius,
                   self.end_posts, self.start_posts)  # fmt: skip

    def corners(self) -> tuple[Point, ...]:
        """The tube uncut, as a quadrilateral."""
        u = unit(self.axis)
        n = (-u[1], u[0])
        (a, ra), (b, rb) = (self.start, self.start_radius), (self.end, self.end_radius)
        return tuple(
            (p[0] + k * r * n[0], p[1] + k * r * n[1])
            for p, r, k in ((a, ra, -1.0), (b, rb, -1.0), (b, rb, 1.0), (a, ra, 1.0))
        )


def end_curve(bar: Bar) -> list[tuple[Point, int]]:
    """The end's shadow, left edge to right edge seen along the axis, and which post each point is on.

    A post of -1 means the square end.
    """
    count = round(180.0 / STEP)
    return [_end_point(bar, STEP * k) for k in range(count + 1)]


def _end_point(bar: Bar, phi: float) -> tuple[Point, int]:
    u = unit(bar.axis)
    n = (-u[1], u[0])
    station, post = bar.length, -1
    for k, candidate in enumerate(bar.end_posts):
        s = bar.length
        for _ in range(TAPER_ROUNDS):
            s = _meets(bar, candidate, bar.radius_at(s), phi, u, n)
        if post < 0 or s < station:
            station, post = s, k
    r = bar.radius_at(station) * math.cos(math.radians(phi))
    at = (bar.start[0] + station * u[0] + r * n[0], bar.start[1] + station * u[1] + r * n[1])
    return at, post


def _meets(bar: Bar, post: Post, radius: float, phi: float, u: Point, n: Point) -> float:
    """Station along the axis where the generator at phi meets the post, on the side it comes from.

    A generator that passes beside the post is ended level with the post's axis.
    """
    y, z = radius * math.cos(math.radians(phi)), radius * math.sin(math.radians(phi))
    gx, gy = bar.start[0] + y * n[0] - post.at[0], bar.start[1] + y * n[1] - post.at[1]
    if post.axis is None:
        beside = gx * n[0] + gy * n[1]
        return -(gx * u[0] + gy * u[1]) - math.sqrt(max(post.radius**2 - beside**2, 0.0))
    w = unit(post.axis)
    m = (-w[1], w[0])
    from_start = (bar.start[0] - post.at[0]) * m[0] + (bar.start[1] - post.at[1]) * m[1]
    side = 1.0 if from_start >= 0 else -1.0
    h = side * (gx * m[0] + gy * m[1])
    closing = side * (u[0] * m[0] + u[1] * m[1])
    return (math.sqrt(max(post.radius**2 - z**2, 0.0)) - h) / closing


def outline(bar: Bar) -> list[Entity]:
    """The two edges and both ends of a tube, on OUTLINE; pieces that run on the shell are left to it."""
    last = end_curve(bar)
    first = end_curve(bar.reversed())
    drawn: list[Entity] = [
        Line(first[-1][0], last[0][0], Layer.OUTLINE),
        Line(first[0][0], last[-1][0], Layer.OUTLINE),
    ]
    for curve, posts in ((first, bar.start_posts), (last, bar.end_posts)):
        drawn.extend(_visible(curve, posts))
    return drawn


def _visible(curve: Sequence[tuple[Point, int]], posts: Sequence[Post]) -> list[Entity]:
    runs: list[list[Point]] = [[]]
    for (a, on_a), (b, on_b) in pairwise(curve):
        shell = on_a == on_b >= 0 and posts[on_a].axis is None
        if shell:
            runs.append([])
            continue
        if not runs[-1]:
            runs[-1].append(a)
        runs[-1].append(b)
    return [Polyline(tuple(run), Layer.OUTLINE) for run in runs if len(run) > 1]


@dataclass(frozen=True, slots=True)
class Disc:
    """A round part seen end on: the shell, a hub's axle."""

    at: Point
    radius: float


def covered(at: Point, direction: float, parts: Sequence[Bar | Disc]) -> float:
    """How far from `at` along `direction` (degrees) the parts lie over the sheet, mm; 0 if not at all."""
    spans = sorted(s for part in parts if (s := _span(at, direction, part)) is not None)
    reach = 0.0
    for low, high in spans:
        if low <= reach + 1e-6:
            reach = max(reach, high)
    return reach


def _span(at: Point, direction: float, part: Bar | Disc) -> tuple[float, float] | None:
    """Where a ray enters and leaves a part; None if it misses or lies behind."""
    u = unit(direction)
    if isinstance(part, Disc):
        along_ray = (part.at[0] - at[0]) * u[0] + (part.at[1] - at[1]) * u[1]
        beside = (part.at[0] - at[0]) * u[1] - (part.at[1] - at[1]) * u[0]
        if abs(beside) > part.radius:
            return None
        half = math.sqrt(part.radius**2 - beside**2)
        low, high = along_ray - half, along_ray + half
    else:
        low, high = -math.inf, math.inf
        corners = part.corners()
        for a, b in pairwise((*corners, corners[0])):
            nx, ny = b[1] - a[1], a[0] - b[0]
            rate = u[0] * nx + u[1] * ny
            gap = (a[0] - at[0]) * nx + (a[1] - at[1]) * ny
            if abs(rate) < 1e-12:
                if gap < 0:
                    return None
            elif rate > 0:
                high = min(high, gap / rate)
            else:
                low = max(low, gap / rate)
    return (low, high) if high > max(low, 0.0) else None

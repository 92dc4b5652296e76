"""Closed contours of lines and arcs, the way a cutter reads them.

A contour is a ring of vertices; the piece from one vertex to the next is an arc of bulge

    bulge = tan(sweep / 4)      0: a straight line; above 0: turning left (counter-clockwise)

so that what is computed here and what a DXF polyline holds are the same numbers. A whole
circle is a `Round` of its own: a supplier's program knows a hole by its circle.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
Array = NDArray[np.float64]
Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

SAGITTA = 0.001
"""Contours are measured against each other as chords that leave them by no more than this, mm: a
fiftieth of the finest rule here."""
LEAST_PIECE = 1e-4
"""Pieces shorter than this, and arcs that leave their chord by less, are rounding, mm: a cutter stops
at the one, and reads a radius of kilometres from the other."""


class ContourPiece(NamedTuple):
    """One line or arc of a contour."""

    start: Point
    end: Point
    bulge: float = 0.0

    @property
    def chord(self) -> float:
        """Distance from start to end, mm."""
        return math.dist(self.start, self.end)

    @property
    def sweep(self) -> float:
        """Angle the arc turns through, radians, left positive; 0 for a line."""
        return 4.0 * math.atan(self.bulge)

    @property
    def radius(self) -> float:
        """Radius of the arc, mm; infinite for a line."""
        if self.bulge == 0.0:
            return math.inf
        return self.chord * (1.0 + self.bulge**2) / (4.0 * abs(self.bulge))

    @property
    def length(self) -> float:
        """Length along the piece, mm."""
        return self.chord if self.bulge == 0.0 else abs(self.sweep) * self.radius

    @property
    def centre(self) -> Point:
        """Centre of the arc. Raises ValueError for a line."""
        if self.bulge == 0.0:
            raise ValueError("a line has no centre")
        (x0, y0), (x1, y1) = self.start, self.end
        k = (1.0 - self.bulge**2) / (4.0 * self.bulge)
        return (x0 + x1) / 2 - k * (y1 - y0), (y0 + y1) / 2 + k * (x1 - x0)

    def at(self, part: float) -> Point:
        """The point at `part` (0 to 1) of the way along.

        >>> x, y = ContourPiece((1.0, 0.0), (-1.0, 0.0), 1.0).at(0.5)
        >>> round(x, 12) + 0.0, round(y, 12)
        (0.0, 1.0)
        """
        (x0, y0), (x1, y1) = self.start, self.end
        if self.bulge == 0.0:
            return x0 + part * (x1 - x0), y0 + part * (y1 - y0)
        cx, cy = self.centre
        a = part * self.sweep
        c, s = math.cos(a), math.sin(a)
        return cx + c * (x0 - cx) - s * (y0 - cy), cy + s * (x0 - cx) + c * (y0 - cy)

    def direction(self, part: float) -> float:
        """Direction of travel at `part` of the way, radians."""
        along = math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])
        return along + (part - 0.5) * self.sweep

    def between(self, low: float, high: float) -> ContourPiece:
        """The piece from `low` to `high` parts of the way."""
        return ContourPiece(self.at(low), self.at(high), math.tan(math.atan(self.bulge) * (high - low)))

    def chords(self, sagitta: float) -> list[Point]:
        """Points after the start, the end among them, whose chords leave the piece by at most `sagitta`."""
        if self.bulge == 0.0:
            return [self.end]
        step = 2.0 * math.acos(max(1.0 - sagitta / self.radius, 0.0))
        count = max(1, math.ceil(abs(self.sweep) / step))
        return [*(self.at(k / count) for k in range(1, count)), self.end]


@dataclass(frozen=True)
class Contour:
    """A closed ring: `bulges[k]` belongs to the piece from `points[k]` to the next one."""

    points: tuple[Point, ...]
    bulges: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.points) != len(self.bulges) or len(self.points) < 2:
            raise ValueError("a contour has two vertices or more, and one bulge for each")

    @property
    def pieces(self) -> tuple[ContourPiece, ...]:
        """Every line and arc in order."""
        ends = (*self.points[1:], self.points[0])
        return tuple(ContourPiece(a, b, k) for a, b, k in zip(self.points, ends, self.bulges, strict=True))

    @property
    def area(self) -> float:
        """Enclosed area, mm2; positive where the ring runs counter-clockwise.

        The polygon of the chords, and for each arc its segment r^2 (sweep - sin sweep) / 2.

        >>> round(Contour(((1.0, 0.0), (-1.0, 0.0)), (1.0, 1.0)).area, 9) == round(math.pi, 9)
        True
        """
        total = 0.0
        for piece in self.pieces:
            (x0, y0), (x1, y1) = piece.start, piece.end
            total += (x0 * y1 - x1 * y0) / 2
            if piece.bulge != 0.0:
                total += piece.radius**2 * (piece.sweep - math.sin(piece.sweep)) / 2
        return total

    @property
    def length(self) -> float:
        """Length of the cut, mm."""
        return sum(p.length for p in self.pieces)

    @property
    def bounds(self) -> Box:
        """The least upright box that holds the ring."""
        xs, ys = zip(*(q for p in self.pieces for q in _extremes(p)), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @cached_property
    def loop(self) -> Array:
        """The ring as chords, points (n, 2), the last one joined to the first."""
        found = [self.points[0]]
        for piece in self.pieces:
            found.extend(piece.chords(SAGITTA))
        return np.array(found[:-1])

    def moved(self, dx: float, dy: float) -> Contour:
        """The ring moved by (dx, dy)."""
        return Contour(tuple((x + dx, y + dy) for x, y in self.points), self.bulges)

    def placed(self, at: Point, along: Point) -> Contour:
        """The ring with its origin at `at` and its x along the unit vector `along`."""
        return Contour(tuple(placed_point(p, at, along) for p in self.points), self.bulges)

    @property
    def reversed(self) -> Contour:
        """The same ring run the other way round."""
        bulges = tuple(-k for k in self.bulges)
        return Contour(self.points[::-1], (*bulges[-2::-1], bulges[-1]))


@dataclass(frozen=True)
class Round:
    """A whole circle."""

    centre: Point
    radius: float

    @property
    def area(self) -> float:
        """Enclosed area, mm2."""
        return math.pi * self.radius**2

    @property
    def length(self) -> float:
        """Length of the cut, mm."""
        return 2 * math.pi * self.radius

    @property
    def bounds(self) -> Box:
        """The least upright box that holds the circle."""
        (x, y), r = self.centre, self.radius
        return x - r, y - r, x + r, y + r

    @cached_property
    def loop(self) -> Array:
        """The circle as chords, points (n, 2), the last one joined to the first."""
        (x, y), r = self.centre, self.radius
        count = math.ceil(math.pi / math.acos(1.0 - SAGITTA / r))
        a = np.arange(count) * (2 * math.pi / count)
        return np.stack([x + r * np.cos(a), y + r * np.sin(a)], axis=1)

    def moved(self, dx: float, dy: float) -> Round:
        """The circle moved by (dx, dy)."""
        return Round((self.centre[0] + dx, self.centre[1] + dy), self.radius)

    def placed(self, at: Point, along: Point) -> Round:
        """The circle with the origin at `at` and x along the unit vector `along`."""
        return Round(placed_point(self.centre, at, along), self.radius)


Shape = Contour | Round


def unit(a: Point, b: Point) -> Point:
    """The direction from `a` to `b`, of length 1.

    >>> unit((1.0, 1.0), (4.0, 5.0))
    (0.6, 0.8)
    """
    size = math.dist(a, b)
    return (b[0] - a[0]) / size, (b[1] - a[1]) / size


def middle(points: Sequence[Point]) -> Point:
    """The mean of points: of a box's corners, its centre."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def box_middle(box: Box) -> Point:
    """The centre of an upright box."""
    left, bottom, right, top = box
    return (left + right) / 2, (bottom + top) / 2


def placed_point(p: Point, at: Point, along: Point) -> Point:
    """A point of a part whose origin is at `at` and whose x runs along the unit vector `along`."""
    return at[0] + p[0] * along[0] - p[1] * along[1], at[1] + p[0] * along[1] + p[1] * along[0]


def join_pieces(pieces: Iterable[ContourPiece]) -> Contour:
    """The ring of pieces that run on into each other.

    Pieces of no length are left out, arcs as good as straight become lines, and lines that go on in
    one direction become one.
    """
    kept = [_plain(p) for p in pieces if p.chord > LEAST_PIECE]
    points = [p.start for p in kept]
    bulges = [p.bulge for p in kept]
    k = 0
    while k < len(points) and len(points) > 2:
        before, after = points[k - 1], points[(k + 1) % len(points)]
        straight = bulges[k - 1] == 0.0 and bulges[k] == 0.0
        if straight and _on_the_way(before, points[k], after):
            del points[k], bulges[k]
        else:
            k += 1
    return Contour(tuple(points), tuple(bulges))


def _plain(piece: ContourPiece) -> ContourPiece:
    if abs(piece.bulge) * piece.chord / 2 < LEAST_PIECE:
        return ContourPiece(piece.start, piece.end)
    return piece


def _on_the_way(a: Point, p: Point, b: Point) -> bool:
    """Whether p lies between a and b on their line."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = math.hypot(dx, dy)
    if size <= LEAST_PIECE:
        return False
    along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size
    beside = abs((p[1] - a[1]) * dx - (p[0] - a[0]) * dy) / size
    return 0.0 < along < size and beside < LEAST_PIECE / 10


def _extremes(piece: ContourPiece) -> Iterator[Point]:
    """A piece's end and the points where it runs level or upright."""
    yield piece.end
    if piece.bulge == 0.0:
        return
    (cx, cy), r = piece.centre, piece.radius
    start = math.atan2(piece.start[1] - cy, piece.start[0] - cx)
    low, high = sorted((start, start + piece.sweep))
    for k in range(math.ceil(low / (math.pi / 2)), math.floor(high / (math.pi / 2)) + 1):
        ux, uy = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[k % 4]
        yield cx + r * ux, cy + r * uy

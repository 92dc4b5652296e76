"""The base: what the feet ask of it, an outline round all of them, windows where nothing stands.

    outline   the hull of all feet, grown and rounded
    windows   convex, between the ribs under the tubes: each is bounded by half planes
    seam      a base too large or too heavy is cut in two along x = const and joined by two straps

All in plan, as the finished fixture is seen from above.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from layout.geometry.plates.contour import Contour, ContourPiece, Point, Shape, join_pieces, middle, unit
from layout.geometry.plates.convex import (
    Polygon,
    area,
    box,
    clear,
    clip_half_plane,
    grow,
    hull,
    shrunk,
    sides,
    simplify,
    soften,
)
from layout.geometry.plates.corners import Corner, rectangle
from layout.geometry.plates.foot import Foot
from layout.geometry.plates.plate import Cutout, Plate, circle

RIM_OVER_THICKNESS = 2.0
SMALLEST_RIM = 12.0
"""Material round feet and holes: twice the thickness, 12 at least; common practice."""
RIB = 45.0
"""Width of a rib where nothing stands on it, mm: stiff enough to carry the frame; common practice."""
WINDOW_CORNER = 12.0
SMALLEST_WINDOW = 6000.0
"""A smaller window is not worth its cut, mm2."""
BLUNT = 1.0
"""Corners of the outline that stand out by less than this are left out, mm: far under the rim."""
SEAM_PLAY = 0.2
"""Left between the halves of a base, mm: their dowels place them, not their edges."""
SEAM_STEP = 2.0
JOINT_CORNER = 5.0
BENCH_HOLES = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
"""Directions in which the holes for bench bolts or feet are sought."""


class Footing(NamedTuple):
    """One foot on the base: the part it belongs to, its group, what it takes, what it cuts."""

    part: str
    group: str
    footprint: Polygon
    cutouts: tuple[Cutout, ...]


class BaseSide(NamedTuple):
    """A line that bounds a window: a point, a unit direction, and the groups whose feet stand along it.

    The window keeps off those feet on a line parallel to this one; off all others each on its own.
    """

    at: Point
    along: Point
    groups: tuple[str, ...]


class BaseJoint(NamedTuple):
    """Where and how a base is cut in two: x of the seam and the middles of its two straps."""

    seam: float
    straps: tuple[Point, Point]


@dataclass(frozen=True)
class Ground:
    """Everything that the base has to carry, in plan."""

    footings: Sequence[Footing]
    holes: Sequence[Cutout]
    foot: Foot

    @property
    def rim(self) -> float:
        """Material round feet, holes and edges, mm."""
        return max(RIM_OVER_THICKNESS * self.foot.process.thickness, SMALLEST_RIM)

    @cached_property
    def core(self) -> Polygon:
        """The hull of everything that stands on the base or goes through it."""
        feet = [p for f in self.footings for p in f.footprint]
        holes = [p for c in self.holes for p in _corners(c.shape)]
        return simplify(hull([*feet, *holes]), BLUNT)

    @cached_property
    def bench_holes(self) -> tuple[Cutout, ...]:
        """Holes for bench bolts or feet, outside everything else."""
        core = self.core
        d = self.foot.process.bolt.hole
        far = dict.fromkeys(
            max(range(len(core)), key=lambda k: core[k][0] * a + core[k][1] * b) for a, b in BENCH_HOLES
        )
        places: list[Point] = []
        for k in far:
            out = _bisector(core, k)
            step = d / 2 + self.foot.web
            at = (core[k][0] + step * out[0], core[k][1] + step * out[1])
            if all(math.dist(at, other) >= d + self.foot.web for other in places):
                places.append(at)
        return tuple(circle(f"bench hole {number}", at, d) for number, at in enumerate(places, 1))

    @cached_property
    def bounds(self) -> Polygon:
        """The outline before it is grown by the rim."""
        holes = (c.shape.centre for c in self.bench_holes if not isinstance(c.shape, Contour))
        return simplify(hull([*self.core, *holes]), BLUNT)

    @property
    def margin(self) -> float:
        """From that to the outline: the rim, and a bench hole's own web."""
        return max(self.rim, self.foot.process.bolt.hole / 2 + self.foot.web)

    def window(
        self, name: str, sides: Sequence[BaseSide], inside: Point, seam: BaseJoint | None = None
    ) -> Iterator[Cutout]:
        """A window about `inside`, bounded by the sides, the ribs along the outline, all feet and a seam."""
        found = shrunk(self.bounds, RIB - self.margin)
        for side in sides:
            n = _towards((-side.along[1], side.along[0]), side.at, inside)
            corners = [p for f in self.footings if f.group in side.groups for p in f.footprint]
            reach = max((n[0] * x + n[1] * y for x, y in corners), default=-math.inf) + self.rim
            rib = n[0] * side.at[0] + n[1] * side.at[1] + RIB / 2
            found = clip_half_plane(found, n, max(reach, rib))
        for place in (*(f.footprint for f in self.footings), *(_corners(c.shape) for c in self.holes)):
            if found and not clear(found, place, self.rim):
                n = unit(middle(place), inside)
                found = clip_half_plane(found, n, max(n[0] * x + n[1] * y for x, y in place) + self.rim)
        parts = [found]
        if seam is not None and found:
            reach = strap_half_length(self.foot) + self.rim
            parts = [
                clip_half_plane(found, (1.0, 0.0), seam.seam + reach),
                clip_half_plane(found, (-1.0, 0.0), -(seam.seam - reach)),
            ]
        for part in parts:
            shape = soften(part, WINDOW_CORNER) if part and area(part) > SMALLEST_WINDOW else None
            if shape is not None:
                yield Cutout(name, shape)

    @cached_property
    def _everything(self) -> tuple[Polygon, ...]:
        """What a seam and its straps keep off."""
        holes = (_corners(c.shape) for c in (*self.holes, *self.bench_holes))
        return (*(f.footprint for f in self.footings), *holes)

    def joint(self) -> BaseJoint | None:
        """The seam that parts the base most evenly without touching a foot; None where there is none."""
        low, high = min(x for x, _ in self.bounds), max(x for x, _ in self.bounds)
        count = int((high - low) / SEAM_STEP)
        seams = sorted((low + k * SEAM_STEP for k in range(1, count)), key=lambda x: max(x - low, high - x))
        for x in seams:
            straps = self._straps(x)
            if straps is not None:
                return BaseJoint(x, straps)
        return None

    def _straps(self, x: float) -> tuple[Point, Point] | None:
        """The lowest and the highest place for a strap across the seam at `x`; None without two."""
        line = box((x, 0.0), (0.0, 1.0), 1e5, SEAM_PLAY / 2)
        if not all(clear(line, place, self.foot.web) for place in self._everything):
            return None
        bottom, top = min(y for _, y in self.bounds), max(y for _, y in self.bounds)
        levels = [bottom + k * SEAM_STEP for k in range(int((top - bottom) / SEAM_STEP))]
        lowest = next((y for y in levels if self._takes_strap((x, y))), None)
        highest = next((y for y in reversed(levels) if self._takes_strap((x, y))), None)
        if lowest is None or highest is None or highest - lowest < 4 * strap_half_width(self.foot):
            return None
        return (x, lowest), (x, highest)

    def _takes_strap(self, at: Point) -> bool:
        """Whether a strap with its middle at `at` lies on the base and on nothing else."""
        place = box(at, (1.0, 0.0), strap_half_length(self.foot), strap_half_width(self.foot))
        on_base = all(_holds(self.bounds, p) for p in place)
        return on_base and all(clear(place, other, self.foot.web) for other in self._everything)


def strap_half_width(foot: Foot) -> float:
    """Half the width of a strap over a seam, mm."""
    return max(foot.process.bolt.hole, foot.process.dowel) / 2 + foot.web + RIB / 8


def _strap_holes(foot: Foot) -> tuple[tuple[str, float, float], ...]:
    """A strap's holes on one side of the seam: what goes in, distance from the seam, diameter."""
    p = foot.process
    bolt, dowel = p.bolt.hole, p.dowel
    first = SEAM_PLAY / 2 + foot.web + bolt / 2
    second = first + bolt / 2 + foot.web + dowel / 2
    third = second + dowel / 2 + foot.web + bolt / 2
    return ("inner bolt", first, bolt), ("dowel", second, dowel), ("outer bolt", third, bolt)


def strap_half_length(foot: Foot) -> float:
    """Half the length of a strap over a seam, mm."""
    _, far, bolt = _strap_holes(foot)[-1]
    return far + bolt / 2 + foot.web + 1.0


def strap(name: str, foot: Foot) -> Plate:
    """A strap that joins the halves of a base: bolts clamp it, dowels place it."""
    a, b = strap_half_length(foot), strap_half_width(foot)
    outline = rectangle(-a, -b, a, b, kind=Corner.ROUND, radius=JOINT_CORNER)
    return Plate(
        name, foot.process.thickness, outline, tuple(strap_cutouts("", (0.0, 0.0), foot)), quantity=2
    )


def strap_cutouts(of: str, at: Point, foot: Foot) -> Iterator[Cutout]:
    """A strap's holes with its middle at `at`, in the strap itself and in the base."""
    for side, word in ((-1.0, "left"), (1.0, "right")):
        for what, away, diameter in _strap_holes(foot):
            yield circle(f"{what} hole{of}, {word}", (at[0] + side * away, at[1]), diameter)


def base_plates(name: str, ground: Ground, windows: Sequence[Cutout], joint: BaseJoint | None) -> list[Plate]:
    """The base in one part, or in a rear and a front one."""
    t = ground.foot.process.thickness
    outline = grow(ground.bounds, ground.margin)
    cutouts = [
        *windows,
        *(c for f in ground.footings for c in f.cutouts),
        *ground.holes,
        *ground.bench_holes,
    ]
    whole = Plate(name, t, outline, tuple(cutouts))
    if joint is None:
        return [whole]
    for number, at in enumerate(joint.straps, 1):
        cutouts.extend(strap_cutouts(f" of strap {number}", at, ground.foot))
    parts = []
    for word, side in (("left", -1.0), ("right", 1.0)):
        edge = joint.seam + side * SEAM_PLAY / 2
        own = tuple(c for c in cutouts if side * (middle(_corners(c.shape))[0] - joint.seam) > 0.0)
        half = replace(whole, name=f"{name}_{word}", outline=side_of(outline, edge, side), cutouts=own)
        parts.append(half)
    return parts


def side_of(contour: Contour, x: float, side: float) -> Contour:
    """The part of a convex ring on one side of the upright line at `x`: right where `side` is above 0."""
    kept: list[ContourPiece] = []
    for piece in contour.pieces:
        stops = [0.0, *sorted(_crossings(piece, x)), 1.0]
        for low, high in pairwise(stops):
            if high > low and side * (piece.at((low + high) / 2)[0] - x) > 0.0:
                kept.append(piece.between(low, high))
    pieces: list[ContourPiece] = []
    for k, piece in enumerate(kept):
        following = kept[(k + 1) % len(kept)]
        pieces.append(piece)
        if math.dist(piece.end, following.start) > 1e-6:
            pieces.append(ContourPiece(piece.end, following.start))
    return join_pieces(pieces)


def _crossings(piece: ContourPiece, x: float) -> Iterator[float]:
    """Parts of the way along a piece where it crosses the upright line at `x`."""
    (x0, _), (x1, _) = piece.start, piece.end
    if piece.bulge == 0.0:
        if (x0 < x) != (x1 < x):
            yield (x - x0) / (x1 - x0)
        return
    cx, cy = piece.centre
    if abs(x - cx) >= piece.radius:
        return
    half = math.acos((x - cx) / piece.radius)
    start = math.atan2(piece.start[1] - cy, x0 - cx)
    for angle in (half, -half):
        ahead = math.fmod((angle - start) * math.copysign(1.0, piece.sweep), 2 * math.pi) % (2 * math.pi)
        part = ahead / abs(piece.sweep)
        if 0.0 < part < 1.0:
            yield part


def _bisector(polygon: Polygon, k: int) -> Point:
    """The outward unit vector halfway between the normals of the sides that meet at a vertex."""
    normals = [n for n, _ in sides(polygon)]
    x, y = -normals[k - 1][0] - normals[k][0], -normals[k - 1][1] - normals[k][1]
    size = math.hypot(x, y)
    return x / size, y / size


def _corners(shape: Shape) -> Polygon:
    left, bottom, right, top = shape.bounds
    return (left, bottom), (right, bottom), (right, top), (left, top)


def _towards(normal: Point, at: Point, inside: Point) -> Point:
    """The normal or its opposite, whichever points from `at` to the side of `inside`."""
    side = normal[0] * (inside[0] - at[0]) + normal[1] * (inside[1] - at[1])
    return normal if side >= 0.0 else (-normal[0], -normal[1])


def _holds(polygon: Polygon, p: Point) -> bool:
    return all((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= 0.0
               for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True))  # fmt: skip

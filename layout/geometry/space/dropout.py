r"""A plain plate dropout, seen from the side: round the axle, and out to both stays' ends.

            ___   seat stay                 eye       a circle about the axle
           /  /                             tongue    goes into a slot in the stay, as deep as the slot
          /  /
         /   \___  chain stay               Tangents run from the eye to the corners of each stay's end;
        (  o  ___                           the axle drops out of an open slot, or goes through a hole.
         \__/

An outline to try a fit with and to place a real dropout by: nobody's own shape, and no part to ride.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from layout.geometry.plates.contour import Contour, ContourPiece, Point, join_pieces
from layout.geometry.plates.corners import Corner, Turn, closed_ring
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, Z, cross, unit, vector

EYE = 14.0
"""Radius about the axle: a nut's or a wheel's shoulder needs so much, common practice."""
TONGUE = 16.0
"""How deep a stay is slotted for the plate, mm, common practice."""
INSIDE = 2.0
"""A tongue's edge lies this far inside the stay's, mm: about a wall and the braze."""
NOTCHES = (4.0, 3.0, 2.0, 1.0)
"""Radius where the plate runs in between the stays, mm: the largest that has room."""
AXLE_HOLE = 10.0
"""Where the axle is not known."""
DOWN = 270.0
"""The way out of an open slot, degrees, where the plate leaves room for it."""
BESIDE_SLOT = 6.0
"""Degrees of the eye that stay on either side of a slot's mouth."""


class StayCorner(NamedTuple):
    """A stay's end in the side view, from the axle: its middle, the way into the stay, its half width."""

    at: Point
    into: Point
    half: float

    def corner(self, side: float, ahead: float = 0.0, inside: float = 0.0) -> Point:
        """A corner: `side` +1 is left of the way into the stay; `ahead` mm into it, `inside` its edge."""
        w = side * (self.half - inside)
        (x, y), (c, s) = self.at, self.into
        return x + ahead * c - w * s, y + ahead * s + w * c


def stay_corners(frame: SpaceFrame) -> tuple[StayCorner, StayCorner]:
    """The drive side's chain stay and seat stay where they end, from the axle."""
    axle = vector(*frame.rear_axle)
    chain, seat = (_stay_corner(frame.drawn(role), axle) for role in (CHAIN_STAY, SEAT_STAY))
    return chain, seat


def _stay_corner(stay: Tube, axle: Array) -> StayCorner:
    which = stay.role.dropout or 0
    end = stay.end(which)
    along = end.inward * end.triad.along
    into = unit(along - float(along @ Z) * Z)
    off = end.triad.at - axle
    half = stay.half_extent(end.t, unit(cross(Z, into)))
    return StayCorner((float(off[0]), float(off[1])), (float(into[0]), float(into[1])), half)


class DropoutOutline(NamedTuple):
    """The plate about the axle at (0, 0): its edge, which pieces of it are hidden in the stays, its hole.

    The hole's diameter is in mm, None where the axle has an open slot.
    """

    ring: Contour
    tongues: tuple[ContourPiece, ...]
    hole: float | None

    @property
    def edge(self) -> tuple[ContourPiece, ...]:
        """The pieces that are seen."""
        return tuple(p for p in self.ring.pieces if p not in self.tongues)


def outline_of(
    frame: SpaceFrame, slot: float | None, axle: float | None, inner: float = 0.0
) -> DropoutOutline:
    """The drive side's plate: its slot or the hole for an axle, widths in mm, None where not known.

    `inner` is the radius left beside its tongues. Raises MisfitError as `outline` does.
    """
    corners = stay_corners(frame)
    ring = outline(corners, slot, inner)
    inside = {each.corner(s, k * TONGUE, INSIDE) for each in corners for s in (1.0, -1.0) for k in (0.0, 1.0)}
    tongues = tuple(p for p in ring.pieces if p.start in inside and p.end in inside)
    return DropoutOutline(ring, tongues, None if slot is not None else axle or AXLE_HOLE)


def outline(corners: Sequence[StayCorner], slot: float | None, inner: float = 0.0) -> Contour:
    """The plate's edge about the axle at (0, 0), counter-clockwise, its tongues and an open slot's mouth.

    `inner` is the radius of the corners beside the tongues, mm.

    Raises MisfitError where a stay ends inside the eye, or both where one plate cannot hold them.
    """
    first, second = sorted(corners, key=lambda c: _turn(_angle(c.at) + 90.0))
    for each in (first, second):
        if min(math.hypot(*each.corner(s)) for s in (1.0, -1.0)) <= EYE:
            raise MisfitError(f"a stay ends less than {EYE:g} mm from the axle, inside the dropout's eye")
    low, high = _touch(first, -1.0), _touch(second, 1.0)
    for notch in NOTCHES:
        between = _between(first, second, notch)
        turns = [Turn(_on_eye(low)), *_tongue(first, inner), *between, *_tongue(second, inner)]
        try:
            ring = closed_ring([*turns, Turn(_on_eye(high), bulge=_bulge(high, low))])
        except ValueError:
            continue
        return ring if slot is None else _slotted(ring, slot / 2, low, high=high)
    raise MisfitError("the stays' ends are too near each other for one plate")


def _tongue(end: StayCorner, inner: float) -> Iterator[Turn]:
    yield Turn(end.corner(-1.0))
    yield Turn(end.corner(-1.0, 0.0, INSIDE), Corner.ROUND, inner)
    yield Turn(end.corner(-1.0, TONGUE, INSIDE))
    yield Turn(end.corner(1.0, TONGUE, INSIDE))
    yield Turn(end.corner(1.0, 0.0, INSIDE), Corner.ROUND, inner)
    yield Turn(end.corner(1.0))


def _between(first: StayCorner, second: StayCorner, notch: float) -> list[Turn]:
    """The notch between two stays: where the tangents cross, or along the eye where they do not."""
    a, b = _touch(first, 1.0), _touch(second, -1.0)
    if _turn(b - a) < 180.0:
        return [Turn(_on_eye(a), bulge=_bulge(a, b)), Turn(_on_eye(b))]
    at = _crossing((first.corner(1.0), _on_eye(a)), (_on_eye(b), second.corner(-1.0)))
    return [Turn(at, Corner.ROUND, notch)]


def _crossing(one: tuple[Point, Point], two: tuple[Point, Point]) -> Point:
    (x, y), (ax, ay) = one[0], (one[1][0] - one[0][0], one[1][1] - one[0][1])
    bx, by = two[1][0] - two[0][0], two[1][1] - two[0][1]
    t = ((two[0][0] - x) * by - (two[0][1] - y) * bx) / (ax * by - ay * bx)
    return x + t * ax, y + t * ay


def _slotted(ring: Contour, half: float, low: float, high: float) -> Contour:
    """The ring with an open slot to the axle in the back of its eye."""
    mouth = math.degrees(math.asin(half / EYE))
    free = _turn(low - high)
    room = mouth + BESIDE_SLOT
    way = high + min(max(_turn(DOWN - high), room), free - room)
    pieces = list(ring.pieces)[:-1]
    a, b = way - mouth, way + mouth
    c, s = math.cos(math.radians(way)), math.sin(math.radians(way))
    inner = [(-half * s * k, half * c * k) for k in (-1.0, 1.0)]
    pieces += [
        ContourPiece(_on_eye(high), _on_eye(a), _bulge(high, a)),
        ContourPiece(_on_eye(a), inner[0]),
        ContourPiece(inner[0], inner[1], -1.0),
        ContourPiece(inner[1], _on_eye(b)),
        ContourPiece(_on_eye(b), _on_eye(low), _bulge(b, low)),
    ]
    return join_pieces(pieces)


def _touch(end: StayCorner, side: float) -> float:
    """Where on the eye the tangent to a stay's corner begins, degrees."""
    at = end.corner(side)
    return _angle(at) + side * math.degrees(math.acos(EYE / math.hypot(*at)))


def _on_eye(angle: float) -> Point:
    a = math.radians(angle)
    return EYE * math.cos(a), EYE * math.sin(a)


def _angle(at: Point) -> float:
    return math.degrees(math.atan2(at[1], at[0]))


def _turn(angle: float) -> float:
    return angle % 360.0


def _bulge(start: float, end: float) -> float:
    """Of the arc along the eye, counter-clockwise."""
    return math.tan(math.radians(_turn(end - start)) / 4.0)

r"""Contours from corners, each one left sharp, rounded or relieved.

    sharp        round            relief: a part with a sharp edge goes right home
    |            |                |
    |             \                `-.
    +----          `---           (   `----      half a circle through the corner

The end of a laser-cut slot is never sharp: what must seat in it needs the relief.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from layout.geometry.plates.contour import Contour, ContourPiece, Point, join_pieces, unit

OVERSHOOT = 1.0 - math.sqrt(0.5)
"""How far a relief reaches past each side of its corner, over its radius."""
TAKEN = math.sqrt(2.0)
"""How much of each side a relief takes, over its radius."""
_SQUARE = 1e-9
"""Sine of how far from square the sides at a relief may be."""


class Corner(StrEnum):
    """What is done to a corner."""

    SHARP = "sharp"
    ROUND = "round"
    RELIEF = "relief"


class Turn(NamedTuple):
    """A corner at `at`; `bulge` bends the side that follows it, next to which corners stay sharp."""

    at: Point
    kind: Corner = Corner.SHARP
    radius: float = 0.0
    bulge: float = 0.0


def closed_ring(turns: Sequence[Turn]) -> Contour:
    """The ring through the corners in order.

    Raises ValueError where a side is too short for what its corners take, or the sides at a
    relief are not square to each other.

    >>> square = [Turn((0.0, 0.0)), Turn((2.0, 0.0)), Turn((2.0, 2.0), Corner.ROUND, 1.0), Turn((0.0, 2.0))]
    >>> round(closed_ring(square).area - (3.0 + math.pi / 4), 12)
    0.0
    """
    count = len(turns)
    cuts = [_cut_corner(turns[k - 1], turns[k], turns[(k + 1) % count]) for k in range(count)]
    pieces: list[ContourPiece] = []
    for k, (turn, cut) in enumerate(zip(turns, cuts, strict=True)):
        following = cuts[(k + 1) % count]
        side = math.dist(turn.at, turns[(k + 1) % count].at)
        if cut.taken + following.taken > side + 1e-9:
            raise ValueError(f"a side of {side:.2f} mm at {turn.at} is too short for its corners")
        if cut.taken > 0.0:
            pieces.append(ContourPiece(cut.first, cut.last, cut.bulge))
        pieces.append(ContourPiece(cut.last, following.first, turn.bulge))
    return join_pieces(pieces)


class _Cut(NamedTuple):
    """What replaces a corner: from `first` on the side before to `last` on the side after."""

    first: Point
    last: Point
    bulge: float
    taken: float


def _cut_corner(before: Turn, here: Turn, after: Turn) -> _Cut:
    if here.kind is Corner.SHARP or here.radius == 0.0:
        return _Cut(here.at, here.at, 0.0, 0.0)
    if before.bulge != 0.0 or here.bulge != 0.0:
        raise ValueError(f"the corner at {here.at} lies on an arc: it can only be sharp")
    u, v = unit(before.at, here.at), unit(here.at, after.at)
    cross, dot = u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]
    turn = math.atan2(cross, dot)
    if here.kind is Corner.RELIEF:
        if abs(dot) > _SQUARE:
            raise ValueError(f"the corner at {here.at} is not square: it cannot be relieved")
        taken, bulge = TAKEN * here.radius, math.copysign(1.0, turn)
    else:
        taken, bulge = here.radius * abs(math.tan(turn / 2)), math.tan(turn / 4)
    x, y = here.at
    return _Cut((x - taken * u[0], y - taken * u[1]), (x + taken * v[0], y + taken * v[1]), bulge, taken)


def rectangle(
    left: float,
    bottom: float,
    right: float,
    top: float,
    kind: Corner = Corner.SHARP,
    radius: float = 0.0,
) -> Contour:
    """An upright rectangle with all four corners alike, counter-clockwise."""
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return closed_ring([Turn(p, kind, radius) for p in corners])


def slot(centre: Point, length: float, width: float, relief: float) -> Contour:
    """A slot for a tab, its length along x, its corners relieved: the tab's sharp edges go home."""
    (x, y), a, b = centre, length / 2, width / 2
    return rectangle(x - a, y - b, x + a, y + b, kind=Corner.RELIEF, radius=relief)


def strip(start: float, end: float, radius: float) -> Contour:
    """A bar along x from centre to centre, its ends half round."""
    return Contour(((start, -radius), (end, -radius), (end, radius), (start, radius)), (0.0, 1.0, 0.0, 1.0))

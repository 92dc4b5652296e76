"""Boxes packed into as few equal rooms as this finds: panels on pages, parts on stock sheets.

Each box goes where the strip it leaves beside it is shortest, turned by a quarter where it fits better
so (best short side fit among the maximal free rectangles; J. Jylänki's survey of rectangle packing, 2010,
from memory). Which box is placed first decides much, so several orders are tried.

    +-------+---------+------+   free rectangles overlap: each is as large as it can be
    |  one  |   two   |      |
    |       +---------+ free |   three goes where a side of it and of its place are nearest alike
    +-------+       free     |
    |     free               |
    +------------------------+
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from layout.drafting.rect import Rect

Size = tuple[float, float]
"""Width and height, mm."""

SLACK = 1e-6
"""A box is not too large by less than this, mm, and a free strip narrower than this is none."""
Order = Callable[[Size], tuple[float, ...]]
"""What boxes are sorted by, the least first."""
ORDERS: tuple[Order, ...] = (
    lambda s: (-max(s), -min(s)),
    lambda s: (-s[0] * s[1],),
    lambda s: (-min(s), -max(s)),
    lambda s: (-s[0] - s[1],),
    lambda s: (-s[1], -s[0]),
    lambda s: (-s[0], -s[1]),
)
"""Which box is placed first: each order is tried, the first that fills fewest rooms is kept."""


class Packed(NamedTuple):
    """Where one box lies: its index, its room's from 0, its lower left corner there, if it is turned."""

    box: int
    room: int
    left: float
    bottom: float
    turned: bool


class TooLargeError(ValueError):
    """A box fits no room either way round; `box` is its index."""

    def __init__(self, box: int, size: Size, room: Size) -> None:
        super().__init__(f"a box of {size[0]:g} x {size[1]:g} is larger than {room[0]:g} x {room[1]:g}")
        self.box = box


def pack(
    sizes: Sequence[Size], room: Size, gap: float, orders: Sequence[Order] = ORDERS
) -> tuple[Packed, ...]:
    """Every box in a room, `gap` mm from the others, in the order placed.

    Raises TooLargeError where a box fits no room.

    >>> [(p.box, p.room, p.left, p.turned) for p in pack([(2.0, 1.0), (1.0, 3.0)], (3.0, 3.0), 0.0)]
    [(1, 0, 0.0, False), (0, 0, 1.0, False)]
    """
    tries = (_packing_in_order(sizes, _sorted_boxes(sizes, order), room, gap) for order in orders)
    return min(tries, key=rooms)


def rooms(packed: Sequence[Packed]) -> int:
    """How many rooms are filled."""
    return max((p.room for p in packed), default=-1) + 1


def _sorted_boxes(sizes: Sequence[Size], order: Order) -> list[int]:
    return sorted(range(len(sizes)), key=lambda k: order(sizes[k]))


def _packing_in_order(
    sizes: Sequence[Size], order: Sequence[int], room: Size, gap: float
) -> tuple[Packed, ...]:
    """The boxes placed in an order. Each takes the gap beside and above it, and so has the room."""
    empty = Rect(0.0, 0.0, room[0] + gap, room[1] + gap)
    free: list[list[Rect]] = []
    found: list[Packed] = []
    for box in order:
        width, height = sizes[box][0] + gap, sizes[box][1] + gap
        places = ((k, place) for k, rects in enumerate(free) if (place := _tightest(width, height, rects)))
        k, place = next(places, (len(free), None))
        if place is None:
            free.append([empty])
            place = _tightest(width, height, [empty])
        if place is None:
            raise TooLargeError(box, sizes[box], room)
        free[k] = _without(free[k], place.taken)
        found.append(Packed(box, k, place.taken.left, place.taken.bottom, turned=place.turned))
    return tuple(found)


class _Place(NamedTuple):
    """What a box takes of a free rectangle, its gap included."""

    taken: Rect
    turned: bool


def _tightest(width: float, height: float, free: Sequence[Rect]) -> _Place | None:
    """The place where the shorter side left over is least, then the longer; None where there is none."""
    best: tuple[float, float, float, float] | None = None
    found: _Place | None = None
    for room in free:
        for turned, (w, h) in ((False, (width, height)), (True, (height, width))):
            spare = room.width - w, room.height - h
            if min(spare) < -SLACK:
                continue
            score = (min(spare), max(spare), room.bottom, room.left)
            if best is None or score < best:
                best = score
                found = _Place(Rect(room.left, room.bottom, room.left + w, room.bottom + h), turned)
    return found


def _without(free: Sequence[Rect], taken: Rect) -> list[Rect]:
    """The maximal free rectangles once `taken` is used."""
    pieces: dict[Rect, None] = {}
    for room in free:
        if not room.overlaps(taken):
            pieces[room] = None
            continue
        for piece in (
            Rect(room.left, room.bottom, taken.left, room.top),
            Rect(taken.right, room.bottom, room.right, room.top),
            Rect(room.left, room.bottom, room.right, taken.bottom),
            Rect(room.left, taken.top, room.right, room.top),
        ):
            if piece.width > SLACK and piece.height > SLACK:
                pieces[piece] = None
    return [a for a in pieces if not any(b != a and b.contains(a) for b in pieces)]

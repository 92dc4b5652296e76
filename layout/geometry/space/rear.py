r"""Where the stays go: at the dropouts, at the shell, and at the seat tube or a single tube before it.

    bb o------------------------------o foot      the axis touches a circle about the axle, above it
                       stay's end |<->|
                             from_axle  + axle    off: the circle's radius

A stay's axis is so seen from the side; its end is centred on its dropout's plate.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from layout.geometry.space.form import Form, RearEnd, round_form
from layout.geometry.space.gaps import least_gap
from layout.geometry.space.placing import place_tube, placed_pair
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY, SINGLE_STAY, Role, Side
from layout.geometry.space.tube import SECOND, Tube
from layout.geometry.space.vectors import Array, Z, length, rotate, unit, vector

BACK_MARGIN = 1.04
"""Over a stay's half width: as it leans in, it reaches this much further out where the cut is."""
SINGLE_PARTS = (1.0, 0.75, 0.5)
"""Of the usual length of a single tube: nearer the seat tube its weld has no room."""
ROOM_ROUNDING = 1e-9
Points = Mapping[str, tuple[float, float]]


class AxleLine(NamedTuple):
    """A stay's axis as seen from the side: unit vector `along` to its `foot`, where it passes the axle.

    `run` is from the frame's point that it comes from to the foot, mm.
    """

    foot: Array
    along: Array
    run: float

    def before(self, distance: float) -> Array:
        """The point so far before the foot."""
        found: Array = self.foot - distance * self.along
        return found


def axle_line(points: Points, stay: Role, rear: RearEnd) -> AxleLine:
    """The line from a stay's other end past the axle, in the middle plane."""
    other = next(end.point for end in stay.ends if not end.dropout)
    axle, start = vector(*points["rear_axle"]), vector(*points[other])
    off = rear.place(stay).off
    straight, sense = -unit(start - axle), 1.0 if stay == SEAT_STAY else -1.0
    if off == 0.0:
        return AxleLine(axle, straight, length(axle - start))
    whole = length(axle - start)
    along = rotate(straight, Z, sense * math.degrees(math.asin(off / whole)))
    return AxleLine(axle + off * rotate(along, Z, sense * 90.0), along, math.sqrt(whole**2 - off**2))


def stay_end(points: Points, stay: Role, rear: RearEnd) -> Array:
    """Where the drive side's stay ends at its dropout, centred on the plate."""
    at = axle_line(points, stay, rear).before(rear.place(stay).from_axle)
    found: Array = at + rear.dropout_plane * Z
    return found


def chain_stays(points: Points, form: Form, rear: RearEnd) -> Iterator[Tube]:
    """Both chain stays, the left one first."""
    start = vector(0.0, 0.0, rear.stay_spacing / 2)
    yield from placed_pair(CHAIN_STAY, start, stay_end(points, CHAIN_STAY, rear), form)


def seat_stays(points: Points, form: Form, rear: RearEnd, seat: Tube) -> Iterator[Tube]:
    """Both seat stays, the left one first; before them the single tube that they run into, if any."""
    start = stay_end(points, SEAT_STAY, rear)
    if rear.mount != "single":
        yield from placed_pair(SEAT_STAY, start, _top_on_seat_tube(points, form, rear, seat), form)
        return
    lay = _single_lay(points, form, rear)
    yield lay.tube
    yield from placed_pair(SEAT_STAY, start, lay.top, form)


def _top_on_seat_tube(points: Points, form: Form, rear: RearEnd, seat: Tube) -> Array:
    """Where the drive side's axis ends, level with the seat tube's axis in the side view.

    Where their spacing is not known: back, as far out as the whole end still meets the seat tube, but not so
    far in that the two stays overlap. Side: the axis passes on the seat tube's skin, so that the inner half
    of the end is cut to it and the outer half stands beside it, under a cap.
    """
    cluster = vector(*points["top_tube_at_seat"])
    if rear.top_spacing is not None:
        return cluster + rear.top_spacing / 2 * Z
    foot = vector(*points["seat_tube_foot"])
    across = seat.half_extent(length(cluster - foot), Z)
    if rear.mount == "side":
        return cluster + across * Z
    half = form.across(SECOND) / 2
    return cluster + max(across - BACK_MARGIN * half, half) * Z


class _Lay(NamedTuple):
    """A single tube, and where the drive side's stay ends on it."""

    tube: Tube
    top: Array


def _single_lay(points: Points, form: Form, rear: RearEnd) -> _Lay:
    """How two stays run into the single tube, so that both it and they leave the tyre clear.

    Their axes meet on the tube's; else they end on its skin, where the inner half of each stay is cut to it;
    and if that does not do, nearer the seat tube. Where nothing does, the way that leaves most room.
    """
    best: _Lay | None = None
    most = -math.inf
    for part in SINGLE_PARTS:
        for aside in (0.0, rear.single_diameter / 2):
            lay, room = _laid(points, form, rear, part * rear.single_length, aside=aside)
            if best is None or room > most:
                best, most = lay, room
            if room >= -ROOM_ROUNDING:
                return lay
    assert best is not None
    return best


def _laid(points: Points, form: Form, rear: RearEnd, meet: float, *, aside: float) -> tuple[_Lay, float]:
    """A lay whose stays' axes end `meet` along the tube and `aside` of its axis; the room to spare, mm.

    A straight stay that ends so laps the tube by (R + r - aside) / tan t, t its angle; the tube ends there.
    """
    line = axle_line(points, SEAT_STAY, rear)
    start = vector(*points["top_tube_at_seat"])
    both = (rear.single_diameter + form.across(SECOND)) / 2
    run = line.run - rear.seat_stay.from_axle - meet
    end = meet + (both - aside) * run / (rear.dropout_plane - aside)
    tube = place_tube(SINGLE_STAY, start, start + end * line.along, round_form(rear.single_diameter))
    lay = _Lay(tube, start + meet * line.along + aside * Z)
    room = math.inf
    if rear.tyre_reach:
        room = math.hypot(max(line.run - end, 0.0), rear.seat_stay.off) - rear.tyre_reach
    if rear.tyre is not None:
        stay = place_tube(SEAT_STAY, stay_end(points, SEAT_STAY, rear), lay.top, form, side=Side.RIGHT)
        room = min(room, least_gap(stay, rear.tyre, "tyre").value - rear.tyre_gap)
    return lay, room

"""How the stays' ends are made for the dropouts: square to lie on a flat face, or slotted for a plate.

____________
|______       both: the tube ends square, `from_axle` before its axis passes the axle.
plate    |      Slotted: the slot is as wide as the plate, in its plane, so it leans to the tube's axis.
______|
|____________
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.solve import Frame
from layout.geometry.space.dropout import EYE, TONGUE, outline_of, stay_corners
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Z, cross, unit


class StayEnd(NamedTuple):
    """A stay's end at its dropout, mm and degrees, of a pair the drive side's.

    `slot` is its width and `depth` its depth; `phi` the sides that it opens to (and the opposite one); `lean`
    how far its plane leans from the tube's axis, towards the middle plane going into the tube.
    """

    tube: Tube
    from_axle: float
    off: float
    slot: float
    depth: float
    phi: float
    lean: float


def stay_ends(frame: Frame) -> tuple[StayEnd, StayEnd]:
    """The chain stays' and the seat stays' ends."""
    chain, seat = (_stay_end(frame, frame.space.drawn(role)) for role in (CHAIN_STAY, SEAT_STAY))
    return chain, seat


def _stay_end(frame: Frame, stay: Tube) -> StayEnd:
    rear, end = frame.space.rear, stay.end(stay.role.dropout or 0)
    place, here = rear.place(stay.role), end.triad
    across = unit(cross(Z, here.along))
    phi = math.degrees(math.atan2(float(across @ here.across), float(across @ here.reference)))
    lean = math.degrees(math.asin(float(here.along @ Z)))
    return StayEnd(
        stay, place.from_axle, place.off, slot=rear.thickness, depth=TONGUE, phi=phi % 360.0,
        lean=-end.inward * lean,
    )  # fmt: skip


def dropout_notices(frame: Frame) -> Iterator[Notice]:
    """What stands in the way of a dropout for these stays, and what would do."""
    for stay, corner in zip(stay_ends(frame), stay_corners(frame.space), strict=True):
        most = EYE + corner.half
        if abs(stay.off) > most:
            name = stay.tube.role.plural.capitalize()
            yield Notice(
                "dropout_off",
                f"{name} pass {format_number(abs(stay.off), 1)} mm from the axle, outside the dropout's eye. "
                f"Write off: {format_number(math.copysign(math.floor(most), stay.off), 0)} or nearer to 0.",
            )
    block = frame.model.rear_end
    try:
        outline_of(frame.space, block.dropout.slot, block.axle)
    except MisfitError as e:
        yield Notice("dropout_unmade", f"No dropout is drawn: {e}. Write a larger from_axle.")

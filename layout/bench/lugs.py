"""Where lugs and sockets end on the tubes, and what is made at the seat tube's top.

lug's point
________|/______________      length: from the tube's long point, which stands in the lug or socket,
long point_______________             to the lug's point
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from layout.drafting.numbers import format_number
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.roles import BACK, FRONT, SEAT_TUBE, WRITTEN
from layout.geometry.space.tube import Tube
from layout.spec.tubes import Collar

SLOT = 35.0
"""Length of a seat tube's slot where none is written, mm, common practice."""
INSERTION = 80.0
"""Least length of a seat post in its tube where its maker says nothing, mm, common practice."""


class Lug(NamedTuple):
    """A lug or socket over one end (0 first, 1 second) of a tube: its length, and both its ends' stations."""

    tube: Tube
    end: int
    length: float
    long_point: float
    point: float


class SeatTop(NamedTuple):
    """What holds the seat post, mm from the tube's top; `given`: the insertion is the post maker's."""

    kind: str
    slot: float
    insertion: float
    given: bool
    side: str


def lugs(frame: Frame) -> Iterator[Lug]:
    """Every lug and socket that the spec gives a length of, of a pair of stays the drive side's."""
    for role in WRITTEN:
        for which, length in enumerate(getattr(frame.model.tubes, role.name).lug or ()):
            tube = frame.space.drawn(role)
            cut = frame.space.cut_of(tube.name, which)
            if cut is not None and length > 0.0:
                first, last = (cut.origin + cut.end.inward * (cut.least.s + d) for d in (0.0, length))
                yield Lug(tube, which, length, long_point=first, point=last)


def seat_top(frame: Frame) -> SeatTop | None:
    """The seat tube's top, None where the spec says nothing of it.

    The slot is at the back, unless the seat stays are there.
    """
    written = frame.model.tubes.seat_tube.collar
    if written == Collar():
        return None
    return SeatTop(
        written.kind or "collar", written.slot or SLOT, written.insertion or INSERTION,
        given=written.insertion is not None, side=_slot_side(frame),
    )  # fmt: skip


def _slot_side(frame: Frame) -> str:
    """The side of the seat tube's slot: the back, unless the stays are there."""
    return FRONT if frame.space.rear.mount == "back" else BACK


def lug_notes(frame: Frame) -> Iterator[str]:
    """Lugs and the seat tube's top in words, for the cutting table."""
    said: dict[str, list[str]] = {}
    for lug in lugs(frame):
        end = f"{words(lug.tube.ends[lug.end])} {format_number(lug.length, 1)}"
        said.setdefault(lug.tube.role.plural, []).append(end)
    if said:
        each = "; ".join(f"{tube} {', '.join(ends)}" for tube, ends in said.items())
        yield f"Lugs and sockets, in mm from the tube's long point to the lug's point: {each}."
    top = seat_top(frame)
    if top is None:
        between = "back, in the middle between the stays" if _slot_side(frame) == BACK else "front"
        yield f"{SEAT_TUBE.words.capitalize()}: slot at the {between} (common practice)."
    else:
        source = "from its maker" if top.given else "default, common practice: take its maker's"
        yield (
            f"{SEAT_TUBE.words.capitalize()}, top: {top.kind}; slot {format_number(top.slot, 1)} mm long at "
            f"the {top.side}. Least insertion of the post: {format_number(top.insertion, 1)} mm ({source})."
        )

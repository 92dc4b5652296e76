"""Where along a stay a taped distance lies: from the axle it is taped from the axle, not the stay's end."""

from __future__ import annotations

from typing import Protocol

from layout.geometry.space.assembly import SpaceFrame

STAYS = ("chain_stay", "seat_stay")


class Taped(Protocol):
    """What is placed by tape along one of a pair of stays."""

    @property
    def tube(self) -> str:
        """The pair: one of STAYS."""

    @property
    def at(self) -> float:
        """How far along it, mm."""

    @property
    def origin(self) -> str:
        """The end that is measured from, as geometry/space/ends.py calls it."""

    @property
    def side(self) -> str:
        """The side it is on; left and right choose the stay."""


def stay_tube(taped: Taped) -> str:
    """The stay it sits on: the left one where its side says so, else the drive side's."""
    return f"{taped.tube}_{'left' if taped.side == 'left' else 'right'}"


def stay_station(frame: SpaceFrame, taped: Taped) -> float:
    """The station on the stay's axis, mm from its first end (chain stay at the BB, seat stay at the axle)."""
    stay = frame.tubes[stay_tube(taped)]
    if taped.origin == "axle":
        from_end = taped.at - frame.rear.inset
        return from_end if taped.tube == "seat_stay" else stay.length - from_end
    return taped.at if taped.tube == "chain_stay" else stay.length - taped.at

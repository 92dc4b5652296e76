"""Where along a stay a taped distance lies: from the axle it is taped from the axle, not the stay's end."""

from __future__ import annotations

from layout.frame import Fitting
from layout.geometry.space.assembly import SpaceFrame

STAYS = ("chain_stay", "seat_stay")


def stay_tube(fitting: Fitting) -> str:
    """The stay a fitting sits on: the left one where its side says so, else the drive side's."""
    return f"{fitting.tube}_{'left' if fitting.side == 'left' else 'right'}"


def stay_station(space: SpaceFrame, fitting: Fitting) -> float:
    """The station on the stay's axis, mm from its first end (chain stay at the BB, seat stay at the axle)."""
    stay = space.tubes[stay_tube(fitting)]
    if fitting.origin == "axle":
        taped = fitting.at - space.rear.inset
        return taped if fitting.tube == "seat_stay" else stay.length - taped
    return fitting.at if fitting.tube == "chain_stay" else stay.length - fitting.at

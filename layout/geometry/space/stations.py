"""Where along a stay a taped distance lies: from the axle it is taped from the axle, not the stay's end."""

from __future__ import annotations

from typing import Protocol

from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.roles import DRAWN, Role, Side
from layout.geometry.space.tube import FIRST, Tube


class Taped(Protocol):
    """What is placed by tape along one of a pair of stays."""

    @property
    def role(self) -> Role:
        """What the pair is."""

    @property
    def at(self) -> float:
        """How far along it, mm."""

    @property
    def origin(self) -> str:
        """The end that is measured from, in the role's word for it."""

    @property
    def side(self) -> str:
        """The side it is on; left and right choose the stay."""


def stay_tube(frame: SpaceFrame, taped: Taped) -> Tube:
    """The stay it sits on: the one that its side names, else the one that is drawn."""
    return frame.of(taped.role, next((s for s in Side if s.value == taped.side), DRAWN))


def stay_station(frame: SpaceFrame, taped: Taped) -> float:
    """The station on the stay's axis, mm from its first end (chain stay at the BB, seat stay at the axle)."""
    which = taped.role.end(taped.origin)
    from_end = taped.at - (frame.rear.place(taped.role).from_axle if which == taped.role.dropout else 0.0)
    return from_end if which == FIRST else stay_tube(frame, taped).length - from_end

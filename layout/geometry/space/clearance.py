"""What the rear end must clear, how much room is wanted, and how large a tyre would fit.

The room wanted is common practice unless its reason says otherwise. Gaps are 3D distances, mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.gaps import DiscSolid, Gap, TyreSolid, least_gap, skin, widest_tyre
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY, Side
from layout.geometry.space.tube import Tube

TYRE, CHAINRING, CRANK, ROTOR = "tyre", "chainring", "crank", "rotor"
TYRE_GAP = 6.0
MUDGUARD_GAP = 14.0
"""Tyre to frame with a mudguard between: 10 to the guard, 1 of guard, 3 outside it; common practice."""
CHAINRING_GAP = 3.0
CRANK_GAP = 5.0
ROTOR_GAP = 2.0


class Wanted(NamedTuple):
    """The least gap wanted, mm, and why."""

    least: float
    reason: str


WANTED = {
    TYRE: Wanted(TYRE_GAP, "ISO 4210-2, from memory: check the standard"),
    CHAINRING: Wanted(CHAINRING_GAP, "common practice"),
    CRANK: Wanted(CRANK_GAP, "common practice"),
    ROTOR: Wanted(ROTOR_GAP, "common practice"),
}


class Surroundings(NamedTuple):
    """What turns in the rear end: tyre, chainring, crank and, where there is one, a brake's rotor.

    `tyre` is None where its width is not known. `radius_of` gives the wheel's radius with a tyre of
    another width, mm; None where the rim is not known. `widths` are the narrowest and widest tyre made.
    """

    tyre: TyreSolid | None
    chainring: DiscSolid
    crank: DiscSolid
    radius_of: Callable[[float], float] | None = None
    widths: tuple[float, float] = (18.0, 125.0)
    bead_seat_radius: float | None = None
    rotor: DiscSolid | None = None


@dataclass(frozen=True)
class Clearances:
    """The rear end's gaps, and the widest tyres that leave the room wanted, mm, None where not known."""

    frame: SpaceFrame
    around: Surroundings

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """The least gap of each stay, bridge and the seat tube to each part that it could meet."""
        return tuple(self._gaps())

    @property
    def short(self) -> tuple[Gap, ...]:
        """Gaps with less room than wanted."""
        return tuple(g for g in self.gaps if g.value < WANTED[g.part].least)

    @cached_property
    def widest(self) -> float | None:
        """The widest tyre that leaves TYRE_GAP everywhere."""
        return self._widest(TYRE_GAP)

    @cached_property
    def widest_with_mudguard(self) -> float | None:
        """The widest tyre that leaves MUDGUARD_GAP everywhere."""
        return self._widest(MUDGUARD_GAP)

    def _gaps(self) -> Iterator[Gap]:
        around = self.around
        tyre = around.tyre
        if tyre is not None:
            yield from (least_gap(t, tyre, TYRE) for t in _beside_tyre(self.frame))
        for tube in self.frame.listed:
            if tube.role.beside_chain:
                yield least_gap(tube, around.chainring, CHAINRING)
                yield least_gap(tube, around.crank, CRANK)
        if around.rotor is not None:
            for role in (CHAIN_STAY, SEAT_STAY):
                yield least_gap(self.frame.of(role, Side.LEFT), around.rotor, ROTOR)

    def _widest(self, gap: float) -> float | None:
        around = self.around
        if around.radius_of is None:
            return None
        skins = [skin(t) for t in _beside_tyre(self.frame)]
        axle = self.frame.rear_axle
        return widest_tyre(skins, axle, around.radius_of, gap, between=around.widths)


def _beside_tyre(frame: SpaceFrame) -> Iterator[Tube]:
    """The tubes about the rear tyre; of a pair of stays, which are alike, the drive side's."""
    return (tube for tube in frame.listed if tube.role.beside_tyre)


def bridge_clear_of(tyre: TyreSolid, diameter: float, gap: float) -> float:
    """How far from the axle a bridge's middle lies that leaves `gap` between its skin and the tyre, mm."""
    return tyre.radius + gap + diameter / 2

"""What makes room at a gap where no change of the tube does: another tyre, chainring, crank or rotor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from layout.drafting.numbers import format_number
from layout.frame.solve import Frame
from layout.geometry.space.clearance import CHAINRING, CRANK, ROTOR, TYRE, WANTED
from layout.geometry.space.gaps import DiscSolid, Gap, chain_wheel, least_gap

MOVES = tuple(0.5 * k for k in range(1, 41))
"""How far a part is moved along its axle to try it, mm."""
FEWEST = 20
"""Teeth of the smallest chainring that is tried."""


def part_words(frame: Frame, gap: Gap) -> Iterator[str]:
    """The least change of the part, as it is written in a spec; a tyre by its greatest width."""
    around = frame.around
    if gap.part == TYRE and frame.clearances.widest is not None:
        yield f"wheels.rear with a tyre of at most {format_number(float(int(frame.clearances.widest)), 0)} mm"
    if gap.part == ROTOR and around.rotor is not None:
        inner = around.rotor.near + frame.space.rear.spacing / 2
        yield from _moved(frame, gap, around.rotor, "rear_end.rotor.from_face", value=inner)
    if gap.part == CRANK:
        yield from _moved(frame, gap, around.crank, "drivetrain.crank_clearance", value=around.crank.near)
    if gap.part == CHAINRING:
        ring = around.chainring
        line = (ring.near + ring.far) / 2
        yield from _moved(frame, gap, ring, "drivetrain.chainline", value=line)
        yield from _smaller(frame, gap, ring)


def _moved(frame: Frame, gap: Gap, part: DiscSolid, key: str, *, value: float) -> Iterator[str]:
    """The least value of a key that moves the part towards +z far enough."""
    for move in MOVES:
        if _clears(frame, gap, replace(part, near=part.near + move, far=part.far + move)):
            yield f"{key}: {format_number(value + move, 1)}"
            return


def _smaller(frame: Frame, gap: Gap, ring: DiscSolid) -> Iterator[str]:
    """The largest smaller chainring that clears."""
    for teeth in range(100, FEWEST - 1, -1):
        radius = chain_wheel(teeth)
        if radius < ring.radius - 1e-6 and _clears(frame, gap, replace(ring, radius=radius)):
            yield f"drivetrain.chainring_teeth: {teeth}"
            return


def _clears(frame: Frame, gap: Gap, part: DiscSolid) -> bool:
    return least_gap(frame.space.tubes[gap.tube], part, gap.part).value >= WANTED[gap.part].least

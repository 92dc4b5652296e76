"""What makes room where a stay or a bridge comes too near something: the least change that does.

    straight stay    a bend, its middle where the gap is; of a round chain stay an oval
    bent stay        another angle of one of its bends
    bridge           another place on its stays, or a curve
    the part         where nothing of these does

Each is tried on the tube itself, with everything that it must clear, before it is said.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from layout.bench.bridge_room import bridge_words
from layout.bench.part_room import part_words
from layout.drafting.numbers import format_number
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.clearance import CHAINRING, CRANK, ROTOR, TYRE, WANTED
from layout.geometry.space.form import BEND_RADIUS, OVAL_KEPT, Form
from layout.geometry.space.gaps import DiscSolid, Gap, Part, least_gap
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.path import Bend
from layout.geometry.space.placing import reference
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import Tube

INNER_TURN, OUTER_TURN = 90.0, 270.0
ANGLES = tuple(1.0 + k for k in range(12))
"""Bends that are tried, degrees: one tighter is made on purpose, not for room."""
FINER = 0.5
AT_STEP = 10.0
FROM_END = 40.0
"""A bend's middle stays this far from both ends, mm."""
NOTHING = (
    " No single change to the {tube} or the {part} was found that makes the room. Change both, or the frame."
)
OVALS = tuple(0.95 - 0.05 * k for k in range(8))
"""Widths that are tried, over the diameter: 0.6 is about the narrowest that is sold."""


class _Tried(NamedTuple):
    """The drive side's stay, changed, with what it must clear."""

    parts: Sequence[tuple[str, Part]]

    def clear(self, stay: Tube) -> bool:
        """Whether the stay leaves the room wanted everywhere."""
        return all(least_gap(stay, part, name).value >= WANTED[name].least for name, part in self.parts)


def what_would_do(frame: Frame, gap: Gap) -> str:
    """What makes the room that a gap lacks, in words: of the tube, or else of the part; or that none does."""
    tube = frame.space.tubes[gap.tube]
    if tube.role.alike_ends:
        ways = [w for w in bridge_words(frame, tube) if w]
    elif tube.role in (CHAIN_STAY, SEAT_STAY):
        stay, tried = frame.space.drawn(tube.role), _Tried(tuple(_parts(frame, tube.role.beside_chain)))
        bend = _bend_words(stay, gap, tried) if stay.path.straight else _rebend_words(frame, stay, tried)
        ways = [w for w in (bend, _oval_words(stay, tried)) if w]
    else:
        ways = []
    ways = ways or list(part_words(frame, gap))
    if not ways:
        return NOTHING.format(tube=words(tube.label), part=gap.part)
    return f" To make room, write {', or '.join(ways)}."


def _parts(frame: Frame, beside_chain: bool) -> Iterator[tuple[str, Part]]:
    """What the drive side's stay must clear; a rotor is taken as if it were on that side."""
    around = frame.around
    if around.tyre is not None:
        yield TYRE, around.tyre
    if beside_chain:
        yield CHAINRING, around.chainring
        yield CRANK, around.crank
    if around.rotor is not None:
        disc = around.rotor
        yield ROTOR, DiscSolid(disc.axle, disc.radius, -disc.far, -disc.near)


def _bend_words(stay: Tube, gap: Gap, tried: _Tried) -> str:
    """The least bend of a straight stay, its middle where the gap is."""
    at = round(min(max(gap.station, FROM_END), stay.length - FROM_END) / AT_STEP) * AT_STEP
    found = []
    for plane in (INNER_TURN, OUTER_TURN):
        angle = _least(ANGLES, partial(_bend_clears, stay, tried, at, plane))
        if angle is not None:
            found.append((angle, plane))
    if not found:
        return ""
    angle, plane = min(found)
    return _bends_key(stay, (Bend(at, angle, plane, BEND_RADIUS),))


def _bends_key(stay: Tube, bends: Sequence[Bend]) -> str:
    """Bends as they are written in a spec."""
    said = (
        f"{{at: {b.at:g}, angle: {format_number(b.angle, 1)}, plane: {b.plane:g}, radius: {b.radius:g}}}"
        for b in bends
    )
    return f"tubes.{stay.role.name}.bends: [{', '.join(said)}]"


def _rebend_words(frame: Frame, stay: Tube, tried: _Tried) -> str:
    """The least change of the angle of one bend of a bent stay."""
    written = tuple(
        Bend(row.at, row.angle, row.plane, row.radius or BEND_RADIUS)
        for row in getattr(frame.model.tubes, stay.role.name).bends
    )
    found = []
    for k in range(len(written)):
        for sign in (1.0, -1.0):
            change = _least([sign * a for a in ANGLES], partial(_rebent_clears, stay, tried, written, k))
            if change is not None:
                found.append((abs(change), k, change))
    if not found:
        return ""
    _, k, change = min(found)
    return _bends_key(stay, _rebent(written, k, change))


def _rebent(written: Sequence[Bend], k: int, change: float) -> tuple[Bend, ...]:
    """The bends with the angle of one changed."""
    return tuple(b._replace(angle=b.angle + change) if i == k else b for i, b in enumerate(written))


def _rebent_clears(stay: Tube, tried: _Tried, written: Sequence[Bend], k: int, change: float) -> bool:
    return tried.clear(_bent(stay, _rebent(written, k, change)))


def _bend_clears(stay: Tube, tried: _Tried, at: float, plane: float, angle: float) -> bool:
    return tried.clear(_bent(stay, (Bend(at, angle, plane, BEND_RADIUS),)))


def _bent(stay: Tube, bends: Sequence[Bend]) -> Tube:
    start, end = stay.path.first.at, stay.path.last.at
    return replace(stay, path=stay_path(start, end, reference(stay.role), bends))


def _least(steps: Sequence[float], clear: Callable[[float], bool]) -> float | None:
    """The first of some steps that does, or half a step before it."""
    for k, step in enumerate(steps):
        try:
            if not clear(step):
                continue
            before = step - math.copysign(FINER * abs(steps[1] - steps[0]), steps[1] - steps[0])
            return before if k and clear(before) else step
        except MisfitError:
            return None
    return None


def _oval_words(stay: Tube, tried: _Tried) -> str:
    """The least ovalling of a round chain stay at the shell."""
    thick, thin = (stay.diameter_at(t) for t in (0.0, stay.length))
    if stay.role != CHAIN_STAY or not stay.profile.is_round:
        return ""
    share = _least(OVALS, lambda part: tried.clear(_ovalled(stay, thick[0], thin[0], part)))
    if share is None:
        return ""
    width = share * thick[0]
    said = f"{format_number(width, 1)}, {format_number(_height(thick[0], width), 1)}"
    return f"tubes.{stay.role.name}.section: [{said}]"


def _ovalled(stay: Tube, thick: float, thin: float, share: float) -> Tube:
    width = share * thick
    form = Form((_height(thick, width), width), (thin, thin), None, (OVAL_KEPT, 0.0))
    return replace(stay, profile=form.profile(stay.length))


def _height(round_: float, width: float) -> float:
    """The height of an oval of a width, mm, pressed of a round tube: its way round stays the same.

    Ramanujan's formula for an ellipse, solved by halving.
    """
    low, high = round_, 2.0 * round_
    for _ in range(50):
        height = (low + high) / 2
        a, b = width / 2, height / 2
        around = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b)))
        low, high = (height, high) if around < math.pi * round_ else (low, height)
    return (low + high) / 2

"""The bench's cut list: each tube with its cut length and what to order, and the order of mitring.

The cutting table (`cutting`) sets the mill; this is what hangs at the saw. Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from layout.drafting.numbers import format_number
from layout.frame.origin import DEFAULT, size_origin
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.lengths import EndSetting, Mill, TubeLengths
from layout.geometry.space.roles import Role
from layout.spec.parts import TubeBlock

ORDER_STEP = 10.0
"""Lengths to order are rounded up to this, mm."""
MITRE_NOTES = (
    "Cut: long point to long point. Saw: before mitring and facing. Mitre in this order, at the head tube "
    "first. Scribe one line along each tube to set both its cuts.",
)


@dataclass(frozen=True)
class CutRow:
    """One row: `count` tubes alike, diameter and wall, lengths in mm and how the ends are cut.

    `cut_length` is from longest point to longest point, faced; `sawn` before mitring and facing.
    `before_ovalling` is the diameter, mm, of the round tube that an oval one is made from, if known;
    `origin` says whether the size is given or a default. `spare` is the most that may come off each end
    of a butted tube as bought, mm.
    """

    tube: str
    count: int
    size: str
    cut_length: float
    sawn: float
    order_length: float
    ends: str
    before_ovalling: float | None = None
    origin: str = ""
    spare: tuple[float, float] | None = None

    @property
    def ordered(self) -> str:
        """What is asked for at the dealer's: the size, and of an oval what it was made from."""
        before = self.before_ovalling
        return self.size if before is None else f"{self.size}, of Ø{_short(before)}"


class Stock(NamedTuple):
    """What to order of one diameter and wall: lengths in mm, longest first."""

    size: str
    lengths: tuple[float, ...]


def cut_list(frame: Frame) -> tuple[CutRow, ...]:
    """Every tube that is cut, in the order of mitring; a pair of stays is one row."""
    listed = sorted(frame.lengths.listed, key=lambda t: t.tube.role.turn)
    return tuple(_cut_row(frame, found) for found in listed)


def stock(cuts: Sequence[CutRow]) -> tuple[Stock, ...]:
    """What to order, by diameter and wall."""
    by_size: dict[str, list[float]] = {}
    for cut in cuts:
        by_size.setdefault(cut.ordered, []).extend([cut.order_length] * cut.count)
    return tuple(Stock(size, tuple(sorted(lengths, reverse=True))) for size, lengths in by_size.items())


def _cut_row(frame: Frame, found: TubeLengths) -> CutRow:
    role = found.tube.role
    known: TubeBlock | None = getattr(frame.model.tubes, role.name) if role.written else None
    sawn = found.length_needed
    return CutRow(
        found.tube.label,
        2 if role.paired else 1,
        size_words(frame, role, known) if role.written else _short(found.tube.diameter_at(0.0)[0]),
        found.cut_length,
        sawn=sawn,
        order_length=math.ceil(sawn / ORDER_STEP - 1e-9) * ORDER_STEP,
        ends=_ends_words(found.ends),
        before_ovalling=known.diameter if known is not None and known.section is not None else None,
        origin=_origin(frame, role),
        spare=found.spare,
    )


def _origin(frame: Frame, role: Role) -> str:
    """Whether a tube's outside sizes are written or assumed."""
    size = frame.plane.sizes.get(role.name)
    return DEFAULT if size is None else size_origin(size.given)


def size_words(frame: Frame, role: Role, written: TubeBlock | None) -> str:
    """Diameter and wall as tubes are listed: "28.6 x 0.8/0.5/0.8", "22.2-14 x 0.8", "oval 30x17"."""
    if written is not None and written.section is not None:
        outside = "oval " + "x".join(_short(v) for v in written.section)
    else:
        size = frame.plane.sizes.get(role.name)
        ends = role.diameters if size is None else (size.first, size.second)
        outside = "-".join(_short(v) for v in sorted(set(ends), reverse=True))
    if written is None or (written.wall is None and written.walls is None):
        return outside
    walls = (written.wall or 0.0,) if written.walls is None else written.walls
    return f"{outside} x {'/'.join(_short(w) for w in walls)}"


def _ends_words(ends: Sequence[EndSetting | None]) -> str:
    """Each end with the angle between the axes on every tube that it is cut on.

    "seat 73.0° on seat tube; head 60.2° on head tube and 51.0° on top tube"
    """
    said = [
        f"{words(e.name)} " + " and ".join(_angle_words(m) for m in e.mills) for e in ends if e is not None
    ]
    return "; ".join(said) or "square"


def _angle_words(mill: Mill) -> str:
    return f"{format_number(mill.between, 1)}° on {words(mill.on)}"


def _short(value: float) -> str:
    return format_number(value, 2).rstrip("0").rstrip(".")

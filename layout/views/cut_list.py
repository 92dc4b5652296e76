"""The bench's cut list: each tube with its cut length and what to order, and the order of mitring.

The cutting table (`cutting`) sets the mill; this is what hangs at the saw. Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from layout.drafting.numbers import format_number
from layout.frame import Frame
from layout.geometry.space.lengths import EndSetting, TubeLengths
from layout.spec.model import Spec
from layout.spec.parts import Tube
from layout.views.words import words

ORDER_STEP = 10.0
"""Lengths to order are rounded up to this, mm."""
MITRE_ORDER = (
    "1  Seat tube to the shell: the others are fitted to it.",
    "2  Down tube and top tube to the head tube, then their other ends: down tube to shell and seat tube, "
    "top tube to seat tube. One line along each tube phases both its cuts.",
    "3  Chain stays to the shell, as a pair.",
    "4  Seat stays, once the chain stays hold the axle.",
    "5  Bridges last, to the stays as they stand.",
)
"""Common practice."""


@dataclass(frozen=True)
class Cut:
    """One row: `count` tubes alike, diameter and wall, lengths in mm and how the ends are cut.

    `rough` is the length to saw of a tube whose ends are faced later, None of others.
    """

    tube: str
    count: int
    size: str
    cut_length: float
    order_length: float
    ends: str
    rough: float | None = None


@dataclass(frozen=True)
class Stock:
    """What to order of one diameter and wall: lengths in mm, longest first."""

    size: str
    lengths: tuple[float, ...]


def cut_list(frame: Frame, spec: Spec, lengths: Mapping[str, TubeLengths]) -> tuple[Cut, ...]:
    """Every tube that is cut; a pair of stays is one row, the head tube has its facing allowance."""
    return tuple(_cut(frame, spec, name, found) for name, found in lengths.items() if "_left" not in name)


def stock(cuts: Sequence[Cut]) -> tuple[Stock, ...]:
    """What to order, by diameter and wall."""
    by_size: dict[str, list[float]] = {}
    for cut in cuts:
        by_size.setdefault(cut.size, []).extend([cut.order_length] * cut.count)
    return tuple(Stock(size, tuple(sorted(lengths, reverse=True))) for size, lengths in by_size.items())


def _cut(frame: Frame, spec: Spec, name: str, found: TubeLengths) -> Cut:
    pair = name.endswith("_right")
    tube = name.removesuffix("_right")
    written = getattr(spec.tubes, tube, None)
    known = written if isinstance(written, Tube) else None
    allowance = (known.facing_allowance or 0.0) if known else 0.0
    rough = found.cut_length + 2 * allowance if allowance else None
    ordered = math.ceil(max(found.length_needed, rough or 0.0) / ORDER_STEP - 1e-9) * ORDER_STEP
    return Cut(
        tube,
        2 if pair else 1,
        size_words(frame, tube, known),
        found.cut_length,
        ordered,
        _ends_words(found.ends),
        rough,
    )


def size_words(frame: Frame, name: str, written: Tube | None) -> str:
    """Diameter and wall as tubes are listed: "28.6 x 0.8/0.5/0.8", "22.2-14 x 0.8", "oval 30x17"."""
    if written is not None and written.section is not None:
        outside = "oval " + "x".join(_short(v) for v in written.section)
    elif name in frame.tubes:
        tube = frame.tubes[name]
        outside = "-".join(_short(v) for v in sorted({tube.first, tube.second}, reverse=True))
    else:
        outside = "as built"
    if written is None or (written.wall is None and written.walls is None):
        return outside
    walls = (written.wall or 0.0,) if written.walls is None else written.walls
    return f"{outside} x {'/'.join(_short(w) for w in walls)}"


def _ends_words(ends: Sequence[EndSetting | None]) -> str:
    """The mitre angle between the axes at each end: "bb 73.0°, head 60.2°"."""
    said = [f"{words(e.name)} {format_number(e.angle, 1)}°" for e in ends if e is not None]
    return ", ".join(said) or "square"


def _short(value: float) -> str:
    return format_number(value, 2).rstrip("0").rstrip(".")

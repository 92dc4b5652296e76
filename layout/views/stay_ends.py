"""How the stays are cut at the dropouts, as a table of the cutting sheet."""

from __future__ import annotations

from layout.bench.dropouts import StayEnd, stay_ends
from layout.bench.marks import side_words
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import Cells, Column, table
from layout.frame.solve import Frame
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY

OFF_SHOWN = 0.05
"""A stay that passes this near the axle passes through it on a page, mm."""
OFF_WORDS = {CHAIN_STAY.name: ("above", "below"), SEAT_STAY.name: ("ahead of", "behind")}
"""Where a stay's axis passes the axle, for an off of more than 0 and less."""
TITLE = "Stay ends: square for a flat face, slotted for a plate (slot's depth: common practice)"


def stay_end_table(frame: Frame, width: float, names: float) -> Panel:
    """How the stays are cut: square for a flat face, slotted for a plate; `names` mm for the stays'."""
    columns = (
        Column("stays", least=names), Column("end to axle", Cells.NUMBER), Column("axis passes the axle"),
        Column("slot wide, deep"), Column("slot opens", share=1.0), Column("slot to the axis", Cells.NUMBER),
    )  # fmt: skip
    body = []
    for end in stay_ends(frame):
        sides = " and ".join(side_words(end.tube, end.phi + turn) for turn in (0.0, 180.0))
        body.append((
            end.tube.role.plural, _mm(end.from_axle), off_words(end), f"{_mm(end.slot)}, {_mm(end.depth, 0)}",
            sides, f"{_mm(abs(end.lean))}°",
        ))  # fmt: skip
    return table("stay_ends", TITLE, columns, body, text_height=TEXT_NOTE, width=width)


def off_words(end: StayEnd) -> str:
    """How a stay passes the axle: "through it", "8.0 above it", "6.0 behind it"."""
    if abs(end.off) < OFF_SHOWN:
        return "through it"
    return f"{_mm(abs(end.off))} {OFF_WORDS[end.tube.role.name][end.off < 0.0]} it"


def _mm(value: float, decimals: int = 1) -> str:
    return format_number(value, decimals)

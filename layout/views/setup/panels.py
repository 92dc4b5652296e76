"""What the pages of the setup sheet are made of: the work to do, and a panel for each part of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from layout.bench.blocks import DROPOUT, PlateBlock, blocks, plane_height
from layout.bench.cut_list import CutRow, stock
from layout.bench.fitted import BRIDGE
from layout.bench.marks import Mark, fitting_marks, what_words
from layout.bench.settings import Setting, rough_points, value_text
from layout.drafting.columns import Cells, Column
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import table, text_block
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.roles import LEFT, RIGHT, SHELL

PLACED = {
    "rear_axle": "rear axle", "front_axle": "front axle", "head_tube_bottom": "head tube low",
    "head_tube_top": "head tube top",
}  # fmt: skip
"""Points of the table, with their names there."""
TOO_LITTLE, MARK = "TOO LITTLE", "*"
BLOCKED = {SHELL.name: "shell's face", DROPOUT: "dropout's outer face"}
"""Parts that rest on a face."""
ROUNDING = 1e-6
"""A length this little over a whole millimetre is that millimetre: what the sums leave, mm."""
PRACTICE = "common practice"
"""Where a least gap is from when it is not from what the note under the table names."""


class Clearance(NamedTuple):
    """A gap to look at before welding: what it has and the least wanted, mm, or degrees of a lean.

    `part` is what it is a gap to; several tubes may come near one part. `reason` is where the least is from.
    """

    name: str
    part: str
    value: float
    wanted: float
    unit: str = "mm"
    reason: str = ""

    @property
    def short(self) -> bool:
        """Whether there is less room than wanted."""
        return self.value < self.wanted


@dataclass(frozen=True)
class Work:
    """What the pages are made of."""

    frame: Frame
    settings: tuple[Setting, ...]
    cuts: tuple[CutRow, ...]
    clearances: tuple[Clearance, ...]

    @property
    def rear_spacing(self) -> float:
        """Over-locknut spacing of the rear hub, mm."""
        return self.frame.space.rear.spacing


def places_panel(work: Work, width: float) -> Panel:
    """Where the points that the jig holds lie, from the BB and from the rear axle.

    A head tube's ends are the rough ones, as the jig holds them.
    """
    points = rough_points(work.frame)
    rear = points["rear_axle"]
    rows = []
    for name, said in PLACED.items():
        at = points[name]
        from_axle = "" if name == "rear_axle" else _from(at[0] - rear[0], at[1] - rear[1])
        rows.append((said, _from(*at), from_axle))
    columns = (Column("ahead, up"), Column("from BB", share=0.0), Column("from rear axle", share=0.0))
    return table("places", "", columns, rows, text_height=TEXT_NOTE, width=width)


def _from(ahead: float, up: float) -> str:
    return f"{format_number(ahead, 1)}, {format_number(up, 1)}"


def cut_panel(work: Work, width: float) -> Panel:
    """The cut list, with room to tick and write."""
    butted = any(cut.spare is not None for cut in work.cuts)
    columns = (
        Column("", Cells.CENTRED, share=0.0),
        Column("cut list", share=1.0),
        Column("Ø x wall", share=0.0),
        Column("size is", share=0.0),
        Column("cut", Cells.NUMBER, share=0.0),
        Column("saw", Cells.NUMBER, share=0.0),
        *([Column("most off ends", Cells.NUMBER, share=0.0)] if butted else []),
        Column("done", least=12.0, share=0.0),
    )
    rows = []
    for number, cut in enumerate(work.cuts, 1):
        name = words(cut.tube) + (f", {cut.count}" if cut.count > 1 else "")
        sawn = format_number(math.ceil(cut.sawn - ROUNDING), 0)
        off = [_taken_off(cut)] if butted else []
        size = cut.size, cut.origin, format_number(cut.cut_length, 1)
        rows.append((str(number), name, *size, sawn, *off, ""))
    return table("cuts", "", columns, rows, text_height=TEXT_NOTE, width=width)


def _taken_off(cut: CutRow) -> str:
    """The most that may come off a butted tube's first and second end as bought, rounded down."""
    return ", ".join(format_number(math.floor(v + ROUNDING), 0) for v in cut.spare or ())


def _width_words(work: Work) -> str:
    hub, shell = work.rear_spacing, work.frame.plane.shell_width
    slot = work.frame.model.rear_end.dropout.slot
    said = [f"{name} {format_number(v, 1)} (half {format_number(v / 2, 1)})"
            for name, v in (("rear hub", hub), ("shell", shell))]  # fmt: skip
    if slot is not None:
        said.append(f"dummy axle for slots of {format_number(slot, 1)}")
    return f"In mm: {'; '.join(said)}."


def order_words(work: Work) -> str:
    """Tubes to order, what the jig holds across the frame, and what of the cut list is assumed."""
    assumed = "geometry.top_tube_slope" in work.frame.plane.defaults
    warning = " Seat tube length assumed: see the drawing." if assumed else ""
    return f"{_stock_words(work)} {_width_words(work)}{warning}"


def _stock_words(work: Work) -> str:
    said = (f"{s.size}: {', '.join(format_number(v, 0) for v in s.lengths)}" for s in stock(work.cuts))
    return f"Tube to order: Ø x wall, least length mm. {'; '.join(said)}."


def fittings_panel(work: Work, width: float) -> Panel:
    """Where the fittings go, from what a tape hooks on."""
    groups: dict[tuple[str, str], list[str]] = {}
    for f in work.frame.fittings:
        *_, mark = fitting_marks(work.frame, f)
        key = f"{what_words(f)}, {_fitted_words(f, mark)}", mark.short_hook
        groups.setdefault(key, []).append(format_number(mark.distance, 1))
    rows = [(what, hook, ", ".join(at)) for (what, hook), at in groups.items()]
    columns = (Column("fitting"), Column("from", share=0.0), Column("at", least=25.0, share=0.0))
    title = "Fittings, from the long point"
    return table("fittings", title, columns, rows, text_height=TEXT_NOTE, width=width)


def _fitted_words(fitting: Fitting, mark: Mark) -> str:
    """The tube that a fitting is on with the side: of a stay its own, of a bridge none."""
    if fitting.kind == BRIDGE:
        return words(fitting.tube)
    if fitting.role.paired and fitting.side in (LEFT, RIGHT):
        return words(mark.tube.name)
    return f"{words(fitting.tube)} {mark.tube.quarter(mark.phi)}"


def tightest(found: Sequence[Clearance]) -> list[Clearance]:
    """Of several gaps to one part the least, and every one that is short."""
    least: dict[str, Clearance] = {}
    for c in found:
        if c.part not in least or c.value < least[c.part].value:
            least[c.part] = c
    return [c for c in found if c.short or c is least[c.part]]


def clearance_panel(work: Work, width: float) -> Panel:
    """Gaps to look at before welding."""
    rows = [
        (f"{c.name}: {TOO_LITTLE}" if c.short else c.name, value_text(c.value, c.unit), _wanted_text(c))
        for c in tightest(work.clearances)
    ]
    reasons = dict.fromkeys(c.reason for c in tightest(work.clearances) if _mark(c))
    note = "; ".join((*(f"{MARK} {reason}" for reason in reasons), f"others {PRACTICE}."))
    columns = (
        Column("clearance", share=1.0),
        Column("is", Cells.NUMBER, share=0.0),
        Column("least", Cells.NUMBER, share=0.0),
    )
    gaps = table("clearances", "Clearances", columns, rows, text_height=TEXT_NOTE, width=width)
    return stack_panels("clearances", (gaps, text_block("wanted", "", (note,), width, text_height=TEXT_NOTE)))


def _wanted_text(clearance: Clearance) -> str:
    """The least wanted, marked where it is not common practice."""
    return format_number(clearance.wanted, 0) + _mark(clearance)


def _mark(clearance: Clearance) -> str:
    return "" if clearance.reason in ("", PRACTICE) else MARK


def blocks_panel(work: Work, width: float) -> Panel:
    """How high to block each part on the plate, so that every axis lies in the middle plane."""
    rows: list[tuple[str, str]] = []
    for part, found in groupby(blocks(work.frame), key=lambda b: b.part):
        rows.extend(_block_rows(part, list(found)))
    columns = (Column("under the"), Column("block", share=0.0))
    title = f"Blocks, middle plane {_height_text(plane_height(work.frame))} up"
    return table("blocks", title, columns, rows, text_height=TEXT_NOTE, width=width)


def _block_rows(part: str, found: Sequence[PlateBlock]) -> list[tuple[str, str]]:
    """One row where a part is blocked alike at both ends, else one for each."""
    name, heights = BLOCKED.get(part, words(part)), [_height_text(b.height) for b in found]
    if len(set(heights)) > 1:
        return [(f"{name}, {words(b.end or '')}", h) for b, h in zip(found, heights, strict=True)]
    if found[0].height < -ROUNDING:
        return [(f"{name}: under the plate", heights[0])]
    return [(name, "none" if abs(found[0].height) < ROUNDING else heights[0])]


def _height_text(height: float) -> str:
    """A height to 0.05, with no more decimals than it has: half a hundredth is lost at most."""
    text = format_number(height, 2)
    return text.removesuffix("0")


"""The inspection record: what was designed, what was built, what it means; for the job's file.

    heading      whose frame, which job, which page
    verdict      large, with what it rests on
    dimensions   design, built, deviation and its uncertainty, tolerance, verdict; through the pages
    words        suspects, effects, what to pull, what could be mended, cautions
    signed       who measured, when, with what: written by hand

The date printed is the drawing's; no clock is read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from layout.drafting.columns import Cells, Column
from layout.drafting.entities import Drawing, Entity
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_CALLOUT, TEXT_NOTE
from layout.drafting.tables import Field, table, text_block, title_block
from layout.drafting.transform import moved
from layout.frame.job import Job
from layout.frame.words import words

GUTTER = 4.0
DECIMALS = {"mm": 1, "deg": 2}
MARKS = {True: "in", False: "OUT", None: ""}


@dataclass(frozen=True)
class Line:
    """One dimension of the record, mm or degrees by `unit`; `within` is None where it is not judged."""

    name: str
    unit: str
    design: float | None
    built: float
    uncertainty: float
    tolerance: float
    within: bool | None


@dataclass(frozen=True)
class Block:
    """Paragraphs under a title."""

    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True)
class Record:
    """What the record's pages are made of; `verdict` and `because` in words."""

    job: Job
    verdict: str
    because: str
    lines: tuple[Line, ...]
    blocks: tuple[Block, ...]


def pages(record: Record, width: float, height: float) -> tuple[Drawing, ...]:
    """The record's pages, each within `width` x `height` mm."""
    head = _heading(record.job, 1, 1, width).height + GUTTER
    room = height - head
    placed: list[list[Entity]] = [[]]
    y = room
    for panel in _panels(record, width, room):
        if panel.height > y and placed[-1]:
            placed.append([])
            y = room
        y -= panel.height
        placed[-1].extend(moved(panel.drawing, 0.0, y))
        y -= GUTTER
    drawn = []
    for number, entities in enumerate(placed, 1):
        heading = _heading(record.job, number, len(placed), width)
        top = moved(heading.drawing, 0.0, height - heading.height)
        drawn.append(Drawing(f"record {number}", (*top, *entities)))
    return tuple(drawn)


def _panels(record: Record, width: float, room: float) -> Iterator[Panel]:
    """Everything in order; the table is broken where a page ends, the first part beside the verdict."""
    verdict = text_block("verdict", "", (record.verdict,), width, TEXT_CALLOUT)
    because = text_block("because", "", (record.because,), width, TEXT_NOTE)
    yield verdict
    yield because
    left = list(record.lines)
    free = room - verdict.height - because.height - 2 * GUTTER
    while left:
        count = _fitting(left, width, free)
        yield _table(left[:count], width)
        left = left[count:]
        free = room
    for block in record.blocks:
        yield text_block(block.title, block.title, block.paragraphs, width, TEXT_NOTE)
    yield _signed(width)


def _fitting(lines: Sequence[Line], width: float, room: float) -> int:
    """How many lines' table fits, at least one."""
    count = len(lines)
    while count > 1 and _table(lines[:count], width).height > room:
        count -= 1
    return count


def _table(lines: Iterable[Line], width: float) -> Panel:
    columns = (
        Column("dimension, mm and °", share=1.0),
        Column("design", Cells.NUMBER, share=0.3),
        Column("built", Cells.NUMBER, share=0.3),
        Column("off", Cells.NUMBER, share=0.3),
        Column("± 1 s", Cells.NUMBER, share=0.2),
        Column("allowed", Cells.NUMBER, share=0.2),
        Column("", Cells.CENTRED, share=0.2),
    )
    return table("dimensions", "", columns, [_row(x) for x in lines], text_height=TEXT_NOTE, width=width)


def _row(line: Line) -> tuple[str, ...]:
    decimals, degree = DECIMALS[line.unit], "°" if line.unit == "deg" else ""

    def shown(value: float | None) -> str:
        return "" if value is None else format_number(value, decimals) + degree

    off = None if line.design is None else line.built - line.design
    sign = "+" if off is not None and off > 0 and shown(off) != shown(0.0) else ""
    return (
        words(line.name),
        shown(line.design),
        shown(line.built),
        sign + shown(off),
        shown(line.uncertainty),
        shown(line.tolerance),
        MARKS[line.within],
    )


def _heading(job: Job, page: int, count: int, width: float) -> Panel:
    fields = [
        Field("inspection record", job.title or "frame", 0.38),
        Field("number", job.number, 0.15),
        Field("rider", job.rider, 0.15),
        Field("drawn on", job.date, 0.16),
        Field("rev.", job.revision, 0.07),
        Field("page", f"{page} of {count}", 0.09),
    ]
    return title_block("heading", [fields], width)


def _signed(width: float) -> Panel:
    headings = ("measured by", "measured on", "instruments", "signed")
    columns = [Column(h, Cells.BLANK) for h in headings]
    return table("signed", "", columns, [("",) * len(columns)], text_height=TEXT_NOTE, width=width)

"""The inspection record: what was designed, what was built, what it means; for the job's file.

    heading      whose frame, which job, which page
    verdict      large, with what it rests on
    dimensions   design, built, deviation and its uncertainty, tolerance, verdict; through the pages
    words        suspects, effects, what to pull, what could be corrected, cautions
    signed       who measured, when, with what: written by hand

The date printed is the drawing's; no clock is read.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import NamedTuple

from layout.drafting.cautions import cautions_across
from layout.drafting.columns import Cells, Column
from layout.drafting.entities import Drawing
from layout.drafting.flow import HeadedPages
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.style import TEXT_CALLOUT, TEXT_NOTE
from layout.drafting.tables import smaller, table, text_block
from layout.frame.job import Job
from layout.frame.words import words
from layout.views.panels import page_heading

HEADING_SHARES = (0.38, 0.15, 0.15, 0.16, 0.07, 0.09)
"""Of the width, the fields of a page's heading."""
DECIMALS = {"mm": 1, "deg": 2}
MARKS = {True: "ok", False: "OUT", None: ""}


class RecordLine(NamedTuple):
    """One dimension of the record, mm or degrees by `unit`; `within` is None where it is not judged."""

    name: str
    unit: str
    design: float | None
    built: float
    uncertainty: float
    tolerance: float
    within: bool | None


class RecordBlock(NamedTuple):
    """Paragraphs under a title."""

    title: str
    paragraphs: tuple[str, ...]


class Record(NamedTuple):
    """What the record's pages are made of; `verdict` and `because` in words."""

    job: Job
    verdict: str
    because: str
    lines: tuple[RecordLine, ...]
    blocks: tuple[RecordBlock, ...]


def pages(record: Record, width: float, height: float) -> tuple[Drawing, ...]:
    """The record's pages, each within `width` x `height` mm: the table begins beside the verdict."""
    paper = HeadedPages("record", width, height, partial(_heading, record.job, width))
    flow = paper.flow()
    flow.add(text_block("verdict", "", (record.verdict,), width, text_height=TEXT_CALLOUT))
    flow.add(text_block("because", "", (record.because,), width, text_height=TEXT_NOTE))
    flow.add_rows(record.lines, partial(_table, width=width))
    for block in record.blocks:
        flow.add(text_block(block.title, block.title, block.paragraphs, width, text_height=TEXT_NOTE))
    flow.add(stack_panels("foot", (cautions_across(width, smaller(TEXT_NOTE)), _signed_text(width))))
    return paper.drawings(flow)


def _table(lines: Iterable[RecordLine], width: float) -> Panel:
    columns = (
        Column("dimension, mm and °", share=1.0),
        Column("design", Cells.NUMBER, share=0.3),
        Column("built", Cells.NUMBER, share=0.3),
        Column("off", Cells.NUMBER, share=0.3),
        Column("known to ±", Cells.NUMBER, share=0.2),
        Column("allowed", Cells.NUMBER, share=0.2),
        Column("", Cells.CENTRED, share=0.2),
    )
    return table("dimensions", "", columns, [_row(x) for x in lines], text_height=TEXT_NOTE, width=width)


def _row(line: RecordLine) -> tuple[str, ...]:
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


def _heading(job: Job, width: float, page: int, count: int) -> Panel:
    said = f"{page} of {count}"
    return page_heading(job, "inspection record", HEADING_SHARES, width, page=said, dated="drawn on")


def _signed_text(width: float) -> Panel:
    headings = ("measured by", "measured on", "instruments", "signed")
    columns = [Column(h, Cells.BLANK) for h in headings]
    return table("signed", "", columns, [("",) * len(columns)], text_height=TEXT_NOTE, width=width)

"""The title block: what ISO 7200 lists (from memory), and rider, heading, the frame's mark, the decimal sign.

What is too long for its field ends in an ellipsis there and stands in full in a panel of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

from layout.drafting.panel import Panel
from layout.drafting.sheet_number import FIELD, ONE_SHEET
from layout.drafting.tables import Field, cut_short, text_block, title_block
from layout.frame.job import Job
from layout.frame.solve import Frame

TITLE_WIDTH = 180.0
"""The most that ISO 7200 gives a title block (from memory)."""
NOTE_LINES = 5
"""Of a builder's notes in the title block."""
TRUE_SCALE = "1:1, mm"

Row = tuple[Field, ...]


def title_rows(frame: Frame, document: str, scale: str = TRUE_SCALE) -> list[Row]:
    """What every title block has, row by row; `document` is the kind of document, `scale` as lettered."""
    job = frame.job
    return [
        (Field("title", job.title, 0.5), Field("owner", job.owner, 0.28), Field("number", job.number, 0.22)),
        (
            Field("document", document, 0.5),
            Field("frame mark", frame.mark, 0.28),
            Field("rider", job.rider, 0.22),
        ),
        signed_row(job),
        (
            Field("scale; decimal sign: point", scale, 0.33),
            Field("the bicycle is", f"heading {frame.heading}", 0.33),
            Field("revision", job.revision, 0.17),
            Field(FIELD, ONE_SHEET, 0.17),
        ),
    ]


def signed_row(job: Job) -> Row:
    """Who drew and approved it, and when."""
    return (
        Field("drawn by", job.drawn_by, 0.35),
        Field("approved by", job.approved_by, 0.35),
        Field("date", job.date, 0.3),
    )


def notes_row(job: Job) -> Row:
    """The builder's notes."""
    return (Field("notes", job.notes, 1.0, lines=NOTE_LINES),)


def with_continuation(rows: Sequence[Row], width: float, across: float) -> dict[str, Panel]:
    """The block `width` mm wide as `title`; what it cuts short, whole, `across` mm wide, as `continued`."""
    panels = {"title": title_block("title", rows, width)}
    said = [f"{field.heading}: {field.value}" for field in cut_short(rows, width)]
    if said:
        panels["continued"] = text_block("continued", "From the title block, in full", said, across)
    return panels

"""Pages of numbers and words: a sheet of paper with a border, upright, nothing on it to measure.

A form has no scale to be true to, so no printer compensation is applied and none is stated.
"""

from __future__ import annotations

from collections.abc import Sequence

from layout.drafting.entities import Drawing, Polyline
from layout.drafting.style import Layer
from layout.sheets.border import BORDER_PEN, border, page_words
from layout.sheets.media import Medium
from layout.sheets.page import Page
from layout.sheets.sheet import Placement, Sheet

ABOUT = "Do not measure on this page: use the numbers."


def form_page(paper: Medium) -> Page:
    """The paper upright."""
    return Page(paper, paper.short, paper.long or paper.short)


def form_room(paper: Medium) -> tuple[float, float]:
    """Width and height inside the border, mm."""
    frame = border(form_page(paper))
    return frame.width, frame.height


def form_sheets(drawings: Sequence[Drawing], paper: Medium, kind: str, mark: str) -> tuple[Sheet, ...]:
    """A sheet for each drawing, which lies within 0, 0 and `form_room`; `mark` tells of which frame."""
    page = form_page(paper)
    frame, edge = border(page), page.printable
    said = page_words(frame, edge, (ABOUT, ""), mark)
    furniture = Drawing(kind, (Polyline(frame.corners, Layer.SHEET, closed=True, pen=BORDER_PEN), *said))
    return tuple(
        Sheet(
            f"{kind}-{number}",
            paper.name,
            kind,
            width=page.width,
            height=page.height,
            placements=(Placement(drawing, frame.left, frame.bottom),),
            furniture=furniture,
        )
        for number, drawing in enumerate(drawings, 1)
    )

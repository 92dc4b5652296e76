"""A page that shows something reduced: border, centring marks, a line that says not to measure on it."""

from __future__ import annotations

from layout.drafting.entities import Drawing, Polyline
from layout.drafting.scales import NOT_FOR_MEASURING
from layout.drafting.style import Layer
from layout.sheets.border import BORDER_PEN, border, centring_marks, page_words
from layout.sheets.media import TRUE_PRINTER, Medium
from layout.sheets.page import cut_pages, medium_words
from layout.sheets.sheet import Placement, Sheet


def overview_room(medium: Medium) -> tuple[float, float]:
    """Width and height (mm) inside the border of a cut sheet, its long edge level."""
    frame = border(cut_pages(medium, TRUE_PRINTER)[0])
    return frame.width, frame.height


def overview(drawing: Drawing, medium: Medium, kind: str, name: str, scale: str, mark: str) -> Sheet:
    """A cut sheet, its long edge level, with a drawing that fills its border from the lower left corner.

    `scale` is what the drawing's views are reduced to, as lettered; the drawing itself is laid as it is.
    `mark` tells which frame it shows.
    """
    page = cut_pages(medium, TRUE_PRINTER)[0]
    frame, edge = border(page), page.printable
    words = f"{medium_words(medium)}, scale {scale}, {NOT_FOR_MEASURING}"
    furniture = Drawing(
        name,
        (
            Polyline(frame.corners, Layer.SHEET, closed=True, pen=BORDER_PEN),
            *centring_marks(frame, edge),
            *page_words(frame, edge, (words, ""), mark),
        ),
    )
    placement = Placement(drawing, round(frame.left, 6), round(frame.bottom, 6))
    return Sheet(
        name,
        medium.name,
        kind,
        width=page.width,
        height=page.height,
        placements=(placement,),
        furniture=furniture,
    )

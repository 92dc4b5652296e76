"""A drawing on one cut sheet, whichever way round the sheet holds it; the drawing is never turned."""

from __future__ import annotations

from layout.sheets.border import border, sheet_border
from layout.sheets.composition import Arrangement
from layout.sheets.media import TRUE_PRINTER, Medium, Printer
from layout.sheets.page import cut_pages
from layout.sheets.roll import centre_on_page, fits
from layout.sheets.sheet import Sheet


def lay_cut(arrangement: Arrangement, medium: Medium, printer: Printer = TRUE_PRINTER) -> Sheet | None:
    """The sheet with the whole drawing on it, or None where it is too small either way round."""
    for page in cut_pages(medium, printer):
        frame = border(page)
        if not fits(arrangement.least_size, (frame.width, frame.height)):
            continue
        composition = arrangement.composed(frame.width, frame.height)
        return Sheet(
            medium.name,
            medium.name,
            "drawing",
            width=page.width,
            height=page.height,
            placements=(centre_on_page(composition, page),),
            furniture=sheet_border(page, medium.name, composition.mark),
            stretch=page.stretch,
        )
    return None

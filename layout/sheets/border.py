"""What a roll or a cut sheet has round its drawing: border, centring marks, a line about itself.

The border (0.5) keeps a band free all round, inside the printable area, for the centring
marks at the middle of each side (after ISO 5457, here outside the border, so that they
never lie on the drawing) and for one line of lettering under it.

    printable area   +------------------------|------------------------+
    border           | +----------------------|----------------------+ |
                     | |                                             | |
                     +-+                   drawing                   +-+
                     | |                                             | |
                     | +----------------------|----------------------+ |
                     |  paper, scale, ...     |                        |
                     +------------------------|------------------------+
"""

from __future__ import annotations

from layout.drafting.entities import Align, Drawing, Entity, Line, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.rect import Rect
from layout.drafting.style import TEXT_NOTE, THICK, Layer, Pen
from layout.sheets.media import Medium, Printer
from layout.sheets.page import PRINTING_WORDS, Page, compensation_words, medium_words

BAND = 6.0
"""Between border and printable edge: a line of 3.5 with its descenders and room on both sides."""
BASELINE = 1.6
"""The lettering's baseline above the printable edge: room for descenders and half a line width."""
SMALL_NOTE = 2.5
"""Lettering where 3.5 has no room: the next size down in ISO 3098."""
BORDER_PEN = Pen(THICK)


def border(page: Page) -> Rect:
    """Where the border lies: the room for the drawing, in sheet coordinates."""
    return page.printable.grown(-BAND)


def sheet_border(page: Page, title: str) -> Drawing:
    """Border, centring marks and the line about the sheet, in sheet coordinates."""
    frame, edge = border(page), page.printable
    entities: list[Entity] = [
        Polyline(frame.corners, Layer.SHEET, closed=True, pen=BORDER_PEN),
        *centring_marks(frame, edge),
        *_about(page, frame, edge),
    ]
    return Drawing(title, tuple(entities))


def centring_marks(frame: Rect, edge: Rect) -> tuple[Line, ...]:
    """A mark at the middle of each side, from the border out to the printable edge."""
    x, y = frame.centre
    return tuple(
        Line(a, b, Layer.SHEET, BORDER_PEN)
        for a, b in (
            ((x, frame.top), (x, edge.top)),
            ((x, edge.bottom), (x, frame.bottom)),
            ((edge.left, y), (frame.left, y)),
            ((frame.right, y), (edge.right, y)),
        )
    )


def least_width(medium: Medium, printer: Printer) -> float:
    """The least width of a border whose words keep clear of each other and of the centring mark, mm."""
    return 2 * (max(text_width(w, SMALL_NOTE) for w in _words(medium, printer)) + BAND)


def _words(medium: Medium, printer: Printer) -> tuple[str, str]:
    return f"{medium_words(medium)}, scale 1:1, {PRINTING_WORDS}", compensation_words(printer)


def _about(page: Page, frame: Rect, edge: Rect) -> list[Text]:
    """Two pieces of lettering under the border, one each side of the centring mark."""
    room = frame.width / 2 - BAND
    paper, compensation = _words(page.medium, page.printer)
    words = ((paper, frame.left, Align.START), (compensation, frame.right, Align.END))
    height = TEXT_NOTE
    if max(text_width(w, height) for w, _, _ in words) > room:
        height = SMALL_NOTE
    return [Text((x, edge.bottom + BASELINE), w, height, Layer.SHEET, align=align) for w, x, align in words]

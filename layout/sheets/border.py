"""What a page has round its drawing: border, centring marks, what it says of itself, the caution.

The border (0.5) keeps a band free all round, inside the printable area, for the centring
marks at the middle of each side (after ISO 5457, here outside the border, so that they
never lie on the drawing) and for lettering: the paper over it, the caution at its foot, the frame's mark
beside it, reading upwards.

    printable area   +------------------------|------------------------+
                     |  paper, scale, ...     |          compensation  |
    border           | +----------------------|----------------------+ |
                     | |                                             | |
                     +-+                   drawing                   +-+
                     | |                                             | mark
                     | +----------------------|----------------------+ |
                     |  caution               |               caution  |
                     +------------------------|------------------------+
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.cautions import CAUTION
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
FINE_NOTE = 1.8
"""The least size of ISO 3098, for paper narrower than A4."""
CLEAR = 4.0
"""Between words and the centring mark, or between two pieces of words, mm."""
BORDER_PEN = Pen(THICK)


def border(page: Page) -> Rect:
    """Where the border lies: the room for the drawing, in sheet coordinates."""
    return page.printable.grown(-BAND)


def sheet_border(page: Page, title: str, mark: str) -> Drawing:
    """Border, centring marks and what the sheet says of itself, in sheet coordinates.

    `mark` tells which frame it shows; empty on paper that shows none.
    """
    frame, edge = border(page), page.printable
    entities: list[Entity] = [
        Polyline(frame.corners, Layer.SHEET, closed=True, pen=BORDER_PEN),
        *centring_marks(frame, edge),
        *page_words(frame, edge, _words(page.medium, page.printer), mark),
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
    lines = (*_words(medium, printer), *_caution())
    return 2 * (max(text_width(w, SMALL_NOTE) for w in lines) + BAND)


def page_words(frame: Rect, edge: Rect, about: tuple[str, str], mark: str) -> Iterator[Text]:
    """What a page says outside its border `frame`: two words `about` it over it, caution and mark.

    All are of one height, the largest that fits.
    """
    lines = [words for words in (*about, *_caution()) if words]
    room = frame.width / 2 - CLEAR
    fitting = (h for h in (TEXT_NOTE, SMALL_NOTE) if max(text_width(w, h) for w in lines) <= room)
    height = next(fitting, FINE_NOTE)
    for (left, right), y in ((about, frame.top + BASELINE), (_caution(), edge.bottom + BASELINE)):
        yield Text((frame.left, y), left, height, Layer.SHEET)
        if right:
            yield Text((frame.right, y), right, height, Layer.SHEET, align=Align.END)
    if mark:
        yield Text((edge.right - BASELINE, frame.bottom), mark, height, Layer.SHEET, angle=90.0)


def _caution() -> tuple[str, str]:
    """The caution in two pieces, one each side of the centring mark."""
    return " ".join(CAUTION[:2]), CAUTION[2]


def _words(medium: Medium, printer: Printer) -> tuple[str, str]:
    return f"{medium_words(medium)}, scale 1:1, {PRINTING_WORDS}", compensation_words(printer)

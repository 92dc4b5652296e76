"""Panels nested on as few pages as will hold them: templates, plates, anything cut out of the sheet.

They are packed as `drafting/packing.py` does it, turned by a quarter where they fit better so. Nothing is
scaled.

    +--------------------------------------+
    | +-------+ +---------+ +------+       |
    | | strip | | strip   | |      |       |
    | |       | |         | +------+       |
    | +-------+ +---------+ ...            |
    | 100 mm, both ways            words   |
    +--------------------------------------+
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import repeat
from typing import NamedTuple

from layout.drafting.entities import Align, Drawing, Entity, LengthDimension, Text
from layout.drafting.flow import SLACK, Flow
from layout.drafting.lettering import text_width
from layout.drafting.packing import TooLargeError, pack, rooms
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.transform import move, turn_quarters
from layout.drafting.vector import along, readable
from layout.drafting.wrapping import shorten
from layout.errors import Fault, SheetError
from layout.sheets.bar import bar
from layout.sheets.border import BAND, border, sheet_border
from layout.sheets.media import TRUE_PRINTER, Medium, MediumKind, Printer, plain
from layout.sheets.page import Page, across_roll, cut_pages, longest_printable, roll_page
from layout.sheets.sheet import Placement, Sheet

GAP = 4.0
"""Between panels, for scissors."""
FOOT = 9.0
"""Room at the foot and at the left of a page for the scale bars."""
BAR_IN = 3.0
BESIDE_BAR = 106.0
"""The words of a page begin this far from the start of its level scale bar."""
SMALL_NOTE = 2.5
SHORTEST_ROLL = 220.0
"""A page of a roll has room for its scale bar and the words beside it, mm."""

Arrange = Callable[[Sequence[Panel], float, float], "list[list[Nested]]"]


class Nested(NamedTuple):
    """A panel's lower left corner on its page, and whether it lies a quarter turn counter-clockwise."""

    panel: Panel
    x: float
    y: float
    turned: bool

    @property
    def width(self) -> float:
        """Width as it lies."""
        return self.panel.height if self.turned else self.panel.width

    @property
    def height(self) -> float:
        """Height as it lies."""
        return self.panel.width if self.turned else self.panel.height

    def entities(self) -> Drawing:
        """Its drawing where it lies."""
        drawing = self.panel.drawing
        if self.turned:
            lying = move(turn_quarters(drawing, 1), self.panel.height, 0.0)
            drawing = Drawing(lying.title, tuple(_readable(e) for e in lying))
        return move(drawing, self.x, self.y)


def _readable(entity: Entity) -> Entity:
    """Lettering about its own middle the right way up again (ISO 129-1, from memory)."""
    match entity:
        case LengthDimension() if abs(readable(entity.text_angle) - entity.text_angle) > 1.0:
            over = along(entity.text_at, entity.text_angle + 90.0, entity.height)
            return replace(entity, text_at=over, text_angle=readable(entity.text_angle))
        case Text() if abs(readable(entity.angle) - entity.angle) > 1.0:
            width = text_width(entity.text, entity.height)
            ahead = {Align.START: width, Align.MIDDLE: 0.0, Align.END: -width}[entity.align]
            over = along(entity.at, entity.angle + 90.0, entity.height)
            return replace(entity, at=along(over, entity.angle, ahead), angle=readable(entity.angle))
        case _:
            return entity


def nest(panels: Sequence[Panel], width: float, height: float) -> list[list[Nested]]:
    """Panels on pages of `width` x `height` mm, as few as this method finds.

    Raises SheetError (code media) where a panel fits neither way round.
    """
    try:
        packed = pack([(p.width, p.height) for p in panels], (width, height), GAP)
    except TooLargeError as e:
        raise SheetError(Fault(_too_large(panels[e.box], width, height), "media", "media")) from e
    pages: list[list[Nested]] = [[] for _ in range(rooms(packed))]
    for p in packed:
        pages[p.room].append(Nested(panels[p.box], p.left, p.bottom, p.turned))
    return pages


def flow(panels: Sequence[Panel], width: float, height: float) -> list[list[Nested]]:
    """Panels one under the other in their order, on pages of `width` x `height` mm, for reading.

    Raises SheetError (code media) where a panel does not fit.
    """
    filled = Flow(repeat(Rect(0.0, 0.0, width, height)), gap=0.0)
    for panel in panels:
        if panel.width > width + SLACK or panel.height > height + SLACK:
            raise SheetError(Fault(_too_large(panel, width, height), "media", "media"))
        if not filled.fits(panel):
            filled.turn()
        filled.put_beside([(0.0, [panel])], panel.height + GAP)
    return [[Nested(p.panel, p.x, p.y, turned=False) for p in page] for page in filled.columns]


def lay_nested(
    panels: Sequence[Panel],
    medium: Medium,
    kind: str,
    words: Callable[[int, int], str],
    printer: Printer = TRUE_PRINTER,
    arrange: Arrange = nest,
    mark: str = "",
) -> list[Sheet]:
    """Pages of a medium with the panels on them; `words` says a page's number and count at its foot.

    `arrange` is `nest` or, for pages that are read in order, `flow`. A roll is one page, as long as it
    needs to be, and always nested. `mark` tells which frame it is of.

    Raises SheetError (code media) where a panel is too large.
    """
    if medium.kind is MediumKind.ROLL:
        return [_roll_sheet(panels, medium, kind, words, printer=printer, mark=mark)]
    page = min(cut_pages(medium, printer), key=lambda p: p.width)
    frame = border(page)
    nested = arrange(panels, frame.width - FOOT - GAP, frame.height - FOOT - GAP)
    count = len(nested)
    return [
        _sheet(
            page,
            items,
            medium,
            kind,
            words=words(k + 1, count),
            name=f"{k + 1}" if count > 1 else medium.name,
            mark=mark,
        )
        for k, items in enumerate(nested)
    ]


def _roll_sheet(
    panels: Sequence[Panel],
    medium: Medium,
    kind: str,
    words: Callable[[int, int], str],
    printer: Printer,
    mark: str,
) -> Sheet:
    """One page of a roll: the shortest length, to 10 mm, that takes all panels."""
    across = across_roll(medium, printer) - 2 * BAND - FOOT - GAP
    area = sum((p.width + GAP) * (p.height + GAP) for p in panels)
    least = max(_least_length(p, across) for p in panels)
    length = max(least, SHORTEST_ROLL, 10.0 * (area / across // 10.0))
    longest = longest_printable(medium, printer) - 2 * BAND - FOOT - GAP
    nested = nest(panels, min(length, longest), across)
    while len(nested) > 1 and length < longest:
        length += 10.0
        nested = nest(panels, min(length, longest), across)
    if len(nested) > 1:
        message = f"the templates need a longer roll than {medium.name} gives. Use a wider one."
        raise SheetError(Fault(message, "media", "media"))
    page = roll_page(medium, min(length, longest) + 2 * BAND + FOOT + GAP, printer)
    return _sheet(page, nested[0], medium, kind, words=words(1, 1), name=medium.name, mark=mark)


def _least_length(panel: Panel, across: float) -> float:
    """How much of a roll a panel takes the way round that takes least, mm."""
    ways = ((panel.width, panel.height), (panel.height, panel.width))
    fitting = [along_roll for along_roll, over in ways if over <= across]
    return min(fitting, default=panel.width)


def _sheet(
    page: Page, items: Sequence[Nested], medium: Medium, kind: str, words: str, name: str, mark: str
) -> Sheet:
    frame = border(page)
    entities: list[Entity] = [e for item in items for e in item.entities()]
    drawing = Drawing(words, tuple(entities))
    placement = Placement(
        drawing, round(frame.left + FOOT + GAP / 2, 6), round(frame.bottom + FOOT + GAP / 2, 6)
    )
    at = (frame.left + BAR_IN, frame.bottom + BAR_IN)
    room = frame.right - BAR_IN - (at[0] + FOOT + BESIDE_BAR)
    height = TEXT_NOTE if text_width(words, TEXT_NOTE) <= room else SMALL_NOTE
    said = shorten(words, room, height)
    marks = (
        *bar((at[0] + FOOT, at[1]), 0.0),
        *bar((at[0] + BAR_IN, at[1] + FOOT), 90.0),
        Text((at[0] + FOOT + BESIDE_BAR, at[1] + 0.5), said, height, Layer.SHEET),
    )
    furniture = sheet_border(page, medium.name, mark).with_entities(marks)
    return Sheet(
        name,
        medium.name,
        kind,
        width=page.width,
        height=page.height,
        placements=(placement,),
        furniture=furniture,
        stretch=page.stretch,
    )


def _too_large(panel: Panel, width: float, height: float) -> str:
    size = f"{plain(panel.width)} x {plain(panel.height)}"
    return (
        f"the template {panel.name} is {size} mm, but the paper has room for {plain(width)} x "
        f"{plain(height)} mm. Use a larger paper, a3 or a roll."
    )

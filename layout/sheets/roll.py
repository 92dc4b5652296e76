"""A drawing on a roll: the page's width runs along the roll, its height is the roll's width.

The drawing lies unturned unless only turning fits; its length is free up to what the
plotter takes in one job. It is never scaled: a roll too narrow is an error that says what would do.
"""

from __future__ import annotations

import math

from layout.errors import Fault, SheetError
from layout.sheets.border import BAND, border, least_width, sheet_border
from layout.sheets.composition import Arrangement, Composition
from layout.sheets.media import MEDIA, TRUE_PRINTER, Medium, MediumKind, Printer, plain
from layout.sheets.page import Page, across_roll, cut_pages, longest_printable, roll_page
from layout.sheets.sheet import Placement, Sheet

SLACK = 1e-6
"""Rounding allowed where a drawing just fits, mm: no finer than coordinates in files."""


def lay_roll(arrangement: Arrangement, medium: Medium, printer: Printer = TRUE_PRINTER) -> Sheet:
    """One page of a roll with the whole drawing on it.

    Raises SheetError (code media) where the roll is too narrow or its plotter's longest page too short.
    """
    composition, turn = composed_for_roll(arrangement, medium, printer)
    size = _turned_size((composition.bounds.width, composition.bounds.height), turn)
    page = roll_page(medium, max(size[0], least_width(medium, printer)) + 2 * BAND, printer)
    return Sheet(
        medium.name,
        medium.name,
        "drawing",
        width=page.width,
        height=page.height,
        placements=(centre_on_page(composition, page, turn),),
        furniture=sheet_border(page, medium.name, composition.mark),
        stretch=page.stretch,
    )


def composed_for_roll(
    arrangement: Arrangement, medium: Medium, printer: Printer = TRUE_PRINTER
) -> tuple[Composition, int]:
    """The composition for a roll and the quarter turns it lies at; raises as `lay_roll` does."""
    room = roll_room(medium, printer)
    for turn in (0, 1):
        if fits(_turned_size(arrangement.least_size, turn), room):
            width, height = _turned_size(room, turn)
            return arrangement.composed(width, height), turn
    raise SheetError(Fault(_why_not(arrangement, medium, printer), code="media", key="media"))


def roll_room(medium: Medium, printer: Printer = TRUE_PRINTER) -> tuple[float, float]:
    """The most room inside the border, along and across a roll, mm."""
    return longest_printable(medium, printer) - 2 * BAND, across_roll(medium, printer) - 2 * BAND


def holding_rolls(arrangement: Arrangement, printer: Printer = TRUE_PRINTER) -> list[Medium]:
    """The rolls of the table that hold the drawing either way round, narrowest first."""
    rolls = sorted((m for m in MEDIA if m.kind is MediumKind.ROLL), key=lambda m: m.short)
    return [m for m in rolls if _holds(arrangement, roll_room(m, printer))]


def default_roll(arrangement: Arrangement, printer: Printer = TRUE_PRINTER) -> Medium:
    """The narrowest roll of the table that holds the drawing.

    Raises SheetError (code media) where none does.
    """
    rolls = holding_rolls(arrangement, printer)
    if rolls:
        return rolls[0]
    widest = max((m for m in MEDIA if m.kind is MediumKind.ROLL), key=lambda m: m.short)
    raise SheetError(Fault(_why_not(arrangement, widest, printer), code="media", key="media"))


def centre_on_page(composition: Composition, page: Page, turn: int = 0) -> Placement:
    """The composition in the middle of a page's border, its grain that of coordinates in files."""
    x, y = border(page).centre
    placed = Placement(composition.drawing, 0.0, 0.0, turn)
    cx, cy = placed.to_sheet(composition.bounds.centre)
    return Placement(
        composition.drawing, round(x - cx, 6), round(y - cy, 6), turn, window=composition.window
    )


def fits(size: tuple[float, float], room: tuple[float, float]) -> bool:
    """Whether `size` (width, height) goes into `room`."""
    return size[0] <= room[0] + SLACK and size[1] <= room[1] + SLACK


def _turned_size(size: tuple[float, float], turn: int) -> tuple[float, float]:
    return (size[1], size[0]) if turn % 2 else size


def _holds(arrangement: Arrangement, room: tuple[float, float]) -> bool:
    least = arrangement.least_size
    return fits(least, room) or fits(_turned_size(least, 1), room)


def _why_not(arrangement: Arrangement, medium: Medium, printer: Printer) -> str:
    """What is missing on a roll, and which media that shops have would do."""
    least, (length, across) = arrangement.least_size, roll_room(medium, printer)
    if min(least) <= across + SLACK:
        problem = (
            f"the drawing is {_up(max(least) - length)} mm too long for one page of {medium.name}. It needs "
            f"{_up(max(least))} mm; the plotter's longest page, {plain(medium.device.longest or 0.0)} mm, "
            f"leaves {math.floor(length)} mm inside margins and border"
        )
    else:
        problem = (
            f"{medium.name} is {_up(min(least) - across)} mm too narrow. The drawing needs "
            f"{_up(min(least))} mm across the roll; the roll leaves {math.floor(across)} mm inside margins "
            f"and border"
        )
    return f"{problem}. {_what_would_do(arrangement, medium, printer)}"


def _what_would_do(arrangement: Arrangement, medium: Medium, printer: Printer) -> str:
    rolls = [m.name for m in holding_rolls(arrangement, printer)]
    sheets = [
        m.name
        for m in MEDIA
        if m.kind is MediumKind.CUT
        and any(
            fits(arrangement.least_size, (border(p).width, border(p).height)) for p in cut_pages(m, printer)
        )
    ]
    offered = [*rolls, *sheets, "or tiles (--media a4)"]
    return f"Use {', '.join(offered)}." if len(offered) > 1 else "Use tiles (--media a4)."


def _up(mm: float) -> int:
    return math.ceil(mm - SLACK)

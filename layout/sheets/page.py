"""One page of a medium, lying one way round: its size, its printable area, its compensation.

Sheet coordinates: mm from the paper's lower left corner. Whatever lies in `printable` is
printed both before and after the compensation, so neither the file nor the device cuts it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from layout.drafting.numbers import format_number
from layout.drafting.rect import Rect
from layout.sheets.media import TRUE_PRINTER, Medium, MediumKind, Printer, medium
from layout.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Page:
    """A page `width` by `height` mm of a medium."""

    medium: Medium
    width: float
    height: float
    printer: Printer = TRUE_PRINTER

    @property
    def long_level(self) -> bool:
        """Whether the paper's own x (along a roll, along a cut sheet's long edge) is the page's x."""
        return self.medium.kind is MediumKind.ROLL or self.width >= self.height

    @property
    def stretch(self) -> tuple[float, float]:
        """The compensation along the page's x and y: true over measured."""
        along, across = 1.0 / self.printer.x, 1.0 / self.printer.y
        return (along, across) if self.long_level else (across, along)

    @property
    def blank(self) -> tuple[float, float]:
        """The device's blank edges along the page's x and y, mm of paper."""
        side, end = max(self.medium.device.side, self.printer.margins), blank_end(self.medium, self.printer)
        return (end, side) if self.long_level else (side, end)

    @property
    def printable(self) -> Rect:
        """The area that is printed with and without the compensation."""
        half_w, half_h = (
            (edge / 2 - blank) / max(1.0, stretch)
            for edge, blank, stretch in zip((self.width, self.height), self.blank, self.stretch, strict=True)
        )
        x, y = self.width / 2, self.height / 2
        return Rect(x - half_w, y - half_h, x + half_w, y + half_h)


def lies_turned(sheet: Sheet) -> bool:
    """Whether the drawing's x lies along printer.y: square to the roll, or to the paper's long edge."""
    page = Page(medium(sheet.medium), sheet.width, sheet.height)
    quarter_turned = any(p.turn % 2 for p in sheet.placements)
    return quarter_turned == page.long_level


def blank_end(medium: Medium, printer: Printer) -> float:
    """What stays blank at a page's ends, mm of paper."""
    return max(medium.device.end, printer.margins)


def across_roll(medium: Medium, printer: Printer) -> float:
    """How much of a roll's width is printable, mm."""
    return Page(medium, medium.short, medium.short, printer).printable.height


def roll_page(medium: Medium, printable_length: float, printer: Printer) -> Page:
    """A page of a roll, as long as its printable length (mm) asks, up to the next millimetre."""
    stretch = max(1.0, 1.0 / printer.x)
    length = printable_length * stretch + 2 * blank_end(medium, printer)
    return Page(medium, float(math.ceil(length - 1e-6)), medium.short, printer)


def longest_printable(medium: Medium, printer: Printer) -> float:
    """The longest printable length of a roll's page, mm."""
    longest = medium.device.longest or 0.0
    return (longest - 2 * blank_end(medium, printer)) / max(1.0, 1.0 / printer.x)


def cut_pages(medium: Medium, printer: Printer) -> tuple[Page, Page]:
    """A cut sheet both ways round: the long edge level, then upright."""
    long = medium.long or medium.short
    return Page(medium, long, medium.short, printer), Page(medium, medium.short, long, printer)


def compensation_words(printer: Printer) -> str:
    """What a sheet says of its compensation.

    >>> compensation_words(Printer(1.002, 0.9987))
    'compensated for a printer of x 1.0020, y 0.9987'
    """
    if printer.true:
        return "no printer compensation"
    return f"compensated for a printer of x {format_number(printer.x, 4)}, y {format_number(printer.y, 4)}"


def medium_words(medium: Medium) -> str:
    """What a sheet says of its paper: the medium's name and size in mm."""
    if medium.kind is MediumKind.ROLL:
        return f"{medium.name}, {medium.size.removesuffix(' wide')} mm wide"
    words = f"{medium.size} mm"
    return words if medium.name == words.replace(" ", "").removesuffix("mm") else f"{medium.name}, {words}"


PRINTING_WORDS = "print at 100 %, not fit to page"

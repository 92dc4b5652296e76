"""Paper, as data: sheets and rolls by name, and what the devices that print on them leave blank.

A cut sheet has a short and a long edge and may be laid either way round. A roll has a
width and as much length as the drawing takes, up to what its plotter takes in one job.
No medium of the table is too small to tile.

    cut sheet, long edge level             roll, its length level
    +--+-----------------------+--+        +--+---------------------------+--+
    |  |         side          |  |        |  |           side            |  |
    |en|                       |en|        |en|                           |en| roll's width
    |d |         side          |d |        |d |           side            |d |
    +--+-----------------------+--+        +--+---------------------------+--+
"""

from __future__ import annotations

import difflib
import re
from enum import StrEnum
from typing import NamedTuple

from layout.drafting.numbers import format_number
from layout.errors import Fault, SheetError

INCH = 25.4


class MediumKind(StrEnum):
    """How paper comes."""

    CUT = "cut"
    ROLL = "roll"


class Device(NamedTuple):
    """What prints: the blank edges it needs at the sides and at the ends, mm.

    `longest` is the longest page it takes in one job, None where the sheet itself is the limit.
    """

    name: str
    side: float
    end: float
    longest: float | None
    source: str


OFFICE_PRINTER = Device(
    "office printer",
    side=5.0,
    end=5.0,
    longest=None,
    source="guaranteed areas in manuals of office printers: 4 at each edge, with 1 to spare",
)
SHEET_PLOTTER = Device(
    "large-format printer, cut sheet",
    side=10.0,
    end=17.0,
    longest=None,
    source="17 at the ends, from memory; sides as the frame of ISO 5457",
)
ROLL_PLOTTER = Device(
    "large-format plotter, roll",
    side=18.0,
    end=18.0,
    longest=3200.0,
    source="a print shop's stated loss of 18 at each edge, and its limit of 3200 by page language",
)

LARGEST_OFFICE = (330.0, 483.0)
"""Cut sheets up to this size (A3 and 11 x 17 inch with bleed) are printed by office printers."""

SHORTEST_SIDE = 200.0
"""A cut sheet's least side: on a tile, a bar of 100 mm and words have to fit between the corners."""
LONGEST_SIDE = 5080.0
"""200 inches, the most that a PDF page may have without a unit of its own."""
NARROWEST_ROLL = 200.0


MOST_OF_A_PRINTER = 0.02
"""A print that is further off, of true, was scaled by its print dialogue (common practice)."""


class Printer(NamedTuple):
    """What a printer makes of a true length: measured over true.

    `x` acts along a roll or along a cut sheet's long edge, `y` square to it. `margins` is what it cannot
    print at the edges, mm, where that is more than devices of its kind need.
    """

    x: float = 1.0
    y: float = 1.0
    margins: float = 0.0

    @property
    def likely(self) -> bool:
        """Whether a printer can be that far off by itself."""
        return max(abs(self.x - 1.0), abs(self.y - 1.0)) <= MOST_OF_A_PRINTER

    @property
    def true(self) -> bool:
        """Whether nothing has to be undone."""
        return self.x == 1.0 and self.y == 1.0


TRUE_PRINTER = Printer()


class Medium(NamedTuple):
    """One kind of paper: a cut sheet's `short` and `long` edge, or a roll's width as `short`, mm."""

    name: str
    kind: MediumKind
    short: float
    long: float | None
    device: Device
    source: str

    @property
    def size(self) -> str:
        """What to call the size.

        >>> medium("a4").size, medium("roll-914").size, medium("letter").size
        ('210 x 297', '914 wide', '215.9 x 279.4')
        """
        if self.long is None:
            return f"{plain(self.short)} wide"
        return f"{plain(self.short)} x {plain(self.long)}"

    @property
    def tiled(self) -> bool:
        """Whether a drawing too large for it is spread over several sheets."""
        return self.kind is MediumKind.CUT


def plain(value: float) -> str:
    """A paper size as people write it: at most three decimals, none that are not needed.

    >>> plain(1067.125), plain(914.0)
    ('1067.125', '914')
    """
    return format_number(value, 3).rstrip("0").rstrip(".")


_ISO = "ISO 216"
_ANSI = "ANSI/ASME Y14.1, inches"
_ARCH = "ARCH series, inches, common practice"
_ROLL = "common practice"


def _cut_sheet(name: str, short: float, long: float, source: str) -> Medium:
    office = short <= LARGEST_OFFICE[0] and long <= LARGEST_OFFICE[1]
    return Medium(
        name, MediumKind.CUT, short, long, device=OFFICE_PRINTER if office else SHEET_PLOTTER, source=source
    )


def _cut_in(name: str, short: float, long: float, source: str) -> Medium:
    return _cut_sheet(name, round(short * INCH, 3), round(long * INCH, 3), source)


def _roll(name: str, width: float, source: str) -> Medium:
    return Medium(name, MediumKind.ROLL, width, None, device=ROLL_PLOTTER, source=source)


MEDIA: tuple[Medium, ...] = (
    _cut_sheet("a4", 210.0, 297.0, _ISO),
    _cut_sheet("a3", 297.0, 420.0, _ISO),
    _cut_sheet("a2", 420.0, 594.0, _ISO),
    _cut_sheet("a1", 594.0, 841.0, _ISO),
    _cut_sheet("a0", 841.0, 1189.0, _ISO),
    _cut_in("letter", 8.5, 11.0, _ANSI),
    _cut_in("ansi-a", 8.5, 11.0, _ANSI),
    _cut_in("ansi-b", 11.0, 17.0, _ANSI),
    _cut_in("ansi-c", 17.0, 22.0, _ANSI),
    _cut_in("ansi-d", 22.0, 34.0, _ANSI),
    _cut_in("ansi-e", 34.0, 44.0, _ANSI),
    _cut_in("arch-a", 9.0, 12.0, _ARCH),
    _cut_in("arch-b", 12.0, 18.0, _ARCH),
    _cut_in("arch-c", 18.0, 24.0, _ARCH),
    _cut_in("arch-d", 24.0, 36.0, _ARCH),
    _cut_in("arch-e", 36.0, 48.0, _ARCH),
    _roll("roll-610", 610.0, f"24 inch, {_ROLL}"),
    _roll("roll-762", 762.0, f"30 inch, {_ROLL}"),
    _roll("roll-841", 841.0, f"A0 wide, {_ROLL}"),
    _roll("roll-914", 914.0, f"36 inch, {_ROLL}"),
    _roll("roll-1067", 1067.0, f"42 inch, {_ROLL}"),
)

_BY_NAME = {m.name: m for m in MEDIA}
_NUMBER = r"(\d{1,6}(?:\.\d{1,3})?)"
_ROLL_OF = re.compile(rf"roll-{_NUMBER}")
_CUT_OF = re.compile(rf"{_NUMBER}[x×]{_NUMBER}")


def medium(name: str) -> Medium:
    """The medium called `name`, in any case: one of the table, `roll-W` or `WxH` (mm).

    Raises SheetError (code media) where there is none, or a side is out of range.

    >>> medium("A4") is medium("a4"), medium("roll-900").short, medium("400X300").size
    (True, 900.0, '300 x 400')
    """
    wanted = name.strip().lower()
    if wanted in _BY_NAME:
        return _BY_NAME[wanted]
    if roll := _ROLL_OF.fullmatch(wanted):
        width = _in_range(name, "a roll's width", float(roll[1]), NARROWEST_ROLL)
        known = f"roll-{plain(width)}"
        return _BY_NAME.get(known) or _roll(known, width, "as asked")
    if cut := _CUT_OF.fullmatch(wanted):
        first, second = (_in_range(name, "a side", float(s), SHORTEST_SIDE) for s in cut.groups())
        return _cut_sheet(
            f"{plain(first)}x{plain(second)}", min(first, second), max(first, second), "as asked"
        )
    close = difflib.get_close_matches(wanted, _BY_NAME, n=1, cutoff=0.5)
    hint = f"Did you mean {close[0]}? " if close else ""
    raise _fault(
        f"there is no medium called {name!r}. {hint}`layout media` lists them. "
        f"roll-W and WxH give any size in mm, such as roll-900 or 300x400."
    )


def _in_range(name: str, what: str, value: float, least: float) -> float:
    if least <= value <= LONGEST_SIDE:
        return value
    raise _fault(
        f"medium {name!r} has {what} of {plain(value)} mm; "
        f"expected {plain(least)} to {plain(LONGEST_SIDE)} mm."
    )


def _fault(message: str) -> SheetError:
    return SheetError(Fault(message, code="media", key="media"))

"""What is asked of a job: media and formats by name, and the printer that its sheets are compensated for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from layout.errors import Fault, SheetError
from layout.pipeline.files import DXF, PDF, PLT, SVG
from layout.sheets.media import TRUE_PRINTER, Medium, Printer, medium
from layout.sheets.sheet import Sheet

FORMATS = (DXF, SVG, PDF, PLT)
DEFAULT_FORMATS = (DXF, SVG, PDF)


class Order(NamedTuple):
    """What to draw: media and formats by name (empty: the default ones), and the printer.

    `printer_media` names the media that the printer's numbers hold for; empty: all of them.
    `default_formats` are those of the job that is asked.
    """

    media: tuple[str, ...] = ()
    formats: tuple[str, ...] = ()
    printer: Printer = TRUE_PRINTER
    printer_media: tuple[str, ...] = ()
    default_formats: tuple[str, ...] = DEFAULT_FORMATS

    @property
    def formats_wanted(self) -> tuple[str, ...]:
        """The formats to write, each once, in lower case."""
        return tuple(dict.fromkeys(f.lower() for f in self.formats)) or self.default_formats

    @property
    def papers(self) -> tuple[Medium, ...]:
        """The media asked for, each once; none where the job takes its default ones."""
        return tuple(dict.fromkeys(medium(name) for name in self.media))

    @property
    def wants_pages(self) -> bool:
        """Whether any paper is asked for, or a format that has pages."""
        return bool(self.media) or any(f in self.formats_wanted for f in (PDF, SVG, PLT))

    def formats_of(self, sheets: Sequence[Sheet]) -> list[str]:
        """The page formats that these sheets are written in.

        A PDF holds all of them; files of one page, where there are several, are written when asked for.
        """
        each = len(sheets) == 1 or bool(self.formats)
        return [f for f in (PDF, SVG, PLT) if f in self.formats_wanted and (each or f == PDF)]

    def printer_for(self, paper: Medium) -> Printer:
        """The printer that a medium is compensated for."""
        held = not self.printer_media or paper in [medium(name) for name in self.printer_media]
        return self.printer if held else TRUE_PRINTER


def check_order(order: Order) -> None:
    """Raise SheetError for a medium or format that does not exist, all of them in one go."""
    faults: list[Fault] = []
    for name in (*order.media, *order.printer_media):
        try:
            medium(name)
        except SheetError as e:
            faults.extend(e.faults)
    for name in order.formats:
        if name.lower() not in FORMATS:
            message = f"there is no format called {name!r}. Choose from {', '.join(FORMATS)}."
            faults.append(Fault(message, "media", "format"))
    if faults:
        raise SheetError(*faults)

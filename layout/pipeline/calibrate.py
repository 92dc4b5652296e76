"""calibrate: the calibration page of a medium, written and read back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from layout.pipeline.documents import Document
from layout.pipeline.files import PDF, PLT, SVG, Output, write_all
from layout.report.written import Written
from layout.sheets.calibration import calibration_sheet
from layout.sheets.media import Medium, MediumKind, medium
from layout.writers.document import DocumentInfo

DEFAULT_MEDIUM = "a4"
DOCUMENT = "calibration page"


def calibrate(media: str | Sequence[str] | None, out: Path) -> Written:
    """Write the calibration page of each medium named (none: A4) into the folder `out`.

    PDF and SVG, and for rolls HP-GL/2, since a plotter may scale what comes each way differently.
    Raises SheetError for a medium that does not exist or is too small, WriteError where a file
    cannot be written or does not read back true.
    """
    names = (media,) if isinstance(media, str) else tuple(media or ()) or (DEFAULT_MEDIUM,)
    papers = list(dict.fromkeys(medium(name) for name in names))
    return Written(write_all((f for paper in papers for f in _files(paper)), out), ())


def _files(paper: Medium) -> Iterator[Output]:
    """One page in its formats."""
    sheet = calibration_sheet(paper)
    info = DocumentInfo(sheet.placements[0].drawing.title, subject=DOCUMENT)
    suffixes = (PDF, SVG, PLT) if paper.kind is MediumKind.ROLL else (PDF, SVG)
    return Document(sheet.name, (sheet,), info).files(*suffixes)

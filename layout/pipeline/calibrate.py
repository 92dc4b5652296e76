"""calibrate: the calibration page of a medium, written and read back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from layout.checks.readback import verify_pdf, verify_plt, verify_svg
from layout.errors import Fault, WriteError
from layout.pipeline.written import FileWritten, Written
from layout.sheets.calibration import calibration_sheet
from layout.sheets.media import Kind, Medium, medium
from layout.sheets.sheet import Sheet
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
    sheets = [(paper, calibration_sheet(paper)) for paper in papers]
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        message = f"the folder cannot be made: {e.strerror}; name another with --out"
        raise WriteError(Fault(message, "output", file=str(out))) from e
    files = [file for paper, sheet in sheets for file in _files(paper, sheet, out)]
    return Written(tuple(files), ())


def _files(paper: Medium, sheet: Sheet, out: Path) -> list[FileWritten]:
    """Write one page in its formats and read each back."""
    from layout.writers import pdf, plt, svg

    info = DocumentInfo(sheet.placements[0].drawing.title, subject=DOCUMENT)
    paths = [out / f"{sheet.name}.pdf", out / f"{sheet.name}.svg"]
    pdf.write([sheet], paths[0], info)
    verify_pdf(paths[0], [sheet])
    svg.write(sheet, paths[1], info)
    verify_svg(paths[1], sheet)
    if paper.kind is Kind.ROLL:
        paths.append(out / f"{sheet.name}.plt")
        plt.write(sheet, paths[2], info)
        verify_plt(paths[2], sheet)
    size = (sheet.width, sheet.height)
    return [FileWritten(str(p), p.suffix[1:], paper.name, None, sheet.kind, size) for p in paths]

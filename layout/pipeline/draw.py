"""draw: one spec becomes its full-size drawing, in every medium and format asked for.

    nothing asked for   DXF, the narrowest roll that holds it (SVG and PDF), A4 tiles (PDF)
    media               those sheets, in the formats asked for or SVG and PDF, and the DXF
    formats             of the media asked for or the default ones

Every file is read back and compared with what was drawn before its name is reported.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from layout.checks.readback import verify_dxf, verify_pdf, verify_svg
from layout.drafting.dimensions import explode
from layout.drafting.entities import Drawing, Text
from layout.drafting.lettering import missing
from layout.drafting.numbers import format_number
from layout.errors import Fault, Notice, SheetError, WriteError
from layout.frame import Frame
from layout.pipeline.written import FileWritten, Written
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import default_roll, lay
from layout.sheets.map_page import CheckRow
from layout.sheets.media import TRUE_PRINTER, Medium, Printer, medium
from layout.sheets.sheet import Sheet
from layout.views.panels import panels
from layout.views.side import SideView, draft
from layout.views.words import words
from layout.writers.document import DocumentInfo

DXF, SVG, PDF = "dxf", "svg", "pdf"
FORMATS = (DXF, SVG, PDF)
TILE_MEDIUM = "a4"
DOCUMENT = "frame layout, side view"

Say = Callable[[str], None]


@dataclass(frozen=True)
class Order:
    """What to draw: media and formats by name (empty: the default ones), and the printer."""

    media: tuple[str, ...] = ()
    formats: tuple[str, ...] = ()
    printer: Printer = TRUE_PRINTER


@dataclass(frozen=True)
class _Job:
    """One file to write: `sheets` are its pages, none for the DXF."""

    path: Path
    format: str
    medium: Medium | None
    sheets: tuple[Sheet, ...]


def check_order(order: Order) -> None:
    """Raise SheetError for a medium or format that does not exist, all of them in one go."""
    faults: list[Fault] = []
    for name in order.media:
        try:
            medium(name)
        except SheetError as e:
            faults.extend(e.faults)
    for name in order.formats:
        if name.lower() not in FORMATS:
            message = f"there is no format called {name!r}: it is one of {', '.join(FORMATS)}"
            faults.append(Fault(message, "media", "format"))
    if faults:
        raise SheetError(*faults)


def draw(frame: Frame, stem: str, out: Path, order: Order, say: Say = lambda _: None) -> Written:
    """Draw a solved frame into the folder `out`, files named after `stem`.

    `say` hears a line as each stage begins. Raises SheetError where a medium cannot hold the
    drawing, WriteError where a file cannot be written or does not read back true.
    """
    check_order(order)
    say("drafting")
    view = draft(frame)
    arrangement = SheetArrangement(view.view, panels(frame, view.checks), frame.wheels_shown)
    say("laying sheets")
    jobs = list(_jobs(arrangement, stem, out, order, _check_rows(view)))
    whole = replace(arrangement, wheels=None).composed(None, None).drawing
    info = DocumentInfo(frame.job.title or stem, frame.job.drawn_by, frame.job.date, DOCUMENT)
    _make_folder(out)
    files = []
    for job in jobs:
        say(f"writing {job.path.name}")
        _write(job, whole, info)
        files.append(_reported(job))
    notices = (*frame.warnings, *_notices(view, whole, jobs))
    return Written(tuple(files), tuple(dict.fromkeys(notices)))


def _jobs(
    arrangement: SheetArrangement, stem: str, out: Path, order: Order, checks: Sequence[CheckRow]
) -> Iterator[_Job]:
    """Every file of an order: its sheets laid, nothing written yet."""
    formats = tuple(dict.fromkeys(f.lower() for f in order.formats)) or FORMATS
    if DXF in formats:
        yield _Job(out / f"{stem}.dxf", DXF, None, ())
    for paper in _media(arrangement, order):
        sheets = tuple(_laid(arrangement, paper, order, checks))
        tiled = sheets[0].kind == "tiles"
        name = f"{stem}-{paper.name}"
        if PDF in formats:
            yield _Job(out / f"{name}{'-tiles' if tiled else ''}.pdf", PDF, paper, sheets)
        if SVG in formats and (not tiled or order.formats):
            for sheet in sheets:
                suffix = f"-{sheet.name.lower()}" if tiled else ""
                yield _Job(out / f"{name}{suffix}.svg", SVG, paper, (sheet,))


def _media(arrangement: SheetArrangement, order: Order) -> list[Medium]:
    if order.media:
        return list(dict.fromkeys(medium(name) for name in order.media))
    try:
        roll = default_roll(arrangement, order.printer)
    except SheetError:
        roll = default_roll(arrangement.yielding(), order.printer)
    return [roll, medium(TILE_MEDIUM)]


def _laid(
    arrangement: SheetArrangement, paper: Medium, order: Order, checks: Sequence[CheckRow]
) -> list[Sheet]:
    """The sheets of one medium; wheels wished whole are cut where the medium has no room for them."""
    try:
        return lay(arrangement, paper, order.printer, checks)
    except SheetError:
        return lay(arrangement.yielding(), paper, order.printer, checks)


def _write(job: _Job, whole: Drawing, info: DocumentInfo) -> None:
    """Write one file with its writer, imported only here, and read it back."""
    match job.format:
        case "dxf":
            from layout.writers import dxf

            dxf.write(whole, job.path, info)
            verify_dxf(job.path, whole)
        case "svg":
            from layout.writers import svg

            svg.write(job.sheets[0], job.path, info)
            verify_svg(job.path, job.sheets[0])
        case _:
            from layout.writers import pdf

            pdf.write(job.sheets, job.path, info)
            verify_pdf(job.path, job.sheets)


def _make_folder(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        message = f"the folder cannot be made: {e.strerror}; name another with --out"
        raise WriteError(Fault(message, "output", file=str(out))) from e


def _reported(job: _Job) -> FileWritten:
    if not job.sheets:
        return FileWritten(str(job.path), job.format, None, None, "drawing")
    first = job.sheets[0]
    name = job.medium.name if job.medium is not None else None
    one_of_many = job.format == SVG and first.kind == "tiles"
    return FileWritten(
        str(job.path),
        job.format,
        name,
        first.name if one_of_many else None,
        first.kind,
        (first.width, first.height),
        len(job.sheets),
    )


def _check_rows(view: SideView) -> list[CheckRow]:
    return [
        (f"{c.letter}  {words(c.start)} to {words(c.end)}", format_number(c.value, 1))
        for c in view.checks
    ]


def _notices(view: SideView, whole: Drawing, jobs: Sequence[_Job]) -> Iterator[Notice]:
    """What the builder should know of the drawing: points without room, letters missing, crowding."""
    everything = set(whole.points())
    for job in jobs:
        if not job.sheets or job.format == DXF:
            continue
        held = {n for s in job.sheets for p in s.placements for n in p.drawing.points()}
        absent = sorted(everything - held)
        if absent and job.medium is not None:
            names = ", ".join(words(n) for n in absent)
            yield Notice(
                "points_left_out",
                f"{job.medium.name}: wheels and ground are cut to the sheet; not on it: {names}",
            )
    letters = {c for e in whole for part in explode(e) if isinstance(part, Text) for c in missing(part.text)}
    if letters:
        shown = " ".join(sorted(letters))
        yield Notice("lettering", f"the lettering lacks these characters, drawn as empty boxes: {shown}")
    if view.crowded:
        names = ", ".join(words(n) for n in view.crowded)
        yield Notice("crowded", f"no clear place was found on the sheet for: {names}; look for overlap there")

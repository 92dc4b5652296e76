"""draw: one spec becomes its full-size drawing, in every medium and format asked for.

    nothing asked for   DXF, the narrowest roll that holds it (SVG and PDF), A4 tiles (PDF)
    media               those sheets, in the formats asked for or SVG and PDF, and the DXF
    formats             of the media asked for or the default ones

With the sheets of each medium goes a form for tape readings. The DXF has a layout for each roll
and cut sheet, never compensated. Every file is read back and compared with what was drawn before
its name is reported.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from functools import cached_property, partial
from pathlib import Path

from layout.drafting.entities import Drawing
from layout.drafting.numbers import format_number
from layout.errors import Fault, Notice, SheetError
from layout.frame.solve import Frame, solve
from layout.frame.words import words
from layout.pipeline.files import Data, Model, Output, Pages, reported, write
from layout.pipeline.forms import tape_form, write_form
from layout.pipeline.second_process import Aside, aside
from layout.pipeline.staged import staged
from layout.report.written import Written, lettering_notices
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import default_roll, lay, lay_cut, points_left_out
from layout.sheets.media import TRUE_PRINTER, Kind, Medium, Printer, medium
from layout.sheets.roll import holding_rolls, wide_enough
from layout.sheets.sheet import Sheet
from layout.sheets.tiles.lay import KIND as TILES
from layout.sheets.tiles.map_page import CheckRow
from layout.spec.load import FrameSpec
from layout.views.panels import panels
from layout.views.side.view import SideView, draft
from layout.writers.document import DocumentInfo

DXF, SVG, PDF, PLT = "dxf", "svg", "pdf", "plt"
FORMATS = (DXF, SVG, PDF, PLT)
DEFAULT_FORMATS = (DXF, SVG, PDF)
TILE_MEDIUM = "a4"
WIDEST_ROLL = "roll-1067"
GROUND = {"rear_contact", "front_contact"}
DOCUMENT = "frame layout, side view"

Say = Callable[[str], None]


@dataclass(frozen=True)
class Order:
    """What to draw: media and formats by name (empty: the default ones), and the printer.

    `printer_media` names the media that the printer's numbers hold for; empty: all of them.
    """

    media: tuple[str, ...] = ()
    formats: tuple[str, ...] = ()
    printer: Printer = TRUE_PRINTER
    printer_media: tuple[str, ...] = ()

    @property
    def formats_wanted(self) -> tuple[str, ...]:
        """The formats to write, each once, in lower case."""
        return tuple(dict.fromkeys(f.lower() for f in self.formats)) or DEFAULT_FORMATS

    def printer_for(self, paper: Medium) -> Printer:
        """The printer that a medium is compensated for."""
        held = not self.printer_media or paper in [medium(name) for name in self.printer_media]
        return self.printer if held else TRUE_PRINTER


@dataclass(frozen=True)
class _Job:
    """One file to write, and the paper it is for."""

    output: Output
    paper: Medium | None = None

    @property
    def is_form(self) -> bool:
        """Whether it is a form for tape readings, which never overwrites one that was filled in."""
        return isinstance(self.output, Data)

    @property
    def beside(self) -> bool:
        """Whether another process writes it: all that does not need tiles laid."""
        return not self.is_form and self.output.kind != TILES


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
            message = f"there is no format called {name!r}: it is one of {', '.join(FORMATS)}"
            faults.append(Fault(message, "media", "format"))
    if faults:
        raise SheetError(*faults)


def draw_spec(spec: FrameSpec, out: Path, order: Order, say: Say = lambda _: None) -> Written:
    """Solve a spec and draw it, files named after its own. Raises as `solve` and `draw` do."""
    frame = solve(spec)
    written = draw(frame, spec.file, out, order, say)
    warnings = (*written.warnings, *frame.placed.notices("tubes", "rear_end"))
    return replace(written, warnings=tuple(dict.fromkeys(warnings)))


def draw(
    frame: Frame, source: str, out: Path, order: Order, say: Say = lambda _: None
) -> Written:
    """Draw a solved frame into the folder `out`.

    `source` is the spec's path: files are named after it. `say` hears a line as each stage begins.
    Raises SheetError where a medium cannot hold the drawing, WriteError where a file cannot be
    written or does not read back true.
    """
    check_order(order)
    frame = frame.titled(Path(source).stem)
    helper = aside(_prepare) if DXF in order.formats_wanted else nullcontext(Aside())
    with staged(out) as stage, helper as other:
        say("drafting")
        view = draft(frame)
        wish = SheetArrangement(view.view, panels(frame, view.checks), frame.wheels_shown)
        arrangement = _settled(wish)
        whole = replace(arrangement, wheels=None).composed(None, None).drawing
        info = DocumentInfo(frame.job.title, frame.job.drawn_by, frame.job.date, DOCUMENT)
        say("laying sheets")
        desk = _Desk(arrangement, view, whole, info, source, order)
        jobs = [*desk.dxf_jobs(), *desk.sheet_jobs(tiled=False)]
        elsewhere = [job.output for job in jobs if job.beside]
        for output in elsewhere:
            say(f"writing {output.name} beside")
        other.begin(partial(_write_all, elsewhere, stage))
        say("laying tiles")
        jobs += desk.sheet_jobs(tiled=True)
        for job in jobs:
            if not job.beside and not job.is_form:
                say(f"writing {job.output.name}")
                write(job.output, stage)
        other.finish()
    forms = [job.output for job in jobs if isinstance(job.output, Data)]
    kept = [notice for form in forms for notice in write_form(out / form.name, form.text)]
    notices = (
        *frame.plane.warnings, *_notices(view, wish, whole, jobs), *_printer_notices(order, jobs), *kept
    )  # fmt: skip
    return Written(tuple(reported(job.output, out) for job in jobs), tuple(dict.fromkeys(notices)))


def _prepare() -> None:
    """Import what writing will need."""
    from layout.writers import svg
    from layout.writers.dxf import writer as dxf
    from layout.writers.pdf import writer as pdf

    dxf.prepare()
    svg.prepare()
    pdf.prepare()


def _settled(arrangement: SheetArrangement) -> SheetArrangement:
    """Wheels wished whole give way where no roll of the table holds them."""
    return arrangement if holding_rolls(arrangement) else arrangement.yielding()


@dataclass(frozen=True)
class _Desk:
    """Lays the sheets of one order and says which files they make; nothing is written here."""

    arrangement: SheetArrangement
    view: SideView
    whole: Drawing
    info: DocumentInfo
    source: str
    order: Order

    @property
    def stem(self) -> str:
        """What all names of files begin with."""
        return Path(self.source).stem

    @cached_property
    def media(self) -> list[Medium]:
        """The papers asked for, or the default ones."""
        if self.order.media:
            return list(dict.fromkeys(medium(name) for name in self.order.media))
        return [default_roll(self.arrangement, self.order.printer), medium(TILE_MEDIUM)]

    def dxf_jobs(self) -> Iterator[_Job]:
        """The DXF, with a layout for each roll and cut sheet, without compensation."""
        if DXF in self.order.formats_wanted:
            papers = [paper for paper in self.media if self._on_one(paper, TRUE_PRINTER)]
            layouts = tuple(self._laid(paper, TRUE_PRINTER)[0] for paper in papers)
            yield _Job(Model(f"{self.stem}.dxf", "drawing", self.whole, self.info, layouts))

    def sheet_jobs(self, tiled: bool) -> Iterator[_Job]:
        """The files of the media that are tiled, or of those that hold the drawing on one page."""
        on_paper = [f for f in (PDF, SVG, PLT) if f in self.order.formats_wanted]
        for paper in self.media if on_paper else ():
            printer = self.order.printer_for(paper)
            if self._on_one(paper, printer) is not tiled:
                sheets = self._laid(paper, printer)
                yield from self._files(paper, sheets, on_paper)

    def _files(self, paper: Medium, sheets: tuple[Sheet, ...], formats: Sequence[str]) -> Iterator[_Job]:
        """One medium's files in the formats wanted, and its form for tape readings."""
        tiled = sheets[0].kind == TILES
        name = f"{self.stem}-{paper.name}"
        for form in formats:
            if form == PDF:
                file = f"{name}{'-tiles' if tiled else ''}.pdf"
                yield _Job(Pages(file, sheets[0].kind, sheets, self.info, paper.name), paper)
            elif not tiled or self.order.formats:
                for sheet in sheets:
                    file = f"{name}-{sheet.name.lower()}.{form}" if tiled else f"{name}.{form}"
                    page = sheet.name if tiled else None
                    yield _Job(Pages(file, sheet.kind, (sheet,), self.info, paper.name, page), paper)
        form_name = f"{name}-readings.yaml"
        files = (Path(self.source).name, form_name)
        printer = self.order.printer_for(paper)
        text = tape_form(self.info.title, files, self.view.checks, sheets[-1], printer)
        yield _Job(Data(form_name, "readings", text, paper.name), paper)

    def _on_one(self, paper: Medium, printer: Printer) -> bool:
        return paper.kind is Kind.ROLL or lay_cut(self.arrangement, paper, printer) is not None

    def _laid(self, paper: Medium, printer: Printer) -> tuple[Sheet, ...]:
        """The sheets of one medium; wheels wished whole are cut where it has no room for them."""
        checks = _check_rows(self.view)
        try:
            return tuple(lay(self.arrangement, paper, printer, checks))
        except SheetError:
            if self.arrangement.wheels != "whole":
                raise
            return tuple(lay(self.arrangement.yielding(), paper, printer, checks))


def _write_all(outputs: Sequence[Output], stage: Path) -> None:
    for output in outputs:
        write(output, stage)


def _printer_notices(order: Order, jobs: Sequence[_Job]) -> Iterator[Notice]:
    """A word where a printer's numbers are no printer's, or were used for machines of two kinds."""
    if not order.printer.likely:
        yield Notice(
            "printer_far",
            f"printer {{x: {order.printer.x:g}, y: {order.printer.y:g}}}: no printer is more than 2 % off by "
            "itself; print at 100 %, not fit to page, and measure again before this is used",
        )
    media = {job.paper for job in jobs if job.paper and not order.printer_for(job.paper).true}
    if len({m.device for m in media}) > 1:
        names = " and ".join(sorted(m.name for m in media))
        yield Notice(
            "printer_shared",
            f"the same printer numbers are used on {names}, which different machines print: "
            "check each with a tape, or draw one medium at a time",
        )


def _check_rows(view: SideView) -> list[CheckRow]:
    return [
        (f"{c.letter}  {words(c.start)} to {words(c.end)}", format_number(c.value, 1)) for c in view.checks
    ]


def _notices(
    view: SideView, wish: SheetArrangement, whole: Drawing, jobs: Sequence[_Job]
) -> Iterator[Notice]:
    """What the builder should know of the drawing: points without room, letters missing, crowding."""
    everything = set(whole.points())
    by_medium: dict[str, list[Sheet]] = {}
    for job in jobs:
        if job.paper is not None and isinstance(job.output, Pages):
            by_medium.setdefault(job.paper.name, []).extend(job.output.sheets)
    for name, sheets in by_medium.items():
        drawn = {n for s in sheets for p in s.placements for n in p.drawing.points()}
        absent = sorted(everything - (drawn - set(points_left_out(sheets))))
        if absent:
            names = ", ".join(words(n) for n in absent)
            yield Notice("points_left_out", f"{name}: the sheet ends close to the frame; not on it: {names}")
        if wish.wheels == "whole" and GROUND & set(absent):
            wider = wide_enough(wish, medium(WIDEST_ROLL))
            advice = f"; {wider} holds them" if wider else ""
            yield Notice("wheels_cut", f"{name}: the wheels are wanted whole, but are cut{advice}")
    yield from lettering_notices([whole])
    if view.crowded:
        names = ", ".join(words(n) for n in view.crowded)
        yield Notice("crowded", f"no clear place was found on the sheet for: {names}; look for overlap there")

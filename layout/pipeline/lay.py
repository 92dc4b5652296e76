"""lay: a draft becomes the files of one order: sheets of each medium, the DXF, forms for tape readings.

What a file will hold is settled here; nothing is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from layout.errors import Notice, SheetError
from layout.frame.words import words
from layout.pipeline.documents import Document
from layout.pipeline.draft import Draft
from layout.pipeline.files import DXF, PDF, PLT, SVG, DataFile, ModelFile, Output, PagesFile, layouts_file
from layout.pipeline.forms import tape_form
from layout.pipeline.order import Order
from layout.report.written import crowded_notices, lettering_notices
from layout.sheets.lay import default_roll, lay_cut, points_left_out
from layout.sheets.lay import lay as lay_sheets
from layout.sheets.media import TRUE_PRINTER, Medium, MediumKind, Printer, medium
from layout.sheets.roll import holding_rolls
from layout.sheets.sheet import TILES, Sheet
from layout.views.checks import check_rows

TILE_MEDIUM = "a4"
WIDER = "Use {roll}, which holds them."
NONE_WIDER = "No roll of the table holds them: write drawing: {wheels: arcs}."
GROUND = {"rear_contact", "front_contact"}


class LaidFile(NamedTuple):
    """One file to write, and the paper it is for."""

    output: Output
    paper: Medium | None = None

    @property
    def is_form(self) -> bool:
        """Whether it is a form for tape readings, which never overwrites one that was filled in."""
        return isinstance(self.output, DataFile)

    @property
    def tiled(self) -> bool:
        """Whether it holds tiles."""
        return self.output.kind == TILES


def lay(draft: Draft, order: Order) -> tuple[LaidFile, ...]:
    """Every file of the order. Raises SheetError where a medium cannot hold the drawing."""
    laying = Laying(draft, order)
    return (*laying.whole(), *laying.tiled())


@dataclass(frozen=True)
class Laying:
    """Lays one draft for one order, in two steps: what needs no tiles can be written meanwhile."""

    draft: Draft
    order: Order

    def whole(self) -> tuple[LaidFile, ...]:
        """The DXF, and the media that hold the drawing on one page, with their forms. Raises as `lay`."""
        return (*self._model(), *self._media_files(tiled=False))

    def tiled(self) -> tuple[LaidFile, ...]:
        """The media that take several pages, with their forms. Raises as `lay`."""
        return tuple(self._media_files(tiled=True))

    def document(self, paper: Medium) -> Document:
        """The sheets of one medium. Raises as `lay`."""
        sheets = self._laid(paper, self.order.printer_for(paper))
        return Document(f"{self.draft.stem}-{paper.name}", sheets, self.draft.info)

    @cached_property
    def media(self) -> tuple[Medium, ...]:
        """The papers asked for, or the default ones."""
        if self.order.media:
            return self.order.papers
        return default_roll(self.draft.arrangement, self.order.printer), medium(TILE_MEDIUM)

    def _model(self) -> Iterator[LaidFile]:
        """The DXF; beside it, without compensation, one with a layout for each roll and cut sheet."""
        if DXF in self.order.formats_wanted:
            draft = self.draft
            yield LaidFile(ModelFile(f"{draft.stem}.dxf", "drawing", draft.whole, draft.info))
            papers = [paper for paper in self.media if self._on_one(paper, TRUE_PRINTER)]
            if papers:
                sheets = tuple(self._laid(paper, TRUE_PRINTER)[0] for paper in papers)
                yield LaidFile(layouts_file(draft.stem, sheets, draft.whole, draft.info))

    def _media_files(self, tiled: bool) -> Iterator[LaidFile]:
        """The files of the media that are tiled, or of those that hold the drawing on one page."""
        on_paper = {PDF, SVG, PLT} & set(self.order.formats_wanted)
        for paper in self.media if on_paper else ():
            printer = self.order.printer_for(paper)
            if self._on_one(paper, printer) is not tiled:
                yield from self._files(paper, self.document(paper))

    def _files(self, paper: Medium, document: Document) -> Iterator[LaidFile]:
        """One medium's files in the formats wanted, and its form for tape readings."""
        name, sheets = document.name, document.sheets
        for form in self.order.formats_of(sheets):
            for pages in (document.marked if form == PDF else document).files(form):
                yield LaidFile(pages, paper)
        form_name = f"{name}-readings.yaml"
        files = (self.draft.frame.spec.typed_name, form_name)
        printer = self.order.printer_for(paper)
        text = tape_form(self.draft.info, files, self.draft.view.checks, sheets[-1], printer=printer)
        yield LaidFile(DataFile(form_name, "readings", text, paper.name), paper)

    def _on_one(self, paper: Medium, printer: Printer) -> bool:
        return paper.kind is MediumKind.ROLL or lay_cut(self.draft.arrangement, paper, printer) is not None

    def _laid(self, paper: Medium, printer: Printer) -> tuple[Sheet, ...]:
        """The sheets of one medium; wheels wished whole are cut where it has no room for them."""
        arrangement, checks = self.draft.arrangement, check_rows(self.draft.view.checks)
        try:
            return tuple(lay_sheets(arrangement, paper, printer, checks))
        except SheetError:
            if arrangement.wheels != "whole":
                raise
            return tuple(lay_sheets(arrangement.yielding(), paper, printer, checks))


def notices(draft: Draft, order: Order, files: Sequence[LaidFile]) -> Iterator[Notice]:
    """What the builder should know of the drawing and of the papers it is laid on."""
    yield from draft.frame.plane.warnings
    yield from _paper_notices(draft, files)
    yield from lettering_notices([draft.whole])
    yield from crowded_notices("sheet", draft.view.crowded)
    yield from _printer_notices(order, files)


def _paper_notices(draft: Draft, files: Sequence[LaidFile]) -> Iterator[Notice]:
    """Points without room on a medium, and wheels that are wished whole but cut."""
    everything = set(draft.whole.points())
    by_medium: dict[str, list[Sheet]] = {}
    for file in files:
        if file.paper is not None and isinstance(file.output, PagesFile):
            by_medium.setdefault(file.paper.name, []).extend(file.output.sheets)
    for name, sheets in by_medium.items():
        drawn = {n for s in sheets for p in s.placements for n in p.drawing.points()}
        absent = sorted(everything - (drawn - set(points_left_out(sheets))))
        wheels = draft.frame.wheels_shown != "none"
        absent = [point for point in absent if wheels or point not in GROUND]
        if absent:
            names = ", ".join(words(n) for n in absent)
            cut = "wheels are cut short; " if GROUND & set(absent) else ""
            yield Notice("points_left_out", f"{name}: {cut}off the sheet: {names}.")
        if draft.wish.wheels == "whole" and GROUND & set(absent):
            rolls = [roll.name for roll in holding_rolls(draft.wish)]
            advice = WIDER.format(roll=rolls[0]) if rolls else NONE_WIDER
            yield Notice("wheels_cut", f"{name}: whole wheels do not fit, so they are cut. {advice}")


def _printer_notices(order: Order, files: Sequence[LaidFile]) -> Iterator[Notice]:
    """A word where a printer's numbers are no printer's, or were used for machines of two kinds."""
    if not order.printer.likely:
        yield Notice(
            "printer_far",
            f"printer {{x: {order.printer.x:g}, y: {order.printer.y:g}}}: a printer alone is never more than "
            "2 % off. Print at 100 %, not fit to page, and measure again before you use these numbers.",
        )
    media = {f.paper for f in files if f.paper and not order.printer_for(f.paper).true}
    if len({m.device for m in media}) > 1:
        names = " and ".join(sorted(m.name for m in media))
        yield Notice(
            "printer_shared",
            f"the same printer numbers are used on {names}, which different machines print. "
            "Check each with a tape, or draw one medium at a time.",
        )

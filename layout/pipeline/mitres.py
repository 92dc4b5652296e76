"""mitres: one spec becomes its wrap templates, its cutting table and the views of the rear end.

    nothing asked for   templates and cutting table on A4 (PDF), the rear end on the narrowest roll that
                        holds it (SVG, PDF) and on A4 tiles (PDF); templates and rear end as DXF, table as CSV
    media               templates, table and rear end on each of those
    formats             only those; SVG and HP-GL/2 of several pages are one file a page

Every file with control points is read back and compared with what was drawn before its name is reported.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from layout.bench.cutting import HEADINGS, rows
from layout.bench.dropouts import dropout_notices
from layout.bench.joining import joint_notices
from layout.bench.marks import VENT, Mark, marks
from layout.bench.room import what_would_do
from layout.drafting.cautions import cautions_panel
from layout.drafting.entities import Drawing, Entity
from layout.drafting.panel import Panel
from layout.drafting.spreadsheet import csv_text, noted
from layout.drafting.wrapping import ELLIPSIS
from layout.errors import Notice
from layout.frame.solve import Frame, solve
from layout.geometry.space.lengths import TubeLengths
from layout.geometry.space.mitre import Cut
from layout.pipeline.documents import Document, job_info, table_note
from layout.pipeline.files import CSV, DXF, PDF, SVG, DataFile, ModelFile, Output, PagesFile, file_report
from layout.pipeline.order import Order, check_order
from layout.pipeline.stale import stale_notices
from layout.pipeline.writing import writing
from layout.report.mitres import notices
from layout.report.written import FileWritten, crowded_notices, lettering_notices
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import default_roll, lay
from layout.sheets.media import Medium, Printer, medium
from layout.sheets.nest import Arrange, flow, lay_nested, nest
from layout.sheets.sheet import Sheet
from layout.spec.load import FrameSpec
from layout.views.checks import check_rows
from layout.views.cutting import cutting_panels
from layout.views.rear.checks import with_point_words
from layout.views.rear.sheet import RearSheet, draft_rear
from layout.views.templates.strips import Strip, strips
from layout.views.templates.words import GUIDE_WIDTH, SMALL_NOTE, guide
from layout.writers.document import DocumentInfo

DEFAULT_FORMATS = (DXF, SVG, PDF, CSV)
PAGE_MEDIUM = "a4"
TEMPLATE, TABLE, DRAWING = "template", "table", "drawing"
TEMPLATES, CUTTING, REAR_END = "mitre templates", "cutting table", "rear end"
"""What each document is about, on its pages and in its properties."""
LONGEST_NAME = 120
"""Characters of a job's number and title on strips and at the foot of pages."""
DXF_WIDTH, DXF_HEIGHT = 1200.0, 100000.0
"""The DXF's strips lie in rows this wide, as many rows as it takes."""


class Mitres(NamedTuple):
    """What `mitres` wrote and found: files, warnings, every cut, and every tube's lengths by name."""

    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]
    cuts: tuple[Cut, ...]
    tubes: Mapping[str, TubeLengths]
    marks: tuple[Mark, ...] = ()

    @property
    def data(self) -> dict[str, Any]:
        """What `mitres --json` has beside files and warnings."""
        return {"cuts": self._cuts(), "tubes": self._tubes(), "marks": [_mark_json(m) for m in self.marks]}

    @property
    def words(self) -> str:
        """Nothing: the table is on paper."""
        return ""

    def _cuts(self) -> list[dict[str, Any]]:
        """The cuts as plain data: s is null where a generator misses."""
        return [
            {
                "tube": c.tube,
                "end": c.end_name,
                "against": list(c.against),
                "angle": c.angle,
                "offset": c.offset,
                "curve": [
                    [float(p), None if np.isnan(s) else float(s)] for p, s in zip(c.phi, c.s, strict=True)
                ],
                "mill": self._mills(c),
            }
            for c in self.cuts
        ]

    def _mills(self, cut: Cut) -> list[dict[str, float] | None]:
        """The hole saw for each tube that an end is cut on; null where there is the template only."""
        end = self.tubes[cut.tube].ends[cut.end.which]
        return [
            None
            if m.cutter is None
            else {
                "angle": m.cutter.angle,
                "cutter": m.cutter.diameter,
                "misfit": m.cutter.misfit,
                "at": m.cutter.place - cut.least.s,
            }
            for m in (() if end is None else end.mills)
        ]

    def _tubes(self) -> dict[str, dict[str, Any]]:
        """The tubes as plain data: lengths in mm, rotation in degrees, what is not known null."""
        return {
            name: {
                "centre_length": t.centre_length,
                "cut_length": t.cut_length,
                "length_needed": t.length_needed,
                "rotation": t.rotation,
                "butts_left": None if t.butts is None else list(t.butts),
            }
            for name, t in self.tubes.items()
        }


def _mark_json(mark: Mark) -> dict[str, Any]:
    """A mark as plain data; `into` for vents alone, null where they open into the air."""
    row = {
        "feature": mark.feature,
        "kind": mark.kind,
        "tube": mark.tube.name,
        "end": mark.tube.ends[mark.end],
        "datum": mark.datum,
        "datum_phi": mark.datum_phi,
        "phi": mark.phi,
        "distance": mark.distance,
        "s": mark.s,
    }
    return {**row, "into": mark.into, "diameter": mark.diameter} if mark.kind == VENT else row


def mitres(spec: FrameSpec, out: Path, media: Sequence[str] = (), formats: Sequence[str] = ()) -> Mitres:
    """Write templates, cutting table and rear views of a spec into the folder `out`.

    Raises SolveError where the frame cannot be solved or a stay's bends do not fit, SheetError for
    a medium or format that does not exist or is too small, WriteError where a file cannot be written
    or does not read back true.
    """
    order = _checked_order(spec, media, formats)
    frame = solve(spec)
    stem = Path(spec.file).stem if spec.file and not spec.file.startswith("<") else "frame"
    papers = MitrePapers(frame, stem, order)
    outputs: list[Output] = []
    with writing(out, *order.formats_wanted) as files:
        for some in papers.outputs():
            files.beside(*some)
            outputs += some
        space, lengths = frame.space, frame.lengths
        said = [
            *frame.plane.warnings, *frame.placed.notices(),
            *notices(space, papers.strips, lengths, frame.clearances, advice=partial(what_would_do, frame)),
            *dropout_notices(frame), *joint_notices(frame),
            *crowded_notices("rear view", papers.rear.crowded), *lettering_notices(_drawings(outputs)),
            *stale_notices(out, stem, frame.mark, [o.name for o in outputs]),
        ]  # fmt: skip
    written = tuple(file_report(o, out) for o in outputs)
    return Mitres(written, tuple(dict.fromkeys(said)), space.cuts, lengths, marks=marks(frame))


def _checked_order(spec: FrameSpec, media: Sequence[str], formats: Sequence[str]) -> Order:
    """The order; raises SheetError for all media and formats that do not exist, in one go."""
    printer = Printer(spec.spec.printer.x, spec.spec.printer.y, spec.spec.printer.margins)
    order = Order(tuple(media), tuple(formats), printer, default_formats=DEFAULT_FORMATS)
    check_order(order._replace(formats=tuple(f for f in order.formats if f.lower() != CSV)))
    return order


def _job(frame: Frame, stem: str) -> str:
    """What the strips call the spec."""
    said = " ".join(part for part in (frame.job.number, frame.job.title) if part) or stem
    return said if len(said) <= LONGEST_NAME else f"{said[:LONGEST_NAME].rstrip()}{ELLIPSIS}"


@dataclass(frozen=True)
class MitrePapers:
    """Lays the sheets of one order and says which files they make, named after `stem`; nothing is written.

    Strips and rear views are drafted when first asked for.
    """

    frame: Frame
    stem: str
    order: Order

    def outputs(self) -> Iterator[tuple[Output, ...]]:
        """Every file of the order, by what they show."""
        yield from self._unpaged()
        if not self.order.wants_pages:
            return
        for paper in self.page_media:
            yield tuple(self._files(self.templates(paper)))
            yield tuple(self._files(self.cutting(paper)))
        for paper in self.rear_media:
            yield tuple(self._files(self.rear_sheets(paper)))

    @property
    def page_media(self) -> tuple[Medium, ...]:
        """The papers of templates and cutting table: those asked for, or A4."""
        return self.order.papers or (medium(PAGE_MEDIUM),)

    @property
    def rear_media(self) -> tuple[Medium, ...]:
        """The papers of the rear views: those asked for, or the roll that holds them and A4."""
        if self.order.papers:
            return self.order.papers
        return default_roll(self.arrangement, self.order.printer), medium(PAGE_MEDIUM)

    def templates(self, paper: Medium) -> Document:
        """The wrap templates on as many pages of one medium as they take."""
        panels = [guide(self.job), cautions_panel(GUIDE_WIDTH, SMALL_NOTE), *(s.panel for s in self.strips)]
        return self._nested("templates", panels, paper, TEMPLATE, foot=TEMPLATES, arrange=nest)

    def cutting(self, paper: Medium) -> Document:
        """The cutting table on as many pages of one medium as it takes."""
        panels = cutting_panels(self.job, self.frame, self.frame.placed.assumed)
        return self._nested("cutting", panels, paper, TABLE, foot=CUTTING, arrange=flow)

    def rear_sheets(self, paper: Medium) -> Document:
        """The rear views on one medium."""
        checks = check_rows(map(with_point_words, self.rear.checks))
        sheets = lay(self.arrangement, paper, self.order.printer, checks)
        return self._document(f"rear-{paper.name}", sheets, REAR_END).marked

    @cached_property
    def strips(self) -> Sequence[Strip]:
        """A template of each mitred end."""
        return strips(self.frame.space, self.job)

    @cached_property
    def rear(self) -> RearSheet:
        """The rear views, drafted."""
        return draft_rear(self.frame)

    @cached_property
    def job(self) -> str:
        """What every page calls the spec."""
        return _job(self.frame, self.stem)

    @property
    def info(self) -> DocumentInfo:
        """What the rear end's files say about themselves."""
        return self._about(REAR_END)

    def _about(self, subject: str) -> DocumentInfo:
        """What a file of this subject says about itself."""
        return job_info(self.frame, self.stem, subject)

    @cached_property
    def arrangement(self) -> SheetArrangement:
        """The rear end and the panels about it."""
        return SheetArrangement(self.rear.view, self.rear.panels, mark=self.info.mark)

    def _unpaged(self) -> Iterator[tuple[Output, ...]]:
        """DXF and spreadsheet, which know no paper."""
        if DXF in self.order.formats_wanted:
            rows_of_all, said = _in_rows(self.strips), self._about(TEMPLATES)
            yield (ModelFile(f"{self.stem}-templates.dxf", TEMPLATE, rows_of_all, said),)
            whole = self.arrangement.composed(None, None).drawing
            yield (ModelFile(f"{self.stem}-rear.dxf", DRAWING, whole, self.info),)
        if CSV in self.order.formats_wanted:
            text = csv_text(noted([HEADINGS, *rows(self.frame.lengths)], table_note(self.info.mark)))
            yield (DataFile(f"{self.stem}-cutting.csv", TABLE, text),)

    def _nested(
        self, name: str, panels: Sequence[Panel], paper: Medium, kind: str, *, foot: str, arrange: Arrange
    ) -> Document:
        """Panels as pages of their own; `foot` is what each says at its foot."""
        said = _foot(foot, self.job)
        sheets = lay_nested(
            panels, paper, kind, said, printer=self.order.printer, arrange=arrange, mark=self.info.mark
        )
        return self._document(f"{name}-{paper.name}", sheets, foot)

    def _document(self, name: str, sheets: Sequence[Sheet], subject: str) -> Document:
        return Document(f"{self.stem}-{name}", tuple(sheets), self._about(subject))

    def _files(self, document: Document) -> Iterator[Output]:
        return document.files(*self.order.formats_of(document.sheets))


def _foot(say: str, job: str) -> Callable[[int, int], str]:
    """What a page says at its foot, by its number and how many there are."""
    return lambda page, count: f"{say} {page}/{count}: {job}"


def _in_rows(found: Sequence[Strip]) -> Drawing:
    """All strips side by side in model space, and the cautions among them; no paper about them."""
    panels = [*(s.panel for s in found), cautions_panel(GUIDE_WIDTH, SMALL_NOTE)]
    (page,) = nest(panels, DXF_WIDTH, DXF_HEIGHT)
    entities: list[Entity] = [e for item in page for e in item.entities()]
    return Drawing(TEMPLATES, tuple(entities))


def _drawings(outputs: Sequence[Output]) -> Iterator[Drawing]:
    """Everything that is drawn of the frame, on paper and in files for CAD."""
    for output in outputs:
        if isinstance(output, ModelFile):
            yield output.drawing
        elif isinstance(output, PagesFile):
            yield from (p.drawing for sheet in output.sheets for p in sheet.placements)

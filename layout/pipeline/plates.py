"""plates: one spec becomes the files for a cutting supplier and the drawings to build the fixture by.

    one DXF for each part         read back and compared before its name is reported
    order list                    CSV
    assembly                      at 1:1 on a roll, and reduced on A3; PDF and SVG
    nest                          the parts on stock sheets, reduced on A3; PDF and SVG

Everything is worked out, and every rule of the process checked, before the first file is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow, order_csv, order_rows
from layout.bench.plates.parts import GAUGES, fixture, without
from layout.bench.plates.settings import Number, settings
from layout.checks.plate_rules import broken_rules, counted
from layout.errors import Fault, Notice, PlateError
from layout.frame.mark import mark_words
from layout.frame.solve import Frame, solve
from layout.pipeline.documents import Document, all_drawings, job_info, table_note
from layout.pipeline.files import DXF, PDF, SVG, DataFile, Output, PartFile, file_report
from layout.pipeline.stale import stale_notices
from layout.pipeline.writing import writing
from layout.report.written import FileWritten, lettering_notices
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import default_roll, lay
from layout.sheets.media import medium
from layout.sheets.overview import overview, overview_room
from layout.sheets.sheet import Sheet
from layout.spec.load import FrameSpec
from layout.views.plates.nesting import nest_pages
from layout.views.plates.sheets import OnePage, assembly_page, full_size
from layout.views.plates.tables import ASSEMBLY, NEST

OVERVIEW = "a3"

NESTED = "nest"
"""Kind of the sheets with all parts laid out: the last to be ready, so not left to the second process."""


@dataclass(frozen=True)
class PlateListed:
    """One part as `--json` lists it: `area` (mm2) and `weight` (kg) are of one piece."""

    name: str
    quantity: int
    material: str
    thickness: float
    area: float
    weight: float


class PlatesWritten(NamedTuple):
    """All files of one spec in the order written, warnings, the parts, and the numbers they are made to."""

    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]
    plates: tuple[PlateListed, ...]
    numbers: tuple[Number, ...]
    words: str = ""

    @property
    def data(self) -> dict[str, Any]:
        """What `plates --json` has beside files and warnings."""
        return {"plates": [asdict(p) for p in self.plates]}


def plates(spec: FrameSpec, stem: str, out: Path) -> PlatesWritten:
    """Write the fixture plates of a spec into the folder `out`, files named after `stem`.

    Raises SolveError as `solve` does, PlateError for a part that has no room or a broken rule, each
    with file, line and key; WriteError where a file cannot be written or does not read back true.
    """
    frame = solve(spec)
    mark = mark_words(frame.mark)
    try:
        with writing(out, DXF, PDF, SVG) as files:
            made, rows = _worked_out(frame, stem)
            outputs = [*_parts(made, rows, mark), _order_file(rows, stem, mark)]
            files.beside(*outputs)
            laid = list[Document]()
            for document in _sheets(frame, made, rows, stem):
                laid.append(document)
                pages = tuple(document.files(PDF, SVG))
                outputs += pages
                if document.kind == NESTED:
                    files.here(*pages)
                else:
                    files.beside(*pages)
    except PlateError as e:
        raise PlateError(*(_locate(f, spec) for f in e.faults)) from e
    letters = lettering_notices(all_drawings(laid))
    stale = stale_notices(out, stem, frame.mark, [o.name for o in outputs])
    notices = (*frame.plane.warnings, *frame.placed.notices(), *made.notices, *letters, *stale)
    return PlatesWritten(
        tuple(file_report(o, out) for o in outputs),
        tuple(dict.fromkeys(notices)),
        tuple(
            PlateListed(r.name, r.quantity, r.material, r.thickness, area=r.area, weight=r.weight)
            for r in rows
        ),
        made.settings.numbers,
    )


def _worked_out(frame: Frame, stem: str) -> tuple[Fixture, tuple[OrderRow, ...]]:
    """Parts and order list. Raises PlateError, its faults without a place."""
    made = fixture(frame, settings(frame.spec, frame.space.rear.spacing))
    process = made.settings.process
    refused = {
        p.name: "; ".join(f.message for f in faults)
        for p in made.plates
        if p.name in GAUGES and (faults := broken_rules((p,), process))
    }
    made = without(made, refused)
    if not made.plates and refused:
        message = f"leaves nothing to make. Choose more parts: {'; '.join(refused.values())}"
        raise PlateError(Fault(message, "range", "plates.parts"))
    if not made.plates:
        message = "leaves nothing to make: this frame needs none of the parts chosen. Choose more parts."
        raise PlateError(Fault(message, "range", "plates.parts"))
    broken = broken_rules(made.plates, process)
    if broken:
        raise PlateError(*counted(broken))
    return made, order_rows(made, stem)


def _locate(fault: Fault, spec: FrameSpec) -> Fault:
    """The fault with the place in the file of its key, or of the nearest block above it."""
    return fault if fault.line is not None else fault.located(*spec.place(fault.key or "plates"))


def _sheets(frame: Frame, made: Fixture, rows: Sequence[OrderRow], stem: str) -> Iterator[Document]:
    """Assembly, where anything stands, and nest."""
    mark = mark_words(frame.mark)
    said = partial(job_info, frame, stem)
    paper = medium(OVERVIEW)
    room = overview_room(paper)
    if made.standing:
        view, panels = full_size(frame, made, rows)
        arrangement = SheetArrangement(view, panels, mark=mark)
        roll = default_roll(arrangement)
        whole = tuple(replace(s, kind="assembly") for s in lay(arrangement, roll))
        yield Document(f"{stem}-plates-assembly-{roll.name}", whole, said(ASSEMBLY))
        page = _page(assembly_page(frame, made, rows, room), "assembly", 1, mark=mark)
        yield Document(f"{stem}-plates-assembly-{paper.name}", (page,), said(ASSEMBLY))
    pages = nest_pages(frame, made, rows, room)
    nest = tuple(_page(p, NESTED, k, mark=mark) for k, p in enumerate(pages, 1))
    yield Document(f"{stem}-plates-nest-{paper.name}", nest, said(NEST))


def _page(page: OnePage, kind: str, number: int, mark: str) -> Sheet:
    return overview(page.drawing, medium(OVERVIEW), kind, f"{kind} {number}", scale=page.scale, mark=mark)


def _order_file(rows: Sequence[OrderRow], stem: str, mark: str) -> Output:
    return DataFile(f"{stem}-plates.csv", "table", order_csv(rows, table_note(mark)))


def _parts(made: Fixture, rows: Sequence[OrderRow], mark: str) -> Iterator[Output]:
    for plate, row in zip(made.plates, rows, strict=True):
        cornered, _ = plate.in_corner()
        yield PartFile(row.file, cornered, mark=mark)

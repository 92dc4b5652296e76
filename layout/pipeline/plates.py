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
from pathlib import Path
from typing import Any

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow, order_csv, order_rows
from layout.bench.plates.parts import fixture
from layout.bench.plates.settings import Number, settings
from layout.checks.plate_rules import broken_rules
from layout.drafting.entities import Drawing
from layout.errors import Fault, Notice, PlateError
from layout.frame.solve import Frame, solve
from layout.frame.space import InSpace, in_space
from layout.pipeline.files import PDF, SVG, Data, Output, Pages, Part, write_all
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
from layout.writers.document import DocumentInfo

OVERVIEW = "a3"


@dataclass(frozen=True)
class PlateListed:
    """One part as `--json` lists it: `area` (mm2) and `weight` (kg) are of one piece."""

    name: str
    quantity: int
    material: str
    thickness: float
    area: float
    weight: float


@dataclass(frozen=True)
class PlatesWritten:
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


@dataclass(frozen=True)
class _Laid:
    """Sheets that make one document: the name its files have before their ending, its kind, its pages."""

    name: str
    kind: str
    pages: tuple[Sheet, ...]

    def drawings(self) -> Iterator[Drawing]:
        """Everything that is drawn on its pages."""
        for page in self.pages:
            yield page.furniture
            yield from (p.drawing for p in page.placements)


def plates(spec: FrameSpec, stem: str, out: Path) -> PlatesWritten:
    """Write the fixture plates of a spec into the folder `out`, files named after `stem`.

    Raises SolveError as `solve` does, PlateError for a part that has no room or a broken rule, each
    with file, line and key; WriteError where a file cannot be written or does not read back true.
    """
    frame = solve(spec)
    placed = in_space(spec, frame)
    try:
        made, rows, laid = _worked_out(spec, frame, placed, stem)
    except PlateError as e:
        raise PlateError(*(_located(f, spec) for f in e.faults)) from e
    outputs = [*_parts(made, rows), Data(f"{stem}-plates.csv", "table", order_csv(rows))]
    for document in laid:
        outputs.extend(_documents(frame, document, stem))
    files = write_all(outputs, out)
    drawings = [d for document in laid for d in document.drawings()]
    notices = (*frame.warnings, *placed.notices(), *made.notices, *lettering_notices(drawings))
    return PlatesWritten(
        files,
        tuple(dict.fromkeys(notices)),
        tuple(PlateListed(r.name, r.quantity, r.material, r.thickness, r.area, r.weight) for r in rows),
        made.settings.numbers,
    )


def _worked_out(
    spec: FrameSpec, frame: Frame, placed: InSpace, stem: str
) -> tuple[Fixture, tuple[OrderRow, ...], list[_Laid]]:
    """Parts, order list and sheets, nothing written yet. Raises PlateError, its faults without a place."""
    made = fixture(frame, placed.frame, settings(spec, placed.frame.rear.spacing))
    if not made.plates:
        message = "leaves nothing to make: none of the parts chosen can be made of this frame; choose more"
        raise PlateError(Fault(message, "range", "plates.parts"))
    broken = broken_rules(made.plates, made.settings.process)
    if broken:
        raise PlateError(*broken)
    rows = order_rows(made, stem)
    return made, rows, list(_sheets(frame, made, rows, stem))


def _located(fault: Fault, spec: FrameSpec) -> Fault:
    """The fault with the place in the file of its key, or of the nearest block above it."""
    return fault if fault.line is not None else fault.located(*spec.place(fault.key or "plates"))


def _sheets(frame: Frame, made: Fixture, rows: Sequence[OrderRow], stem: str) -> Iterator[_Laid]:
    """Assembly, where anything stands, and nest."""
    paper = medium(OVERVIEW)
    room = overview_room(paper)
    if made.standing:
        view, panels = full_size(frame, made, rows)
        arrangement = SheetArrangement(view, panels)
        roll = default_roll(arrangement)
        whole = tuple(replace(s, kind="assembly") for s in lay(arrangement, roll))
        yield _Laid(f"{stem}-plates-assembly-{roll.name}", "assembly", whole)
        page = assembly_page(frame, made, rows, room)
        yield _Laid(f"{stem}-plates-assembly-{paper.name}", "assembly", (_page(page, "assembly", 1),))
    pages = nest_pages(frame, made, rows, room)
    nest = tuple(_page(p, "nest", k) for k, p in enumerate(pages, 1))
    yield _Laid(f"{stem}-plates-nest-{paper.name}", "nest", nest)


def _page(page: OnePage, kind: str, number: int) -> Sheet:
    return overview(page.drawing, medium(OVERVIEW), kind, f"{kind} {number}", page.scale)


def _parts(made: Fixture, rows: Sequence[OrderRow]) -> Iterator[Output]:
    for plate, row in zip(made.plates, rows, strict=True):
        cornered, _ = plate.in_corner()
        yield Part(row.file, cornered)


def _documents(frame: Frame, laid: _Laid, job: str) -> Iterator[Output]:
    """One PDF of all pages and an SVG of each."""
    document = ASSEMBLY if laid.kind == "assembly" else NEST
    info = DocumentInfo(frame.job.title or job, frame.job.drawn_by, frame.job.date, document)
    medium_name = laid.pages[0].medium
    yield Pages(f"{laid.name}{PDF}", laid.kind, laid.pages, info, medium_name)
    several = len(laid.pages) > 1
    for number, sheet in enumerate(laid.pages, 1):
        name = f"{laid.name}-{number}{SVG}" if several else f"{laid.name}{SVG}"
        yield Pages(name, laid.kind, (sheet,), info, medium_name, sheet.name if several else None)

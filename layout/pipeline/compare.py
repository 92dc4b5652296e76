"""compare: two specs become a table of both frames and an overlay at true scale on the BB centre.

    A-to-B.dxf, A-to-B-ROLL.pdf, .svg    the overlay, the first frame dashed
    A-to-B-sheets.dxf                    its roll as a layout
    A-to-B-a4-tiles.pdf                  the overlay on pages that join
    A-to-B-table.pdf, .csv, .json        every dimension of both and the difference

A and B are the specs' file names.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from layout.drafting.numbers import format_number
from layout.drafting.spreadsheet import csv_text, noted
from layout.errors import Notice
from layout.frame.mark import mark_words
from layout.frame.solve import Frame, solve
from layout.pipeline.documents import Document, data_text, form, table_note
from layout.pipeline.files import PDF, SVG, DataFile, ModelFile, Output, layouts_file, write_all
from layout.report.plain_table import aligned_lines
from layout.report.written import FileWritten, lettering_notices
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import default_roll, lay_roll, lay_tiles
from layout.sheets.media import medium
from layout.spec.load import load
from layout.views.compare import (
    Difference,
    differences,
    overlay,
    overlay_tables,
    panels,
    table_pages,
    title,
)
from layout.writers.document import DocumentInfo

DOCUMENT = "two frames compared"
TILE_MEDIUM = "a4"

Say = Callable[[str], None]


class CompareResult(NamedTuple):
    """The differences, the files written and the warnings of both specs."""

    names: tuple[str, str]
    differences: tuple[Difference, ...]
    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]

    @property
    def data(self) -> dict[str, Any]:
        """What `compare --json` has beside files and warnings: full precision."""
        found = {
            d.name: {"first": d.first, "second": d.second, "difference": d.difference}
            for d in self.differences
        }
        return {"dimensions": found}

    @property
    def words(self) -> str:
        """For the terminal: both frames side by side."""
        heading = ("dimension", *self.names, "change")
        rows = [heading, *((d.name, *d.cells) for d in self.differences)]
        return "\n".join(aligned_lines(rows, {1, 2, 3})) + "\n"


def compare(
    first_path: str | Path, second_path: str | Path, out: Path, say: Say = lambda _: None
) -> CompareResult:
    """Compare the frames of two specs; table and overlay go into the folder `out`.

    Raises SpecError or SolveError where a spec is at fault, SheetError where no roll holds the
    overlay, WriteError where a file cannot be written or does not read back.
    """
    frames = solve(load(first_path)), solve(load(second_path))
    names = _names(*(Path(frame.spec.file) for frame in frames))
    found = differences(*frames)
    warnings = tuple(
        Notice(w.code, f"{name}: {w.message}")
        for name, frame in zip(names, frames, strict=True)
        for w in frame.plane.warnings
    )
    arrangement = SheetArrangement(
        overlay(*frames),
        panels(*frames, names),
        mark=_mark(frames),
        tables=partial(overlay_tables, *frames, names),
    )
    files = write_all(_outputs(frames, names, arrangement), out, say)
    letters = lettering_notices([arrangement.composed(None, None).drawing])
    return CompareResult(names, found, files, (*warnings, *letters))


def _mark(frames: tuple[Frame, Frame]) -> str:
    """Both frames' marks, as pages say them."""
    return mark_words(*(frame.mark for frame in frames))


def _names(first: Path, second: Path) -> tuple[str, str]:
    """What the two are called: their files' names, told apart where they are one."""
    if first.stem != second.stem:
        return first.stem, second.stem
    return f"{first.stem}-1", f"{second.stem}-2"


def _outputs(
    frames: tuple[Frame, Frame], names: tuple[str, str], arrangement: SheetArrangement
) -> Iterator[Output]:
    """The overlay as DXF and on a roll, and the table on paper and as data."""
    job = frames[1].job
    info = DocumentInfo(title(*frames), job.drawn_by, job.date, DOCUMENT, mark=_mark(frames))
    stem = f"{names[0]}-to-{names[1]}"
    roll = default_roll(arrangement)
    sheet = lay_roll(arrangement, roll)
    whole = arrangement.composed(None, None).drawing
    yield ModelFile(f"{stem}.dxf", "drawing", whole, info)
    yield layouts_file(stem, (sheet,), whole, info)
    yield from Document(f"{stem}-{roll.name}", (sheet,), info).files(PDF, SVG)
    tiles = tuple(lay_tiles(arrangement, medium(TILE_MEDIUM)))
    yield from Document(f"{stem}-{TILE_MEDIUM}", tiles, info).marked.files(PDF)
    yield from form(f"{stem}-table", "table", partial(table_pages, *frames, names), info).files(PDF)
    found = differences(*frames)
    yield DataFile(f"{stem}-table.csv", "table", _csv(found, table_note(info.mark)))
    yield DataFile(f"{stem}-table.json", "table", _json(found, names, frames))


def _csv(found: Sequence[Difference], note: str) -> str:
    rows: list[Sequence[str]] = [("name", "unit", "first", "second", "difference")]
    for d in found:
        values = (d.first, d.second, d.difference)
        rows.append((d.name, d.unit, *("" if v is None else format_number(v, 3) for v in values)))
    return csv_text(noted(rows, note))


def _json(found: Sequence[Difference], names: tuple[str, str], frames: tuple[Frame, Frame]) -> str:
    data = {
        "mark": " and ".join(frame.mark for frame in frames),
        "first": names[0],
        "second": names[1],
        "dimensions": {
            d.name: {"unit": d.unit, "first": d.first, "second": d.second, "difference": d.difference}
            for d in found
        },
    }
    return data_text(data)

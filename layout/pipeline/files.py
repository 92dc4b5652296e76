"""The files of a job: what each holds, how it is written and read back, and what is reported of it.

A job says what it wants as outputs; they are written and read back in a staging folder and come into place
together. A writer is imported only where a file of its kind is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, assert_never

from layout.drafting.entities import Drawing
from layout.pipeline.staged import stage_folder
from layout.report.written import FileWritten
from layout.sheets.models import shared_view
from layout.sheets.sheet import Sheet
from layout.writers.document import DocumentInfo
from layout.writers.whole import write_whole

if TYPE_CHECKING:
    from layout.geometry.plates.plate import Plate

DXF, SVG, PDF, PLT, CSV = "dxf", "svg", "pdf", "plt", "csv"
"""Formats, each named as its files end."""

Say = Callable[[str], None]


@dataclass(frozen=True)
class PagesFile:
    """Sheets in a page format: all of them in a PDF, one in an SVG or a plotter's file.

    `page` is the sheet's name where the file holds one of several.
    """

    name: str
    kind: str
    sheets: tuple[Sheet, ...]
    info: DocumentInfo
    medium: str | None = None
    page: str | None = None


@dataclass(frozen=True)
class ModelFile:
    """A drawing at 1:1 as DXF; `layouts` are its paper-space sheets, which have a file of their own."""

    name: str
    kind: str
    drawing: Drawing
    info: DocumentInfo
    layouts: tuple[Sheet, ...] = ()


@dataclass(frozen=True)
class PartFile:
    """A plate to cut as DXF."""

    name: str
    plate: Plate
    kind: str = "part"
    mark: str = ""


@dataclass(frozen=True)
class DataFile:
    """A table, a form or data as text."""

    name: str
    kind: str
    text: str
    medium: str | None = None


Output = PagesFile | ModelFile | PartFile | DataFile


def layouts_file(stem: str, sheets: tuple[Sheet, ...], whole: Drawing, info: DocumentInfo) -> ModelFile:
    """The DXF of sheets as layouts, beside that of the model `whole`.

    Programs that know no layouts draw them over the model, so the model has a file without any.
    """
    return ModelFile(f"{stem}-sheets.{DXF}", "drawing", shared_view(sheets, whole), info, layouts=sheets)


def write_all(outputs: Iterable[Output], out: Path, say: Say = lambda _: None) -> tuple[FileWritten, ...]:
    """Write all outputs into the folder `out`, together or not at all, and report them.

    Raises WriteError where one cannot be written or does not read back true.
    """
    wanted = tuple(outputs)
    with stage_folder(out) as stage:
        for output in wanted:
            say(f"writing {output.name}")
            write(output, stage)
    return tuple(file_report(output, out) for output in wanted)


def write(output: Output, folder: Path) -> None:
    """Write one output into `folder` and read it back. Raises WriteError as `write_all`."""
    path = folder / output.name
    match output:
        case PagesFile():
            _write_pages(output, path)
        case ModelFile():
            from layout.checks.readback.verify import verify_dxf
            from layout.writers.dxf import writer as dxf

            dxf.write(output.drawing, path, output.info, output.layouts)
            verify_dxf(path, output.drawing, output.layouts)
        case PartFile():
            from layout.checks.readback.plates import verify_plate
            from layout.writers.dxf import plate as plate_dxf

            plate_dxf.write(output.plate, path, output.mark)
            verify_plate(path, output.plate)
        case DataFile():
            write_whole(path, output.text.encode("utf-8"))
        case _:
            assert_never(output)


def _write_pages(output: PagesFile, path: Path) -> None:
    from layout.checks.readback.verify import verify_pdf, verify_plt, verify_svg

    match path.suffix:
        case ".pdf":
            from layout.writers.pdf import writer as pdf

            pdf.write(output.sheets, path, output.info)
            verify_pdf(path, output.sheets)
        case ".svg":
            from layout.writers import svg

            svg.write(output.sheets[0], path, output.info)
            verify_svg(path, output.sheets[0])
        case ".plt":
            from layout.writers import plt

            plt.write(output.sheets[0], path, output.info)
            verify_plt(path, output.sheets[0])
        case _:
            raise ValueError(f"{path.name}: pages are written as .{PDF}, .{SVG} or .{PLT}")


def file_report(output: Output, out: Path) -> FileWritten:
    """What is said of an output that stands in the folder `out`."""
    path, form = str(out / output.name), Path(output.name).suffix.removeprefix(".")
    match output:
        case PagesFile():
            first = output.sheets[0]
            size = (first.width, first.height)
            return FileWritten(
                path, form, output.medium, output.page, kind=output.kind, size=size, pages=len(output.sheets)
            )
        case DataFile():
            return FileWritten(path, form, output.medium, None, kind=output.kind)
        case ModelFile():
            media = ", ".join(sheet.medium for sheet in output.layouts) or None
            return FileWritten(path, form, media, None, kind=output.kind)
        case PartFile():
            return FileWritten(path, form, None, None, kind=output.kind)
        case _:
            assert_never(output)

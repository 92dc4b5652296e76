"""The documents of a job: sheets that belong together become a PDF of all and a file of each page.

    NAME.pdf               all sheets
    NAME.svg, NAME.plt     the sheet, where there is one
    NAME-1.svg, ...        each sheet, where there are several; tiles by their own names, NAME-1-2.svg

A job says what is on its sheets and in which formats it wants them; what the files are called, what each says
about itself and how a form's pages are laid is settled here, once.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from layout.drafting.cautions import CAUTION
from layout.drafting.entities import Drawing
from layout.frame.mark import mark_words
from layout.frame.solve import Frame
from layout.pipeline.files import PDF, PagesFile
from layout.sheets.forms import form_room, form_sheets
from layout.sheets.media import medium
from layout.sheets.sheet import TILES, Sheet
from layout.writers.document import DocumentInfo

FORM_PAPER = "a4"
"""What a job's pages of words and numbers are printed on."""
DATA_DECIMALS = 9
"""Of numbers in files of data, mm and degrees."""


class Document(NamedTuple):
    """Sheets of one medium under one name, which is that of their files without an ending."""

    name: str
    sheets: tuple[Sheet, ...]
    info: DocumentInfo

    @property
    def kind(self) -> str:
        """Of what kind all its sheets are."""
        return self.sheets[0].kind

    @property
    def tiled(self) -> bool:
        """Whether its sheets are tiles, to be joined to one drawing."""
        return self.kind == TILES

    @property
    def marked(self) -> Document:
        """The same; where its sheets are tiles, its name says so."""
        return self._replace(name=f"{self.name}-tiles") if self.tiled else self

    @property
    def drawings(self) -> Iterator[Drawing]:
        """Everything that is drawn on its sheets."""
        for sheet in self.sheets:
            yield sheet.furniture
            yield from (p.drawing for p in sheet.placements)

    def files(self, *formats: str) -> Iterator[PagesFile]:
        """Its files in these formats, in their order: one PDF, else a file a page."""
        for form in formats:
            if form == PDF or len(self.sheets) == 1:
                yield self._file(f"{self.name}.{form}", self.sheets)
                continue
            for number, sheet in enumerate(self.sheets, 1):
                page = sheet.name.lower() if self.tiled else str(number)
                yield self._file(f"{self.name}-{page}.{form}", (sheet,), sheet.name)

    def _file(self, name: str, sheets: tuple[Sheet, ...], page: str | None = None) -> PagesFile:
        return PagesFile(name, self.kind, sheets, self.info, medium=sheets[0].medium, page=page)


def job_info(frame: Frame, stem: str, subject: str) -> DocumentInfo:
    """What the files of a frame say about themselves; a job without a title is called `stem`."""
    job = frame.job
    return DocumentInfo(job.title or stem, job.drawn_by, job.date, subject, mark=mark_words(frame.mark))


def table_note(mark: str) -> str:
    """What a table as text says of itself: the frame's mark, as said, and the caution that pages carry."""
    return f"{mark}. {' '.join(CAUTION)}"


def data_text(data: Mapping[str, Any]) -> str:
    """A file of JSON; its numbers to 1e-9, so that it is the same wherever it is written."""
    return json.dumps(_rounded(data), indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def _rounded(data: Any) -> Any:
    match data:
        case float():
            return round(data, DATA_DECIMALS) + 0.0
        case dict():
            return {key: _rounded(value) for key, value in data.items()}
        case list() | tuple():
            return [_rounded(value) for value in data]
        case _:
            return data


def form(
    name: str, kind: str, draft: Callable[[float, float], Iterable[Drawing]], info: DocumentInfo
) -> Document:
    """Pages of words and numbers, upright on A4: `draft` draws them for the width and height it is given."""
    paper = medium(FORM_PAPER)
    return Document(name, form_sheets(tuple(draft(*form_room(paper))), paper, kind, info.mark), info)


def all_drawings(documents: Iterable[Document]) -> Iterator[Drawing]:
    """Everything that is drawn in several documents."""
    for document in documents:
        yield from document.drawings

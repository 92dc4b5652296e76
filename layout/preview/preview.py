"""What is shown now: the last good save, what was wrong with the saves after it, and the frame at the start.

    take(text)     a save: solved and drafted; or its faults, which `refuse` shows
    answer(...)    what a page shows of one sheet, as plain data

Both are called in one thread, whatever the server does beside it. A save that changes nothing but words
and comments of the file makes nothing again.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from layout.errors import Fault
from layout.frame.solve import Frame
from layout.pipeline.failure import failure_of
from layout.preview.edition import SIDE, Edition, ScreenPage, edition
from layout.preview.numbers import clearances, rows, warnings
from layout.preview.overlay import spans, start_svg
from layout.spec.load import FrameSpec, loads
from layout.writers.svg import svg_text


class Asked(NamedTuple):
    """What a page asks for: a sheet by its key, a page of it from 0, and the digest of the SVG it has."""

    sheet: str = SIDE
    page: int = 0
    has: str = ""
    start: bool = False


@dataclass(frozen=True)
class Shown:
    """One good save as it is shown: how many there were, the edition, and the frame before it."""

    save: int
    edition: Edition
    before: Frame | None

    @cached_property
    def numbers(self) -> dict[str, Any]:
        """What stands beside the drawing at once."""
        frame = self.edition.draft.frame
        return {
            "mark": frame.mark,
            "title": frame.job.title,
            "rows": rows(frame, self.before),
            "warnings": warnings(frame),
        }

    @cached_property
    def clearances(self) -> list[dict[str, Any]]:
        """What must be clear."""
        return clearances(self.edition.draft.frame)

    @cached_property
    def _texts(self) -> dict[int, str]:
        return {}

    def svg(self, page: ScreenPage) -> str:
        """The page's SVG as it is written to a file, and beside it the names of its dimensions."""
        if id(page) not in self._texts:
            self._texts[id(page)] = svg_text(page.sheet, page.info, named=True)
        return self._texts[id(page)]


class Preview:
    """The state that pages are shown. `source` is the spec's path; `media` are papers by name."""

    def __init__(self, source: str, media: tuple[str, ...] = ()) -> None:
        self.source = source
        self.media = media
        self.shown: Shown | None = None
        self.start: Frame | None = None
        self.faults: tuple[Fault, ...] = ()
        self.version = 0

    def take(self, text: str) -> tuple[Fault, ...]:
        """Show a saved text. Where it is no frame its faults come back, and what was shown stays as it is."""
        try:
            spec = loads(text, self.source)
            found = self._same(spec) or edition(spec, self.media)
            before = self.shown.edition.draft.frame if self.shown else None
            shown = Shown(self.shown.save + 1 if self.shown else 1, found, before)
            shown.numbers  # noqa: B018 - made here, so that a fault in it is a fault of the save
        except Exception as e:
            return failure_of(e, self.source)[0]
        self.faults, self.shown = (), shown
        self.start = self.start or found.draft.frame
        self.version += 1
        return ()

    def refuse(self, faults: tuple[Fault, ...]) -> None:
        """Say what is wrong with the file; the last good drawing stays."""
        if faults != self.faults:
            self.faults = faults
            self.version += 1

    def answer(self, asked: Asked) -> dict[str, Any]:
        """What a page shows of one sheet; without a drawing where no save was good yet."""
        said: dict[str, Any] = {
            "version": self.version,
            "file": Path(self.source).name,
            "faults": [" ".join(str(fault).splitlines()) for fault in self.faults],
            "save": 0,
        }
        if self.shown is None:
            return said
        return {**said, "save": self.shown.save, **self.shown.numbers, **self._sheet(self.shown, asked)}

    def clearances(self) -> dict[str, Any]:
        """The gaps of the frame shown: what takes longest beside the drawing, so it is asked for after it."""
        shown = self.shown
        return {} if shown is None else {"save": shown.save, "clearances": shown.clearances}

    def _sheet(self, shown: Shown, asked: Asked) -> dict[str, Any]:
        """The sheet asked for; the side view and what is wrong where it cannot be made."""
        edition, wrong = shown.edition, []
        turn = edition.turn(asked.sheet)
        try:
            pages = edition.pages(turn.key)
        except Exception as e:
            wrong = [f"{turn.title}: {fault.message}" for fault in failure_of(e, self.source)[0]]
            turn, pages = edition.turn(SIDE), edition.pages(SIDE)
        number = min(max(asked.page, 0), len(pages) - 1)
        page = pages[number]
        text = shown.svg(page)
        digest = hashlib.blake2b(text.encode(), digest_size=12).hexdigest()
        side = turn.key.split("-")[0] == SIDE and page.true
        return {
            "sheets": [{"key": t.key, "title": t.title} for t in edition.turns],
            "sheet": turn.key,
            "sheet_title": turn.title,
            "page": number,
            "pages": [p.name for p in pages],
            "size": [page.sheet.width, page.sheet.height],
            "digest": digest,
            "svg": None if digest == asked.has else text,
            "spans": spans(edition.draft.frame, page) if side else {},
            "start": start_svg(self.start, edition.draft.frame, page) if asked.start and side and self.start
            else None,
            "can_start": side,
            "sheet_faults": wrong,
        }  # fmt: skip

    def _same(self, spec: FrameSpec) -> Edition | None:
        """The edition shown, where the spec says the same in all but comments and layout of the file."""
        if self.shown is None:
            return None
        old = self.shown.edition.frame.spec
        same = old.spec == spec.spec and old.givens == spec.givens
        return self.shown.edition if same else None

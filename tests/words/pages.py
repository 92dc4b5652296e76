"""The words of a page as a person reads them: lines that stand under each other are one paragraph."""

from __future__ import annotations

import ctypes
import html
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from pypdfium2 import raw

_TEXT = re.compile(r"<text ([^>]*)>([^<]*)")
_ATTRIBUTE = re.compile(r'(\S+)="([^"]*)"')
_TITLE = re.compile(r"<(?:title|desc)>([^<]*)<")
_MM = 25.4 / 72


@dataclass(frozen=True)
class _Line:
    """A line of lettering: how it is turned, its height, how far along it begins and how far down; mm."""

    words: str
    turned: str
    height: float
    along: float
    down: float

    def goes_on(self, before: _Line) -> bool:
        """Whether it stands under another as the next line of one block."""
        alike = self.turned == before.turned and abs(self.height - before.height) < 1e-3
        under = self.down - before.down
        return alike and abs(self.along - before.along) < 0.01 and 0.0 < under < 1.1 * self.height + 2.0


def paragraphs(page: Path) -> list[str]:
    """Blocks of lettering of an SVG or PDF, each with its lines joined; and what an SVG is called."""
    if page.suffix == ".pdf":
        return _blocks(_pdf_lines(page))
    text = page.read_text(encoding="utf-8")
    return _blocks(_svg_lines(text)) + [html.unescape(said) for said in _TITLE.findall(text)]


def _blocks(lines: Iterable[_Line]) -> list[str]:
    found: list[list[str]] = []
    before: _Line | None = None
    for line in lines:
        if before is not None and line.goes_on(before):
            found[-1].append(line.words)
        else:
            found.append([line.words])
        before = line
    return [" ".join(block) for block in found if _is_prose(block)]


def _is_prose(lines: list[str]) -> bool:
    """Whether a block is sentences and not cells: it ends in a full stop, or is one line alone."""
    return len(lines) == 1 or lines[-1].endswith((".", ":"))


def _svg_lines(text: str) -> Iterator[_Line]:
    for m in _TEXT.finditer(text):
        a = dict(_ATTRIBUTE.findall(m[1]))
        turned = a.get("transform", "")
        yield _Line(html.unescape(m[2]), turned, float(a["font-size"]), float(a["x"]), float(a["y"]))


def _pdf_lines(path: Path) -> Iterator[_Line]:
    """As the PDF's own text objects have them, page after page."""
    for number, page in enumerate(pypdfium2.PdfDocument(path)):
        words = page.get_textpage()
        for part in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT], max_depth=4):
            a, b, _, _, x, y = part.get_matrix().get()
            size, (cos, sin) = ctypes.c_float(), (a / math.hypot(a, b), b / math.hypot(a, b))
            raw.FPDFTextObj_GetFontSize(part.raw, size)
            turned = f"{number}: {math.degrees(math.atan2(b, a)):.1f}"
            height, along, down = size.value * _MM, (x * cos + y * sin) * _MM, (x * sin - y * cos) * _MM
            yield _Line(_said(part, words), turned, height, along, down)


def _said(part: pypdfium2.PdfObject, words: pypdfium2.PdfTextPage) -> str:
    length = raw.FPDFTextObj_GetText(part.raw, words.raw, None, 0)
    buffer = (raw.FPDF_WCHAR * (length // 2))()
    raw.FPDFTextObj_GetText(part.raw, words.raw, buffer, length)
    return bytes(buffer).decode("utf-16-le").rstrip("\0").strip()

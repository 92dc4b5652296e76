"""The words of a page as a person reads them: lines that stand under each other are one paragraph."""

from __future__ import annotations

import html
import re
from pathlib import Path

_TEXT = re.compile(r"<text ([^>]*)>([^<]*)")
_ATTRIBUTE = re.compile(r'(\S+)="([^"]*)"')
_TITLE = re.compile(r"<(?:title|desc)>([^<]*)<")


def paragraphs(svg: Path) -> list[str]:
    """Blocks of lettering of a page written as SVG, each with its lines joined; and what it is called."""
    text = svg.read_text(encoding="utf-8")
    found: list[list[str]] = []
    before: tuple[str, float, float, float] | None = None
    for m in _TEXT.finditer(text):
        a = dict(_ATTRIBUTE.findall(m[1]))
        here = (a.get("transform", ""), float(a["font-size"]), float(a["x"]), float(a["y"]))
        if before and _goes_on(before, here):
            found[-1].append(html.unescape(m[2]))
        else:
            found.append([html.unescape(m[2])])
        before = here
    return [" ".join(lines) for lines in found if _is_prose(lines)] + _TITLE.findall(text)


def _goes_on(before: tuple[str, float, float, float], here: tuple[str, float, float, float]) -> bool:
    """Whether a line stands under another as the next of one block."""
    (turned, size, x, y), (turned_too, size_too, x_too, y_too) = before, here
    alike = turned == turned_too and abs(size - size_too) < 1e-3 and abs(x - x_too) < 0.01
    return alike and 0.0 < y_too - y < 1.1 * size + 2.0


def _is_prose(lines: list[str]) -> bool:
    """Whether a block is sentences and not cells: it ends in a full stop, or is one line alone."""
    return len(lines) == 1 or lines[-1].endswith((".", ":"))

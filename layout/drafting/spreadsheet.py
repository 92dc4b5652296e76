"""Rows of text as a spreadsheet reads them: the one way that every table's CSV is written."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet takes for the beginning of a formula."""
NUMBER = re.compile(r"[+-]?[\d.]+(e[+-]?\d+)?")


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    r"""Rows as CSV (RFC 4180, but lines ended by a line feed alone, as in every other text written here).

    A cell that a spreadsheet would run as a formula has an apostrophe before it; a number has none.

    >>> csv_text([("name", "note"), ("bb", "a, b")])
    'name,note\nbb,"a, b"\n'
    >>> csv_text([("=1+1", "-2.5", "@x")])
    "'=1+1,-2.5,'@x\n"
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([harmless(cell) for cell in row] for row in rows)
    return text.getvalue()


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.lstrip(" ").startswith(FORMULA) and not NUMBER.fullmatch(cell) else cell


def noted(rows: Sequence[Sequence[str]], note: str) -> list[Sequence[str]]:
    """A table, its heading first, with a last column `note` that says one thing, in its first row.

    >>> noted([("name", "mm"), ("a", "1"), ("b", "2")], "mark")
    [('name', 'mm', 'note'), ('a', '1', 'mark'), ('b', '2', '')]
    """
    says = ["note", note]
    return [(*row, says[k] if k < len(says) else "") for k, row in enumerate(rows)]

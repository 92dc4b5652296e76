"""Rows of text as a spreadsheet reads them: the one way that every table's CSV is written."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    r"""Rows as CSV (RFC 4180, but lines ended by a line feed alone, as in every other text written here).

    >>> csv_text([("name", "note"), ("bb", "a, b")])
    'name,note\nbb,"a, b"\n'
    """
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def noted(rows: Sequence[Sequence[str]], note: str) -> list[Sequence[str]]:
    """A table, its heading first, with a last column `note` that says one thing, in its first row.

    >>> noted([("name", "mm"), ("a", "1"), ("b", "2")], "mark")
    [('name', 'mm', 'note'), ('a', '1', 'mark'), ('b', '2', '')]
    """
    says = ["note", note]
    return [(*row, says[k] if k < len(says) else "") for k, row in enumerate(rows)]

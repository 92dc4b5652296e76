"""Tables that may grow taller than a page: in as many parts as they take, each under the title again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import Column, table

TALLEST = 230.0
"""A part of a table that is no taller goes on a page of A4 or Letter, mm."""
CONTINUED = "{title}, continued"


def long_table(
    name: str, title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float
) -> Iterator[Panel]:
    """The table, or its halves and so on; the first part has the table's name, the others a number to it."""
    parts = list(_parts(title, columns, rows, width))
    for number, (said, some) in enumerate(parts, 1):
        part = name if number == 1 else f"{name}_{number}"
        yield table(part, said, columns, some, text_height=TEXT_NOTE, width=width)


def _parts(
    title: str, columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float
) -> Iterator[tuple[str, Sequence[Sequence[str]]]]:
    whole = table("part", title, columns, rows, text_height=TEXT_NOTE, width=width)
    if whole.height <= TALLEST or len(rows) < 2:
        yield title, rows
        return
    middle = (len(rows) + 1) // 2
    yield from _parts(title, columns, rows[:middle], width)
    later = title if title.endswith(CONTINUED.format(title="")) else CONTINUED.format(title=title)
    yield from _parts(later, columns, rows[middle:], width)

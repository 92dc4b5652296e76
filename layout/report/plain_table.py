"""Rows of text in line under each other, for a terminal."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence


def aligned_lines(rows: Sequence[Sequence[str]], numbers: Container[int], gap: str = "   ") -> Iterator[str]:
    """Each row as a line; the columns in `numbers` are set to the right, the others to the left.

    >>> list(aligned_lines([("trail", "61.4"), ("rear centre", "430.0")], {1}))
    ['trail          61.4', 'rear centre   430.0']
    """
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))] if rows else []
    for row in rows:
        cells = (
            cell.rjust(width) if k in numbers else cell.ljust(width)
            for k, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        yield gap.join(cells).rstrip()


def printable(line: str) -> str:
    r"""A line without control characters: a file's name may hold some that a terminal obeys.

    >>> printable("frame\x1b[2J.yaml")
    'frame\\x1b[2J.yaml'
    """
    return "".join(c if c.isprintable() or c in " \t" else c.encode("unicode_escape").decode() for c in line)

"""The columns of a table: what they hold, how wide they are, where their decimal points lie."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from layout.drafting.lettering import text_width
from layout.drafting.wrapping import widest_word

PAD = 0.6
"""Room between lettering and rule, over text height."""
HAND_WIDTH = 26.0
"""Least width of a column that a pencil writes in: a reading such as 1024.5 in 5 mm figures."""
NARROWEST = 1.2
"""A cell must take any one character, over text height."""
_NUMBER = re.compile(r"(\D*\d+)(.*)", re.DOTALL)


class Cells(StrEnum):
    """What a column holds, which decides how it is set."""

    TEXT = "text"
    CENTRED = "centred"
    NUMBER = "number"
    BLANK = "blank"


class Column(NamedTuple):
    """One column: `width` mm fixes it, `least` bounds it, `share` weighs it when the table is stretched.

    Numbers line up on the decimal point; what follows it may carry a unit or a mark. A
    blank column is left for handwriting.
    """

    heading: str
    cells: Cells = Cells.TEXT
    width: float | None = None
    least: float = 0.0
    share: float = 1.0


class Sized(NamedTuple):
    """A column in its place, from `left` to `right`, with room of `pad` beside its lettering.

    `point` is where the decimal points lie, or None where the cells cannot line up.
    """

    column: Column
    left: float
    right: float
    pad: float
    point: float | None

    @property
    def room(self) -> float:
        """What lettering may take, mm."""
        return self.right - self.left - 2 * self.pad


def pad(height: float) -> float:
    """Room beside lettering of `height`, mm."""
    return PAD * height


def before_point(text: str, height: float) -> float | None:
    """The width of a number up to its decimal point (or unit), mm; None where there is no number."""
    number = _NUMBER.fullmatch(text)
    return text_width(number[1], height) if number else None


def columns_across(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    height: float,
    heading_height: float,
    total: float | None,
) -> tuple[Sized, ...]:
    """The columns side by side from x = 0, as wide as they want or together `total` mm wide.

    Raises ValueError where `total` is too narrow for a character in each.
    """
    cells = [[row[i] for row in rows] for i in range(len(columns))]
    wants = [_wants(c, own, height, heading_height) for c, own in zip(columns, cells, strict=True)]
    narrowest = 2 * pad(height) + NARROWEST * height
    widths = (
        [most for most, _ in wants] if total is None else _fitting_widths(columns, wants, total, narrowest)
    )
    if min(widths) < narrowest:
        raise ValueError(f"a column is {min(widths):g} mm wide, too narrow for a character")
    laid: list[Sized] = []
    left = 0.0
    for i, (column, own, width) in enumerate(zip(columns, cells, widths, strict=True)):
        last = i == len(columns) - 1
        right = total if last and total is not None else left + width
        laid.append(
            Sized(column, left, right, pad(height), point=_point(column, own, left, right, height=height))
        )
        left = right
    return tuple(laid)


def _point(column: Column, cells: Sequence[str], left: float, right: float, height: float) -> float | None:
    if column.cells is not Cells.NUMBER:
        return None
    before, after = _halves(cells, height)
    fits = before + after <= right - left - 2 * pad(height) + 1e-9
    return right - pad(height) - after if fits else None


def _halves(cells: Sequence[str], height: float) -> tuple[float, float]:
    """The greatest widths before and from the decimal point on, over the cells that are numbers."""
    before, after = 0.0, 0.0
    for cell in cells:
        front = before_point(cell, height)
        if front is not None:
            before, after = max(before, front), max(after, text_width(cell, height) - front)
    return before, after


def _wants(column: Column, cells: Sequence[str], height: float, heading_height: float) -> tuple[float, float]:
    """The width a column would like, and the least it can do with before words are broken, mm."""
    if column.width is not None:
        return column.width, column.width
    room = 2 * pad(height)
    floor = max(column.least, widest_word(column.heading, heading_height) + room, room + NARROWEST * height)
    if column.cells is Cells.BLANK:
        hand = max(floor, column.least or HAND_WIDTH)
        return hand, hand
    whole = max((text_width(c, height) for c in cells), default=0.0)
    if column.cells is Cells.NUMBER:
        whole = low = max(whole, sum(_halves(cells, height)))
    else:
        low = max((widest_word(c, height) for c in cells), default=0.0)
    # Whole millimetres, so that rules fall on a tidy grid.
    return math.ceil(max(floor, whole + room)), max(floor, low + room)


def _fitting_widths(
    columns: Sequence[Column], wants: Sequence[tuple[float, float]], total: float, narrowest: float
) -> list[float]:
    """Widths that add up to `total`: room is shared out, or given up first where words can wrap."""
    spare = total - sum(most for most, _ in wants)
    if spare >= 0:
        shares = [c.share if c.width is None else 0.0 for c in columns]
        if not sum(shares):
            shares = [1.0] * len(columns)
        return [most + spare * s / sum(shares) for (most, _), s in zip(wants, shares, strict=True)]
    give = [most - low for most, low in wants]
    if sum(give) >= -spare:
        return [most + spare * g / sum(give) for (most, _), g in zip(wants, give, strict=True)]
    give = [
        0.0 if c.width is not None else low - narrowest for c, (_, low) in zip(columns, wants, strict=True)
    ]
    spare = total - sum(low for _, low in wants)
    if sum(give) < -spare:
        raise ValueError(f"{total:g} mm is too narrow for {len(columns)} columns")
    return [low + spare * g / sum(give) for (_, low), g in zip(wants, give, strict=True)]


def rows_in_halves(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Rows set in two halves side by side, the first half on the left; a blank row fills up.

    >>> rows_in_halves([("a",), ("b",), ("c",)])
    [('a', 'c'), ('b', '')]
    """
    count = (len(rows) + 1) // 2
    blank = ("",) * len(rows[0]) if rows else ()
    right = [*rows[count:], blank] if len(rows) % 2 else rows[count:]
    return [(*a, *b) for a, b in zip(rows[:count], right, strict=True)]

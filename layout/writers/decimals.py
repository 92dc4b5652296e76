"""Many numbers as text at once: `spelled` for lettering, all else for strokes.

Each number is four groups of four bytes, blank where nothing stands; blanks are left out in the end:

    lead, minus, ten thousands, thousands   hundreds, tens, units, point   three decimals   tail
    L     -                                                 7      .       1  2  5          " m"

A sheet is some hundred thousand numbers: a fourth of the time of spelling one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from layout.writers.strokes import plain

Numbers = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Groups = npt.NDArray[np.uint32]
"""Four bytes each, moved together."""

LIMIT = 99_999
"""Numbers must be smaller; the longest page is 14400 points."""
_BLANK = 0
_LONGEST_TAIL = 4
_NEARLY_HALF = 0.5 - 1e-5
"""A product so near the middle between two decimals may have been rounded to its other side."""
_SPLITTING = 2.0**27 + 1
"""Splits a number in two of half as many bits, whose products with a million are exact."""
_BETWEEN = "\0"
"""Between templates that are filled at once: no format has it."""


def _groups(*columns: npt.ArrayLike) -> Groups:
    """A table of groups by its four columns of bytes."""
    rows = np.column_stack(np.broadcast_arrays(*columns)).astype(np.uint8)
    return rows.view(np.uint32).ravel()


_N = np.arange(1000)
_DIGITS = [_N // power % 10 + ord("0") for power in (100, 10, 1)]
_LEADING = [np.where(_N >= power, digit, _BLANK) for power, digit in zip((100, 10, 1), _DIGITS, strict=True)]
_MINUS = _groups(_BLANK, [ord("-")], _BLANK, _BLANK)[0]
_THOUSANDS = _groups(_BLANK, _BLANK, *_LEADING[1:])
_ONES = np.concatenate(
    [_groups(*two, _DIGITS[2], point) for point in (ord("."), _BLANK) for two in (_LEADING[:2], _DIGITS[:2])]
)
"""Of numbers under a thousand, then of all others; then the same of whole numbers, without a point."""
_DECIMALS = _groups(*_DIGITS, _BLANK)
_LAST = [np.where(_N % unit > 0, digit, _BLANK) for unit, digit in zip((1000, 100, 10), _DIGITS, strict=True)]
_HIGH, _LOW = np.concatenate((_DECIMALS, _groups(*_LAST, _BLANK))), _groups(*_LAST, ord(" "))
"""The first three of six decimals, then the same where no others follow; the other three, with a space."""


class Around:
    """What stands around numbers: pairs of a lead of one character at most and a tail of four at most."""

    def __init__(self, pairs: Sequence[tuple[str, str]]) -> None:
        leads, tails = zip(*pairs, strict=True)
        self.leads = _groups(*_columns(leads, 1), _BLANK, _BLANK, _BLANK)
        self.tails = _groups(*_columns(tails, _LONGEST_TAIL))
        self.lengths = np.array([len(lead) + len(tail) for lead, tail in pairs])


def _columns(words: Sequence[str], width: int) -> list[list[int]]:
    """The columns of words under each other. Raises ValueError where one is longer than `width`."""
    if max(map(len, words)) > width:
        raise ValueError(f"one of {words} is longer than {width}")
    return [[ord(word[k]) if k < len(word) else _BLANK for word in words] for k in range(width)]


def spelled(numbers: Numbers, around: Around, which: Indices) -> tuple[str, Indices]:
    """All numbers as one text, each as "%.3f" spells it, and the length of each with what is around it.

    `which` says by which pair of `around` each stands. Raises ValueError where one is LIMIT or more.
    """
    if not _all_short(numbers):
        raise ValueError(f"numbers of {LIMIT} and more are not spelled")
    count = _counted(numbers, 1000).astype(np.int32)
    ones, minus = count // 1000, np.signbit(numbers)
    thousands = ones // 1000
    rows = np.empty((len(count), 4), dtype=np.uint32)
    rows[:, 0] = around.leads.take(which) + _THOUSANDS.take(thousands) + minus * _MINUS
    rows[:, 1] = _ONES.take(ones - 1000 * thousands + 1000 * (thousands > 0))
    rows[:, 2] = _DECIMALS.take(count - 1000 * ones)
    rows[:, 3] = around.tails.take(which)
    lengths = around.lengths.take(which) + minus + len("0.000")
    for power in (10, 100, 1000, 10_000):
        lengths += ones >= power
    return rows.tobytes().translate(None, bytes((_BLANK,))).decode("ascii"), lengths


def plains(numbers: Numbers) -> list[str]:
    """Each number as `plain` spells it."""
    if not _all_short(numbers):
        return [plain(value) for value in numbers.tolist()]
    count = _counted(numbers, 1_000_000)
    ones = count // 1_000_000
    decimals, thousands = count - 1_000_000 * ones, ones // 1000
    high = decimals // 1000
    low = decimals - 1000 * high
    rows = np.empty((len(count), 4), dtype=np.uint32)
    rows[:, 0] = _THOUSANDS.take(thousands) + (np.signbit(numbers) & (count > 0)) * _MINUS
    rows[:, 1] = _ONES.take(ones - 1000 * thousands + 1000 * (thousands > 0) + 2000 * (decimals == 0))
    rows[:, 2] = _HIGH.take(high + 1000 * (low == 0))
    rows[:, 3] = _LOW.take(low)
    return rows.tobytes().translate(None, bytes((_BLANK,))).decode("ascii").split()


def floats(numbers: Numbers) -> list[str]:
    """Each number to six decimals as Python writes it: one decimal at least, tiny ones by an exponent."""
    if not _all_short(numbers):
        return [str(round(value, 6) + 0.0) for value in numbers.tolist()]
    tiny = ("0.0000", "-0.0000")
    return [t if "." in t and not t.startswith(tiny) else str(float(t)) for t in plains(numbers)]


def filled(
    templates: Sequence[str],
    numbers: Sequence[float] | Numbers,
    spell: Callable[[Numbers], list[str]] = plains,
) -> list[str]:
    """Templates, in which each %s stands for the next of all numbers.

    >>> filled(["M%s %s", "L%s %s"], [1.0, 2.5, -0.0, 1e-6])
    ['M1 2.5', 'L0 0.000001']
    """
    if not templates:
        return []
    return (_BETWEEN.join(templates) % tuple(spell(np.asarray(numbers)))).split(_BETWEEN)


def _all_short(numbers: Numbers) -> bool:
    return bool((np.abs(numbers) < LIMIT).all())


def _counted(numbers: Numbers, parts: int) -> npt.NDArray[np.int64]:
    """How many of a unit's `parts` each is without its sign: the nearest, of two as near the even one."""
    products = numbers * parts
    rounded = np.rint(products)
    tied = np.flatnonzero(np.abs(products - rounded) > _NEARLY_HALF)
    half = np.floor(products[tied]) + 0.5
    over = products[tied] - half + _error(numbers[tied], products[tied], parts)
    rounded[tied] = np.rint(half + np.sign(over) / 4)
    return np.abs(rounded).astype(np.int64)


def _error(numbers: Numbers, products: Numbers, parts: int) -> Numbers:
    """What was rounded away of each number times `parts`, exactly (Dekker's product, from memory)."""
    shifted = numbers * _SPLITTING
    high = shifted - (shifted - numbers)
    return (high * parts - products) + (numbers - high) * parts

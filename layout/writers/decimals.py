"""Many numbers as text at once, three decimals each, between words of a format.

Each number is four groups of four bytes, blank where nothing stands; blanks are left out in the end:

    lead, minus, ten thousands, thousands   hundreds, tens, units, point   three decimals   tail
    L     -                                                 7      .       1  2  5          " m"

The lettering of a sheet is some hundred thousand numbers: a fourth of the time of spelling one by one.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Groups = npt.NDArray[np.uint32]
"""Four bytes each, moved together."""

LIMIT = 99_999
"""Numbers must be smaller; the longest page is 14400 points."""
_BLANK = 0
_LONGEST_TAIL = 4
_NEARLY_HALF = 0.5 - 1e-6
"""A product so near the middle between two thousandths may have been rounded to its other side."""
_SPLITTING = 2.0**27 + 1
"""Splits a number in two of half as many bits, whose products with a thousand are exact."""


def _groups(*columns: npt.ArrayLike) -> Groups:
    """A table of groups by its four columns of bytes."""
    rows = np.column_stack(np.broadcast_arrays(*columns)).astype(np.uint8)
    return rows.view(np.uint32).ravel()


_N = np.arange(1000)
_DIGITS = [_N // power % 10 + ord("0") for power in (100, 10, 1)]
_LEADING = [np.where(_N >= power, digit, _BLANK) for power, digit in zip((100, 10, 1), _DIGITS, strict=True)]
_MINUS = _groups(_BLANK, [ord("-")], _BLANK, _BLANK)[0]
_THOUSANDS = _groups(_BLANK, _BLANK, *_LEADING[1:])
_ONES = np.concatenate((_groups(*_LEADING[:2], _DIGITS[2], ord(".")), _groups(*_DIGITS, ord("."))))
"""Of numbers under a thousand, then of all others."""
_DECIMALS = _groups(*_DIGITS, _BLANK)


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
    count = _thousandths(numbers)
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


def _thousandths(numbers: Numbers) -> npt.NDArray[np.int32]:
    """How many thousandths each is without its sign: the nearest, of two as near the even one."""
    if not (np.abs(numbers) < LIMIT).all():
        raise ValueError(f"numbers of {LIMIT} and more are not spelled")
    products = numbers * 1000
    rounded = np.rint(products)
    tied = np.flatnonzero(np.abs(products - rounded) > _NEARLY_HALF)
    half = np.floor(products[tied]) + 0.5
    over = products[tied] - half + _error(numbers[tied], products[tied])
    rounded[tied] = np.rint(half + np.sign(over) / 4)
    return np.abs(rounded).astype(np.int32)


def _error(numbers: Numbers, products: Numbers) -> Numbers:
    """What was rounded away of a thousand times each number, exactly (Dekker's product, from memory)."""
    shifted = numbers * _SPLITTING
    high = shifted - (shifted - numbers)
    return (high * 1000 - products) + (numbers - high) * 1000

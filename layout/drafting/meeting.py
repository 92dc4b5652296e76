"""Which boxes meet which straight pieces, and over what length: the sum that placing callouts is made of.

A piece is a row (x1, y1, x2, y2); a box is a row (cx, cy, half length, half height, ux, uy), u being
the unit vector along its length. What is asked of them again and again is worked out once.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable
from functools import cached_property
from typing import ClassVar, Self

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Indices = NDArray[np.intp]

Coarse = NDArray[np.int16]

FLAT = 1e-12
"""A piece shorter than this along a box's side is treated as parallel to it, mm."""
FINENESS, MOST = 8.0, 32767.0
"""Bounds are compared in eighths of a millimetre, rounded outwards: of short numbers many go at once."""
_NONE = np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0)


_WORKED_OUT = "columns", "bounds"
"""What is kept with figures once it is asked for: a cached property keeps its value under its name."""


class Figures(ABC):
    """Figures as `rows` of an array (n, WIDTH), with what is worked out of them once."""

    WIDTH: ClassVar[int]

    def __init__(self, rows: Array) -> None:
        self.rows = rows

    def __len__(self) -> int:
        return len(self.rows)

    @property
    @abstractmethod
    def columns(self) -> Array:
        """What a meeting is worked out from, one column a figure."""

    @property
    @abstractmethod
    def bounds(self) -> Coarse:
        """Its upright bounds in whole steps, to four sides, two of them negative: (4, n)."""

    def some(self, index: Indices) -> Self:
        """Those at `index` (m,), in that order, with what is worked out of them already."""
        some = type(self)(self.rows.take(index, axis=0))
        for name in _WORKED_OUT:
            if name in self.__dict__:
                some.__dict__[name] = self.__dict__[name].take(index, axis=1)
        return some

    @classmethod
    def joined(cls, parts: Iterable[Self]) -> Self:
        """Several as one, with what was worked out of each."""
        some = [part for part in parts if len(part)]
        if not some:
            return cls(np.empty((0, cls.WIDTH)))
        return cls._known(
            np.concatenate([part.rows for part in some]),
            np.concatenate([part.columns for part in some], axis=1),
            np.concatenate([part.bounds for part in some], axis=1),
        )

    @classmethod
    def _known(cls, rows: Array, columns: Array, bounds: Coarse) -> Self:
        """Figures of which it is worked out already."""
        known = cls(rows)
        known.__dict__.update(columns=columns, bounds=bounds)
        return known


class Boxes(Figures):
    """Turned boxes, `rows` (n, 6)."""

    WIDTH = 6

    @cached_property
    def columns(self) -> Array:
        """The rows, one column a box: (6, n)."""
        return np.ascontiguousarray(self.rows.T)

    @cached_property
    def limits(self) -> Array:
        """How far each reaches to the right, up, left and down, mm: (4, n), the last two negative."""
        cx, cy, hx, hy, ux, uy = self.columns
        ux, uy = abs(ux), abs(uy)
        ex, ey = hx * ux + hy * uy, hx * uy + hy * ux
        return np.array((cx + ex, cy + ey, ex - cx, ey - cy))

    @cached_property
    def bounds(self) -> Coarse:
        """The limits in whole steps, no less: (4, n)."""
        return _whole(np.ceil(FINENESS * self.limits))


class Pieces(Figures):
    """Straight pieces, `rows` (n, 4)."""

    WIDTH = 4

    @cached_property
    def columns(self) -> Array:
        """Where each begins and where it goes, one column a piece, x before y, mm: (4, n)."""
        begin, end = self.rows.T.reshape(2, 2, -1)
        return np.concatenate((begin, end - begin))

    @cached_property
    def bounds(self) -> Coarse:
        """Where each begins to the left, below, to the right and above, in whole steps, no more.

        Shape (4, n), the last two negative: a box meets none of which one is greater than its own.
        """
        first, last = self.rows.T.reshape(2, 2, -1)
        low, high = np.minimum(first, last), np.maximum(first, last)
        return _whole(np.floor(FINENESS * np.concatenate((low, -high))))


def _whole(steps: Array) -> Coarse:
    return np.minimum(np.maximum(steps, -MOST), MOST).astype(np.int16)


def meetings(boxes: Boxes, pieces: Pieces) -> tuple[Indices, Indices, Array]:
    """Pairs (box, piece) that meet and the length of the piece inside, mm: three of shape (k,).

    Upright bounds first, then slabs in the box's own frame.
    """
    if not len(boxes) or not len(pieces):
        return _NONE
    reach, begin = boxes.bounds, pieces.bounds
    near = _all_within(begin, np.maximum.reduce(reach, axis=1)).nonzero()[0]
    if not len(near):
        return _NONE
    begin, count = begin.take(near, axis=1), len(boxes)
    if len(near) < count:
        at = _all_within(begin[:, :, None], reach).ravel().nonzero()[0]
        p = at // count
        b = at - count * p
    else:
        at = _all_within(begin, reach[:, :, None]).ravel().nonzero()[0]
        b = at // len(near)
        p = at - len(near) * b
    p = near.take(p)
    level = not boxes.columns[5].any()
    met, under = _slabs(boxes.columns[: 4 if level else 6].take(b, axis=1), pieces.columns.take(p, axis=1))
    return b.take(met), p.take(met), under


def _all_within(begin: Coarse, reach: Coarse) -> Bools:
    """Whether all four of `begin` are at most those of `reach`; fastest where the longer runs last."""
    within = np.asarray(begin[0] <= reach[0])
    for k in (1, 2, 3):
        within &= begin[k] <= reach[k]
    return within


def _slabs(boxes: Array, pieces: Array) -> tuple[Indices, Array]:
    """Which of box i and piece i meet, and over what length, by slabs in the box's own frame.

    Boxes of four columns, not six, are level.
    """
    at, out, half = pieces[:2] - boxes[:2], pieces[2:], boxes[2:4]
    if len(boxes) > 4:
        at, out = _turned(at, boxes[4:]), _turned(out, boxes[4:])
    out[np.abs(out) < FLAT] = FLAT
    p, q = (-half - at) / out, (half - at) / out
    (low_x, low_y), (high_x, high_y) = np.minimum(p, q), np.maximum(p, q)
    enter = np.maximum(np.maximum(low_x, low_y), 0.0)
    leave = np.minimum(np.minimum(high_x, high_y), 1.0)
    met = (enter <= leave).nonzero()[0]
    return met, (leave - enter).take(met) * np.hypot(*out.take(met, axis=1))


def _turned(points: Array, u: Array) -> Array:
    """Points or ways, x before y, as those see them whose own x runs along `u`."""
    (x, y), (ux, uy) = points, u
    return np.array((x * ux + y * uy, y * ux - x * uy))

"""Which boxes meet which straight pieces, and over what length: the sum that placing callouts is made of.

A piece is a row (x1, y1, x2, y2); a box is a row (cx, cy, half length, half height, ux, uy), u being
the unit vector along its length. What is asked of them again and again is worked out once.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Indices = NDArray[np.intp]

FLAT = 1e-12
"""A piece shorter than this along a box's side is treated as parallel to it, mm."""


class Boxes:
    """Turned boxes, `rows` (n, 6)."""

    def __init__(self, rows: Array) -> None:
        self.rows = rows

    def __len__(self) -> int:
        return len(self.rows)

    @cached_property
    def columns(self) -> Array:
        """The rows, one column a box: (6, n)."""
        return np.ascontiguousarray(self.rows.T)

    @cached_property
    def limits(self) -> Array:
        """How far each reaches to the right, up, left and down: (4, n), the last two negative."""
        cx, cy, hx, hy, ux, uy = self.columns
        ux, uy = abs(ux), abs(uy)
        ex, ey = hx * ux + hy * uy, hx * uy + hy * ux
        return np.array((cx + ex, cy + ey, ex - cx, ey - cy))

    def some(self, index: Indices) -> Boxes:
        """Those at `index` (m,), in that order."""
        some = Boxes(self.rows[index])
        some.columns = self.columns.take(index, axis=1)
        some.limits = self.limits.take(index, axis=1)
        return some


class Pieces:
    """Straight pieces, `rows` (n, 4)."""

    def __init__(self, rows: Array) -> None:
        self.rows = rows

    def __len__(self) -> int:
        return len(self.rows)

    @cached_property
    def columns(self) -> Array:
        """Where each begins and where it goes, one column a piece, x before y: (4, n)."""
        x1, y1, x2, y2 = self.rows.T
        return np.array((x1, x2 - x1, y1, y2 - y1))

    @cached_property
    def limits(self) -> Array:
        """Where each begins to the left, below, to the right and above: (4, n), the last two negative."""
        x1, y1, x2, y2 = self.rows.T
        least, most = np.minimum, np.maximum
        return np.array((least(x1, x2), least(y1, y2), -most(x1, x2), -most(y1, y2)))


def meetings(boxes: Boxes, pieces: Pieces) -> tuple[Indices, Indices, Array]:
    """Pairs (box, piece) that meet and the length of the piece inside, mm.

    Upright bounds first, then slabs in the box's own frame.
    """
    if not len(boxes) or not len(pieces):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0)
    reach, begin = boxes.limits, pieces.limits
    most = reach.max(axis=1)
    right, up, left, down = begin
    near = np.flatnonzero((right <= most[0]) & (up <= most[1]) & (left <= most[2]) & (down <= most[3]))
    if not len(near):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0)
    right, up, left, down = begin.take(near, axis=1)
    close = right <= reach[0][:, None]
    close &= up <= reach[1][:, None]
    close &= left <= reach[2][:, None]
    close &= down <= reach[3][:, None]
    b, p = divmod(np.flatnonzero(close), len(near))
    p = near.take(p)
    met, under = _slabs(boxes.columns.take(b, axis=1), pieces.columns.take(p, axis=1))
    return b[met], p[met], under


def _slabs(boxes: Array, pieces: Array) -> tuple[Bools, Array]:
    """Whether box i meets piece i, and over what length those that do, by slabs in the box's own frame."""
    pieces[::2] -= boxes[:2]
    (x, y), (ux, uy) = pieces.reshape(2, 2, -1), boxes[4:]
    at_x, out_x = x * ux + y * uy
    at_y, out_y = y * ux - x * uy
    at, out = np.array((at_x, at_y)), np.array((out_x, out_y))
    out[np.abs(out) < FLAT] = FLAT
    half = boxes[2:4]
    p, q = (-half - at) / out, (half - at) / out
    enter = np.maximum(np.minimum(p, q).max(axis=0), 0.0)
    leave = np.minimum(np.maximum(p, q).min(axis=0), 1.0)
    met = enter <= leave
    return met, (leave - enter)[met] * np.hypot(*out[:, met])

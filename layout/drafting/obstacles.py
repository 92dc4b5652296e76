"""What lettering must keep off, and what a proposed callout would cost.

Everything is straight pieces with a price: thick outlines and lettering already
placed are dear, thin lines cheap. A proposal is one turned box (its lettering) and the
lines it would draw. Prices add; nothing is forbidden outright, so there is
always a best place, and `HARD` tells whether it is a clean one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.drafting.vector import Point, unit

Array = NDArray[np.float64]

HARD = 1000.0
"""Price of lettering on lettering or on a thick line: more than any detour."""
OWN_LINE_ON_TEXT = 120.0
OWN_LINE_ON_LANE = 18.0


@dataclass(frozen=True, slots=True)
class Box:
    """A turned rectangle: centre, half extents along and across `angle` (degrees)."""

    centre: Point
    half_length: float
    half_height: float
    angle: float

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners, counter-clockwise from the lower left of the turned box."""
        u = unit(self.angle)
        (cx, cy), a, b = self.centre, self.half_length, self.half_height
        return tuple(  # type: ignore[return-value]
            (cx + s * a * u[0] - t * b * u[1], cy + s * a * u[1] + t * b * u[0])
            for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )

    def ribs(self) -> list[tuple[Point, Point]]:
        """Its edges and its midline: a box of like height that overlaps it crosses one of them."""
        c = self.corners()
        mid = ((c[0][0] + c[3][0]) / 2, (c[0][1] + c[3][1]) / 2), (
            (c[1][0] + c[2][0]) / 2,
            (c[1][1] + c[2][1]) / 2,
        )
        return [(c[0], c[1]), (c[1], c[2]), (c[2], c[3]), (c[3], c[0]), mid]


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way to draw a callout: its lettering's box, its lines, and the price of the place itself."""

    box: Box
    lines: tuple[tuple[Point, Point], ...]
    price: float


class Scene:
    """The obstacles so far, as arrays: pieces are rows (x1, y1, x2, y2) with a price each."""

    def __init__(self) -> None:
        self._pieces: list[tuple[float, float, float, float, float]] = []
        self._boxes: list[tuple[Box, float]] = []

    def add_line(self, start: Point, end: Point, price: float) -> None:
        """Lettering that crosses this piece pays `price`."""
        self._pieces.append((*start, *end, price))

    def add_lines(self, lines: Iterable[tuple[Point, Point]], price: float) -> None:
        """Add several pieces of one price."""
        for a, b in lines:
            self.add_line(a, b, price)

    def add_text(self, box: Box) -> None:
        """Lettering placed for good: others keep off it, and lines avoid crossing it."""
        self.add_lines(box.ribs(), HARD)
        self._boxes.append((box, OWN_LINE_ON_TEXT))

    def add_lane(self, box: Box) -> None:
        """The strip a dimension line runs in: other dimension lines avoid it."""
        self._boxes.append((box, OWN_LINE_ON_LANE))

    def frozen(self) -> Obstacles:
        """The obstacles as arrays, ready to price proposals."""
        pieces = np.array(self._pieces).reshape(-1, 5)
        boxes = _box_rows([b for b, _ in self._boxes])
        return Obstacles(pieces, boxes, np.array([p for _, p in self._boxes]))


@dataclass(frozen=True)
class Obstacles:
    """A scene that no longer changes: pieces (n, 5), boxes (m, 6) and the boxes' prices (m,)."""

    pieces: Array
    boxes: Array
    box_prices: Array

    @staticmethod
    def joined(parts: Iterable[Obstacles]) -> Obstacles:
        """Several as one."""
        all_parts = list(parts)
        return Obstacles(
            np.concatenate([p.pieces for p in all_parts]),
            np.concatenate([p.boxes for p in all_parts]),
            np.concatenate([p.box_prices for p in all_parts]),
        )

    def prices(self, proposals: Sequence[Proposal]) -> Array:
        """What each proposal costs here: shape (len(proposals),)."""
        total = np.array([p.price for p in proposals])
        boxes = _box_rows([p.box for p in proposals])
        near = self.pieces[_near(self.pieces, boxes)]
        if len(near):
            total += _hits(boxes, near[:, :4]) @ near[:, 4]
        lines = [(i, a, b) for i, p in enumerate(proposals) for a, b in p.lines]
        if len(self.boxes) and lines:
            rows = np.array([(*a, *b) for _, a, b in lines])
            price = self.box_prices @ _hits(self.boxes, rows)
            np.add.at(total, [i for i, _, _ in lines], price)
        return total


def _box_rows(boxes: Sequence[Box]) -> Array:
    rows = []
    for b in boxes:
        u = unit(b.angle)
        rows.append((*b.centre, b.half_length, b.half_height, *u))
    return np.array(rows).reshape(-1, 6)


def _near(pieces: Array, boxes: Array) -> NDArray[np.intp]:
    """Indices of pieces whose upright bounds meet the common bounds of all boxes."""
    reach = np.hypot(boxes[:, 2], boxes[:, 3])
    lo, hi = (boxes[:, :2] - reach[:, None]).min(axis=0), (boxes[:, :2] + reach[:, None]).max(axis=0)
    low = np.minimum(pieces[:, 0:2], pieces[:, 2:4])
    high = np.maximum(pieces[:, 0:2], pieces[:, 2:4])
    inside: NDArray[np.bool_] = ((high >= lo) & (low <= hi)).all(axis=1)
    return np.flatnonzero(inside)


def _hits(boxes: Array, pieces: Array) -> NDArray[np.bool_]:
    """Which piece meets which box: shape (boxes, pieces), by slabs in each box's own frame."""
    cx, cy, hx, hy, ux, uy = (c[:, None] for c in boxes.T)
    x1, y1, x2, y2 = pieces.T
    ax = (x1 - cx) * ux + (y1 - cy) * uy
    ay = (y1 - cy) * ux - (x1 - cx) * uy
    dx = (x2 - x1) * ux + (y2 - y1) * uy
    dy = (y2 - y1) * ux - (x2 - x1) * uy
    tiny = 1e-12
    dx = np.where(np.abs(dx) < tiny, tiny, dx)
    dy = np.where(np.abs(dy) < tiny, tiny, dy)
    p, q = (-hx - ax) / dx, (hx - ax) / dx
    r, s = (-hy - ay) / dy, (hy - ay) / dy
    enter = np.maximum(np.minimum(p, q), np.minimum(r, s))
    leave = np.minimum(np.maximum(p, q), np.maximum(r, s))
    result: NDArray[np.bool_] = (enter <= leave) & (leave >= 0.0) & (enter <= 1.0)
    return result

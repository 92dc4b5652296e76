"""What lettering must keep off, and what a proposed callout would cost.

Everything is straight pieces with a price: thick outlines and lettering already placed are dear,
thin lines cheap. A proposal is one turned box (its lettering) and the lines it would draw.
Prices add; nothing is forbidden outright, so there is always a best place, and HARD
tells whether it is a clean one.

Arrays: a piece is a row (x1, y1, x2, y2); a box is a row (cx, cy, half length, half height,
ux, uy), u being the unit vector along its length.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from layout.drafting.meeting import (
    FLAT,
    Array,
    Bools,
    Boxes,
    Indices,
    Pieces,
    meetings,
)
from layout.drafting.owned import NOBODY, Owned
from layout.drafting.rooms import Rooms
from layout.drafting.vector import Point, unit

HARD = 100_000.0
"""Price of lettering on lettering or on a thick line: more than any detour."""
OWN_LINE_ON_TEXT = 3000.0
"""A line through words that stand already: no line runs through a digit where there is any other place."""
OWN_LINE_ON_LANE = 18.0
LEADER_APART = 0.5
"""Half of what two leaders keep from each other, mm."""
TIP_FREE = 2.0
"""So far from what they name, mm, leaders may meet."""
PASS_CLEAR = 3.0
"""So far to each side of a point, mm, no leader passes that names another."""
OWN_POINT = 1.5 * PASS_CLEAR
"""Past this a leader has left what it keeps off about its own point, mm."""
ALONG = 10.0
"""A thin line's price is for each so many millimetres of it under lettering, and once at least."""


@dataclass(frozen=True, slots=True)
class Box:
    """A turned rectangle: centre, half extents along and across `angle` (degrees)."""

    centre: Point
    half_length: float
    half_height: float
    angle: float

    def row(self) -> tuple[float, ...]:
        """The box as a row of an array."""
        return (*self.centre, self.half_length, self.half_height, *unit(self.angle))

    def ribs(self) -> list[tuple[Point, Point]]:
        """Its edges and its midline: a box of like height that overlaps it crosses one of them."""
        return [((x1, y1), (x2, y2)) for x1, y1, x2, y2 in ribs(self.row())]


def ribs(row: Iterable[float]) -> list[tuple[float, float, float, float]]:
    """Edges and midline of a box row, as piece rows."""
    cx, cy, a, b, ux, uy = row
    low, mid, high = ((cx - s * b * uy, cy + s * b * ux) for s in (-1.0, 0.0, 1.0))
    across = [(p[0] - a * ux, p[1] - a * uy, p[0] + a * ux, p[1] + a * uy) for p in (low, mid, high)]
    first, last = across[0], across[2]
    return [*across, (first[0], first[1], last[0], last[1]), (first[2], first[3], last[2], last[3])]


@dataclass(frozen=True)
class Proposals:
    """Several ways to draw a callout.

    `boxes` (n) is the lettering, `prices` (n,) what the places themselves cost. `lines` (k)
    would be drawn: line j by every proposal whose `group` (n,) equals `line_group` (k,) there.
    `arrows` (m, 3, 2) are arrowheads: barb, tip, barb; `arrow_group` (m,) as `line_group`. `leaders` tells
    that the lines are leaders: two of these never cross.
    """

    boxes: Boxes
    prices: Array
    group: Indices
    lines: Pieces
    line_group: Indices
    arrows: Array = field(default_factory=lambda: np.empty((0, 3, 2)))
    arrow_group: Indices = field(default_factory=lambda: np.empty(0, dtype=np.intp))
    leaders: bool = False

    @cached_property
    def past_tips(self) -> Pieces:
        """Leaders but for their tips, or their farther halves where they are short; of others nothing."""
        if not self.leaders:
            return Pieces.joined(())
        tips, ends = self.lines.rows[:, :2], self.lines.rows[:, 2:]
        out = ends - tips
        part = np.minimum(OWN_POINT / np.maximum(np.hypot(*out.T), FLAT), 0.5)[:, None]
        return Pieces(np.concatenate([tips + part * out, ends], axis=1))

    def whole_in(self, rooms: Rooms) -> Bools:
        """Whether the words of each lie on one page, and its lines' ends on any: shape (n,)."""
        held = rooms.hold(self.boxes.limits)
        if not len(self.lines):
            return held
        ends = rooms.show(self.lines.rows[:, :2]) & rooms.show(self.lines.rows[:, 2:])
        return np.asarray(held & self._all_of(self.line_group, ends))

    def arrows_in(self, rooms: Rooms) -> Bools:
        """Whether each of a proposal's arrowheads lies on one page: shape (n,)."""
        first, tip, last = self.arrows.transpose(1, 2, 0)
        far, near = np.maximum(np.maximum(first, tip), last), np.minimum(np.minimum(first, tip), last)
        return self._all_of(self.arrow_group, rooms.hold(np.concatenate([far, -near])))

    def _all_of(self, group: Indices, fits: Bools) -> Bools:
        """Whether all of its `group` fit, of each proposal: shape (n,)."""
        misfits = np.bincount(group, ~fits, int(self.group.max(initial=-1)) + 1)
        return np.asarray(misfits[self.group] == 0)

    @staticmethod
    def joined(parts: Sequence[Proposals]) -> Proposals:
        """Several of one callout as one; their arrowheads are left out."""
        groups = [int(part.group.max(initial=-1)) + 1 for part in parts]
        first = [0, *accumulate(groups)]
        return Proposals(
            Boxes.joined(part.boxes for part in parts),
            np.concatenate([part.prices for part in parts]),
            np.concatenate([part.group + k for part, k in zip(parts, first, strict=False)]),
            Pieces.joined(part.lines for part in parts),
            line_group=np.concatenate([part.line_group + k for part, k in zip(parts, first, strict=False)]),
            leaders=parts[0].leaders,
        )

    def some(self, index: Indices) -> Proposals:
        """The proposals at `index` (m,), rising, with their lines; their arrowheads are left out."""
        if len(index) == len(self.prices):
            return self
        group = self.group[index]
        number = np.full(int(self.group.max()) + 1, -1, dtype=np.intp)
        number[group] = 0
        wanted = np.flatnonzero(number == 0)
        number[wanted] = np.arange(len(wanted))
        line_group = number[self.line_group]
        mine = (line_group >= 0).nonzero()[0]
        some = Proposals(
            self.boxes.some(index),
            self.prices.take(index),
            number.take(group),
            self.lines.some(mine),
            line_group=line_group.take(mine),
            leaders=self.leaders,
        )
        if self.leaders and "past_tips" in self.__dict__:
            some.__dict__["past_tips"] = self.past_tips.some(mine)
        return some


class Scene:
    """The obstacles of a drawing, collected before callouts are placed."""

    def __init__(self) -> None:
        self._pieces: list[tuple[float, ...]] = []
        self._points: list[tuple[float, ...]] = []

    def add_line(self, start: Point, end: Point, price: float) -> None:
        """Lettering that crosses this piece pays `price`."""
        self._pieces.append((*start, *end, price))

    def add_lines(self, lines: Iterable[tuple[Point, Point]], price: float) -> None:
        """Add several pieces of one price."""
        self._pieces += [(*a, *b, price) for a, b in lines]

    def keep_leaders_off(self, at: Point) -> None:
        """Leaders that do not begin at this point pass clear of it."""
        self._points.append(_about(*at))

    def frozen(self) -> Obstacles:
        """The obstacles as arrays, ready to price proposals."""
        return obstacles(self._pieces, leaders=self._points)


class Obstacles(NamedTuple):
    """What proposals pay for: words for the pieces they lie on, lines for the boxes they cross.

    `leaders` are thin boxes along leaders, and small ones about points, which other leaders keep off.
    """

    pieces: Owned[Pieces]
    boxes: Owned[Boxes]
    leaders: Owned[Boxes]

    @staticmethod
    def joined(parts: Iterable[Obstacles]) -> Obstacles:
        """Several as one."""
        pieces, boxes, leaders = zip(*(list(parts) or [NOTHING]), strict=True)
        return Obstacles(Owned.joined(pieces), Owned.joined(boxes), Owned.joined(leaders))

    def without(self, owner: int) -> Obstacles:
        """Without what one callout takes."""
        return Obstacles(self.pieces.without(owner), self.boxes.without(owner), self.leaders.without(owner))

    def owned(self, owner: int) -> Obstacles:
        """The same, taken by one callout."""
        return Obstacles(self.pieces.owned(owner), self.boxes.owned(owner), self.leaders.owned(owner))

    def paid_back(self) -> Obstacles:
        """The same at negative prices."""
        return Obstacles(self.pieces.paid_back(), self.boxes.paid_back(), self.leaders.paid_back())

    def crossing(self, proposals: Proposals, payer: int | None = None) -> Array:
        """What each proposal pays for what it lies on and what its lines cross: shape (n,).

        They pay nothing for what is of the callout `payer`, whose they are.
        """
        count = len(proposals.prices)
        box, piece, under = meetings(proposals.boxes, self.pieces.figures)
        total = np.zeros(count)
        if len(box):
            total += np.bincount(box, self.pieces.price(piece, payer) * (1.0 + under / ALONG), count)
        if not len(proposals.lines):
            return total
        groups = int(proposals.group.max()) + 1
        box, line, under = meetings(self.boxes.figures, proposals.lines)
        if len(box):
            price = self.boxes.price(box, payer) * (1.0 + under / ALONG)
            total += np.bincount(proposals.line_group[line], price, groups)[proposals.group]
        if proposals.leaders:
            box, line, _ = meetings(self.leaders.figures, proposals.past_tips)
            if len(box):
                price = self.leaders.price(box, payer)
                total += np.bincount(proposals.line_group[line], price, groups)[proposals.group]
        return total


def obstacles(
    pieces: Iterable[tuple[float, ...]],
    boxes: Iterable[tuple[float, ...]] = (),
    leaders: Iterable[tuple[float, ...]] = (),
) -> Obstacles:
    """Obstacles of nobody: pieces and boxes as rows that end in a price, and boxes that leaders keep off."""
    put, crossed = (np.array([*rows]).reshape(-1, n) for rows, n in ((pieces, 5), (boxes, 7)))
    kept_off = np.array([*leaders], dtype=float).reshape(-1, 6)
    return Obstacles(
        Owned.by(NOBODY, Pieces(put[:, :4]), put[:, 4]),
        Owned.by(NOBODY, Boxes(crossed[:, :6]), crossed[:, 6]),
        Owned.by(NOBODY, Boxes(kept_off), np.full(len(kept_off), HARD)),
    )


NOTHING = obstacles(())


def pieces_of_choice(proposal: Proposals, line_price: float, lane_half_width: float) -> Obstacles:
    """What one chosen proposal puts in the way: its lettering, its lines, and the lane of its first line."""
    row, lines = tuple(proposal.boxes.rows[0].tolist()), proposal.lines.rows.tolist()
    pieces = [(*rib, HARD) for rib in ribs(row)] + [(*line, line_price) for line in lines]
    boxes = [(*row, OWN_LINE_ON_TEXT)]
    if lane_half_width and lines:
        x1, y1, x2, y2 = lines[0]
        length = math.hypot(x2 - x1, y2 - y1)
        if length > 0:
            u = ((x2 - x1) / length, (y2 - y1) / length)
            lane = ((x1 + x2) / 2, (y1 + y2) / 2, length / 2, lane_half_width, *u)
            boxes.append((*lane, OWN_LINE_ON_LANE))
    led = lines if proposal.leaders else []
    thin = [row for x, y, *end in led for row in (_along((x, y, *end), LEADER_APART), _about(x, y))]
    return obstacles(pieces, boxes, thin)


def _about(x: float, y: float) -> tuple[float, ...]:
    """The box about a point that leaders pass clear of."""
    return Box((x, y), PASS_CLEAR, PASS_CLEAR, 0.0).row()


def _along(line: Iterable[float], half: float) -> tuple[float, ...]:
    """A box `half` mm to each side of a leader, but for its tip: several may name one point."""
    x1, y1, x2, y2 = line
    length = max(float(np.hypot(x2 - x1, y2 - y1)), FLAT)
    off = min(TIP_FREE / length, 0.5)
    x1, y1, length = x1 + off * (x2 - x1), y1 + off * (y2 - y1), length * (1.0 - off)
    return (x1 + x2) / 2, (y1 + y2) / 2, length / 2, half, (x2 - x1) / length, (y2 - y1) / length

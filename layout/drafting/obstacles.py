"""What lettering must keep off, and what a proposed callout would cost.

Everything is straight pieces with a price: thick outlines and lettering already placed are dear,
thin lines cheap. A proposal is one turned box (its lettering) and the lines it would draw.
Prices add; nothing is forbidden outright, so there is always a best place, and HARD
tells whether it is a clean one.

Arrays: a piece is a row (x1, y1, x2, y2); a box is a row (cx, cy, half length, half height,
ux, uy), u being the unit vector along its length.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from layout.drafting.rooms import Rooms
from layout.drafting.vector import Point, unit

Array = NDArray[np.float64]
Indices = NDArray[np.intp]

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
FLAT = 1e-12
"""A piece shorter than this along a box's side is treated as parallel to it, mm."""


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

    `boxes` (n, 6) is the lettering, `prices` (n,) what the places themselves cost. `lines` (k, 4)
    would be drawn: line j by every proposal whose `group` (n,) equals `line_group` (k,) there.
    `arrows` (m, 3, 2) are arrowheads: barb, tip, barb; `arrow_group` (m,) as `line_group`. `leaders` tells
    that the lines are leaders: two of these never cross.
    """

    boxes: Array
    prices: Array
    group: Indices
    lines: Array
    line_group: Indices
    arrows: Array = field(default_factory=lambda: np.empty((0, 3, 2)))
    arrow_group: Indices = field(default_factory=lambda: np.empty(0, dtype=np.intp))
    leaders: bool = False

    def some(self, index: Indices) -> Proposals:
        """The proposals at `index` (m,), in that order, with what they draw."""
        group = self.group[index]
        number = np.full(int(self.group.max()) + 1, -1, dtype=np.intp)
        number[group] = 0
        wanted = np.flatnonzero(number == 0)
        number[wanted] = np.arange(len(wanted))
        line_group, arrow_group = number[self.line_group], number[self.arrow_group]
        mine, heads = line_group >= 0, arrow_group >= 0
        return Proposals(
            self.boxes[index],
            self.prices[index],
            number[group],
            self.lines[mine],
            line_group=line_group[mine],
            arrows=self.arrows[heads],
            arrow_group=arrow_group[heads],
            leaders=self.leaders,
        )


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

    def frozen(self, rooms: Rooms | None = None) -> Obstacles:
        """The obstacles as arrays, ready to price proposals; with `rooms`, what lies outside is dear."""
        points = np.array(self._points).reshape(-1, 6)
        pieces = np.array(self._pieces).reshape(-1, 5)
        return Obstacles(pieces, np.empty((0, 6)), np.empty(0), rooms, leaders=points)


@dataclass(frozen=True)
class Obstacles:
    """Pieces with a price each (n, 5), and boxes (m, 6) that lines pay `box_prices` (m,) to cross.

    `leaders` are thin boxes along leaders, and small ones about points, which other leaders keep off.
    """

    pieces: Array
    boxes: Array
    box_prices: Array
    rooms: Rooms | None = None
    leaders: Array = field(default_factory=lambda: np.empty((0, 6)))

    @staticmethod
    def joined(parts: Iterable[Obstacles]) -> Obstacles:
        """Several as one."""
        all_parts = [NOTHING, *parts]
        return Obstacles(
            np.concatenate([p.pieces for p in all_parts]),
            np.concatenate([p.boxes for p in all_parts]),
            np.concatenate([p.box_prices for p in all_parts]),
            rooms=next((p.rooms for p in all_parts if p.rooms is not None), None),
            leaders=np.concatenate([p.leaders for p in all_parts]),
        )

    def prices(self, proposals: Proposals) -> Array:
        """What each proposal costs here, its own price with it: shape (n,)."""
        return np.asarray(proposals.prices + self.crossing(proposals) + self.off_pages(proposals))

    def crossing(self, proposals: Proposals) -> Array:
        """What each proposal pays for what it lies on and what its lines cross: shape (n,)."""
        count = len(proposals.prices)
        total = np.zeros(count)
        box, piece, under = meetings(proposals.boxes, self.pieces[:, :4])
        total += np.bincount(box, self.pieces[piece, 4] * (1.0 + under / ALONG), count)
        if not len(proposals.lines):
            return total
        groups = int(proposals.group.max()) + 1
        if len(self.boxes):
            box, line, under = meetings(self.boxes, proposals.lines)
            price = self.box_prices[box] * (1.0 + under / ALONG)
            total += np.bincount(proposals.line_group[line], price, groups)[proposals.group]
        if proposals.leaders and len(self.leaders):
            _, line, _ = meetings(self.leaders, _past_tips(proposals.lines))
            crossed = np.bincount(proposals.line_group[line], None, groups)
            total += HARD * crossed[proposals.group]
        return total

    def off_pages(self, proposals: Proposals) -> Array | float:
        """What each proposal pays for not being whole on one page: shape (n,), or 0.0 where no pages join."""
        return 0.0 if self.rooms is None else _outside(proposals, self.rooms)


NOTHING = Obstacles(np.empty((0, 5)), np.empty((0, 6)), np.empty(0))


def _outside(proposals: Proposals, rooms: Rooms) -> Array:
    """What is not whole on one page, or ends on none, at the price of lettering on a thick line."""
    cx, cy, hx, hy, ux, uy = proposals.boxes.T
    corners = np.stack(
        [
            np.stack([cx + s * hx * ux - t * hy * uy, cy + s * hx * uy + t * hy * ux], axis=-1)
            for s, t in ((1, 1), (1, -1), (-1, 1), (-1, -1))
        ],
        axis=1,
    )
    groups = int(proposals.group.max()) + 1
    bad = np.zeros(groups)
    if len(proposals.arrows):
        bad += np.bincount(proposals.arrow_group, ~rooms.hold(proposals.arrows), groups)
    if len(proposals.lines):
        ends = rooms.show(proposals.lines[:, :2]) & rooms.show(proposals.lines[:, 2:])
        bad += np.bincount(proposals.line_group, ~ends, groups)
    return np.asarray(HARD * (~rooms.hold(corners) + bad[proposals.group]))


def crossing_each_other(proposals: Sequence[Proposals], takes: Sequence[Obstacles]) -> Array:
    """What each of several places, of one proposal each, pays for what all the others take: shape (n,)."""
    count, own = len(proposals), np.arange(len(proposals))
    total = np.zeros(count)
    piece_of = np.repeat(own, [len(t.pieces) for t in takes])
    line_of = np.repeat(own, [len(p.lines) for p in proposals])
    everything = Obstacles.joined(takes)
    lines = np.concatenate([p.lines for p in proposals])
    box, piece, under = meetings(np.concatenate([p.boxes for p in proposals]), everything.pieces[:, :4])
    price = everything.pieces[piece, 4] * (1.0 + under / ALONG)
    total += np.bincount(box, price * (piece_of[piece] != box), count)
    if len(lines):
        box, line, under = meetings(everything.boxes, lines)
        box_of = np.repeat(own, [len(t.boxes) for t in takes])[box]
        price = everything.box_prices[box] * (1.0 + under / ALONG)
        total += np.bincount(line_of[line], price * (box_of != line_of[line]), count)
    if len(everything.leaders):
        leads = np.array([p.leaders for p in proposals])
        box, line, _ = meetings(everything.leaders, _past_tips(lines))
        box_of = np.repeat(own, [len(t.leaders) for t in takes])[box]
        total += HARD * np.bincount(line_of[line], (box_of != line_of[line]) & leads[line_of[line]], count)
    return total


def pieces_of_choice(proposal: Proposals, line_price: float, lane_half_width: float) -> Obstacles:
    """What one chosen proposal puts in the way: its lettering, its lines, and the lane of its first line."""
    row = proposal.boxes[0]
    pieces = [(*rib, HARD) for rib in ribs(row.tolist())] + [
        (*line, line_price) for line in proposal.lines.tolist()
    ]
    boxes, prices = [row], [OWN_LINE_ON_TEXT]
    if lane_half_width and len(proposal.lines):
        x1, y1, x2, y2 = proposal.lines[0]
        length = float(np.hypot(x2 - x1, y2 - y1))
        if length > 0:
            u = ((x2 - x1) / length, (y2 - y1) / length)
            boxes.append(np.array([(x1 + x2) / 2, (y1 + y2) / 2, length / 2, lane_half_width, *u]))
            prices.append(OWN_LINE_ON_LANE)
    led = proposal.lines.tolist() if proposal.leaders else []
    thin = [row for x, y, *end in led for row in (_along((x, y, *end), LEADER_APART), _about(x, y))]
    leaders = np.array(thin, dtype=float).reshape(-1, 6)
    return Obstacles(np.array(pieces), np.array(boxes), np.array(prices), leaders=leaders)


def _about(x: float, y: float) -> tuple[float, ...]:
    """The box about a point that leaders pass clear of."""
    return Box((x, y), PASS_CLEAR, PASS_CLEAR, 0.0).row()


def _past_tips(leaders: Array) -> Array:
    """The leaders but for their tips, or their farther halves where they are short."""
    out = leaders[:, 2:] - leaders[:, :2]
    part = np.minimum(OWN_POINT / np.maximum(np.hypot(*out.T), FLAT), 0.5)[:, None]
    return np.concatenate([leaders[:, :2] + part * out, leaders[:, 2:]], axis=1)


def _along(line: Iterable[float], half: float) -> tuple[float, ...]:
    """A box `half` mm to each side of a leader, but for its tip: several may name one point."""
    x1, y1, x2, y2 = line
    length = max(float(np.hypot(x2 - x1, y2 - y1)), FLAT)
    off = min(TIP_FREE / length, 0.5)
    x1, y1, length = x1 + off * (x2 - x1), y1 + off * (y2 - y1), length * (1.0 - off)
    return (x1 + x2) / 2, (y1 + y2) / 2, length / 2, half, (x2 - x1) / length, (y2 - y1) / length


def meetings(boxes: Array, pieces: Array) -> tuple[Indices, Indices, Array]:
    """Pairs (box, piece) that meet and the length of the piece inside, mm.

    Upright bounds first, then slabs in the box's own frame.
    """
    if not len(boxes) or not len(pieces):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0)
    cx, cy, hx, hy, ux, uy = boxes.T
    x1, y1, x2, y2 = pieces.T
    ex, ey = hx * abs(ux) + hy * abs(uy), hx * abs(uy) + hy * abs(ux)
    left, right, bottom, top = cx - ex, cx + ex, cy - ey, cy + ey
    low_x, high_x = np.minimum(x1, x2), np.maximum(x1, x2)
    low_y, high_y = np.minimum(y1, y2), np.maximum(y1, y2)
    near = np.flatnonzero(
        (high_x >= left.min()) & (low_x <= right.max()) & (high_y >= bottom.min()) & (low_y <= top.max())
    )
    close = high_x[near] >= left[:, None]
    close &= low_x[near] <= right[:, None]
    close &= high_y[near] >= bottom[:, None]
    close &= low_y[near] <= top[:, None]
    b, p = np.nonzero(close)
    p = near[p]
    met, under = _slabs(boxes[b], pieces[p])
    return b[met], p[met], under[met]


def _slabs(boxes: Array, pieces: Array) -> tuple[NDArray[np.bool_], Array]:
    """Whether box i meets piece i, and over what length, by the slab method in the box's own frame."""
    cx, cy, hx, hy, ux, uy = boxes.T
    x1, y1, x2, y2 = pieces.T
    ax, ay = (x1 - cx) * ux + (y1 - cy) * uy, (y1 - cy) * ux - (x1 - cx) * uy
    dx, dy = (x2 - x1) * ux + (y2 - y1) * uy, (y2 - y1) * ux - (x2 - x1) * uy
    dx = np.where(np.abs(dx) < FLAT, FLAT, dx)
    dy = np.where(np.abs(dy) < FLAT, FLAT, dy)
    p, q, r, s = (-hx - ax) / dx, (hx - ax) / dx, (-hy - ay) / dy, (hy - ay) / dy
    enter = np.maximum(np.minimum(p, q), np.minimum(r, s))
    leave = np.minimum(np.maximum(p, q), np.maximum(r, s))
    met: NDArray[np.bool_] = (enter <= leave) & (leave >= 0.0) & (enter <= 1.0)
    part = np.clip(np.minimum(leave, 1.0) - np.maximum(enter, 0.0), 0.0, 1.0)
    return met, part * np.hypot(dx, dy)

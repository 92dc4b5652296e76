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
from dataclasses import KW_ONLY, dataclass, field
from functools import cached_property
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

    `boxes` (n) is the lettering, `prices` (n,) what the places themselves cost. `lines` (k, 4)
    would be drawn: line j by every proposal whose `group` (n,) equals `line_group` (k,) there.
    `arrows` (m, 3, 2) are arrowheads: barb, tip, barb; `arrow_group` (m,) as `line_group`. `leaders` tells
    that the lines are leaders: two of these never cross.
    """

    boxes: Boxes
    prices: Array
    group: Indices
    lines: Array
    line_group: Indices
    arrows: Array = field(default_factory=lambda: np.empty((0, 3, 2)))
    arrow_group: Indices = field(default_factory=lambda: np.empty(0, dtype=np.intp))
    leaders: bool = False

    @cached_property
    def drawn(self) -> Pieces:
        """The lines as pieces."""
        return Pieces(self.lines)

    @cached_property
    def past_tips(self) -> Pieces:
        """The lines but for their tips, or their farther halves where they are short."""
        out = self.lines[:, 2:] - self.lines[:, :2]
        part = np.minimum(OWN_POINT / np.maximum(np.hypot(*out.T), FLAT), 0.5)[:, None]
        return Pieces(np.concatenate([self.lines[:, :2] + part * out, self.lines[:, 2:]], axis=1))

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
        return Proposals(
            self.boxes.some(index),
            self.prices.take(index),
            number.take(group),
            self.lines.take(mine, axis=0),
            line_group=line_group.take(mine),
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
        pieces = np.array(self._pieces).reshape(-1, 5)
        points = Boxes(np.array(self._points).reshape(-1, 6))
        return Obstacles(Pieces(pieces[:, :4]), pieces[:, 4], leaders=points, rooms=rooms)


class Counted(NamedTuple):
    """Which of several obstacles count: of their pieces, their boxes and their leaders."""

    pieces: Bools
    boxes: Bools
    leaders: Bools


@dataclass(frozen=True)
class Obstacles:
    """Pieces with a price each (n,), and boxes that lines pay `box_prices` (m,) to cross.

    `leaders` are thin boxes along leaders, and small ones about points, which other leaders keep off.
    """

    pieces: Pieces
    piece_prices: Array
    boxes: Boxes = field(default_factory=lambda: Boxes.joined(()))
    box_prices: Array = field(default_factory=lambda: np.empty(0))
    _: KW_ONLY
    leaders: Boxes = field(default_factory=lambda: Boxes.joined(()))
    rooms: Rooms | None = None

    @staticmethod
    def joined(parts: Iterable[Obstacles]) -> Obstacles:
        """Several as one."""
        all_parts = [NOTHING, *parts]
        return Obstacles(
            Pieces.joined(p.pieces for p in all_parts),
            np.concatenate([p.piece_prices for p in all_parts]),
            Boxes.joined(p.boxes for p in all_parts),
            np.concatenate([p.box_prices for p in all_parts]),
            leaders=Boxes.joined(p.leaders for p in all_parts),
            rooms=next((p.rooms for p in all_parts if p.rooms is not None), None),
        )

    def some(self, which: Counted) -> Obstacles:
        """Those that count."""
        pieces, boxes, leaders = (np.flatnonzero(counts) for counts in which)
        return Obstacles(
            self.pieces.some(pieces),
            self.piece_prices.take(pieces),
            self.boxes.some(boxes),
            self.box_prices.take(boxes),
            leaders=self.leaders.some(leaders),
            rooms=self.rooms,
        )

    def prices(self, proposals: Proposals, under: float = np.inf) -> tuple[Indices, Array]:
        """The proposals that cost less than `under` here, (k,), and what each costs in all."""
        prices = proposals.prices + self.off_pages(proposals)
        index = np.flatnonzero(prices < under)
        prices = prices[index]
        if len(index):
            prices = prices + self.crossing(proposals.some(index))
        low = prices < under
        return index[low], prices[low]

    def crossing(self, proposals: Proposals, counted: Counted | None = None) -> Array:
        """What each proposal pays for what it lies on and what its lines cross: shape (n,).

        With `counted`, for the obstacles alone that count.
        """
        count = len(proposals.prices)
        box, piece, under = meetings(proposals.boxes, self.pieces)
        price = self.piece_prices[piece] * (1.0 + under / ALONG)
        price = price if counted is None else price * counted.pieces[piece]
        total = np.zeros(count)
        total += np.bincount(box, price, count)
        if not len(proposals.lines):
            return total
        groups = int(proposals.group.max()) + 1
        box, line, under = meetings(self.boxes, proposals.drawn)
        if len(box):
            price = self.box_prices[box] * (1.0 + under / ALONG)
            price = price if counted is None else price * counted.boxes[box]
            total += np.bincount(proposals.line_group[line], price, groups)[proposals.group]
        if proposals.leaders:
            box, line, _ = meetings(self.leaders, proposals.past_tips)
            crossed = None if counted is None else counted.leaders[box]
            total += HARD * np.bincount(proposals.line_group[line], crossed, groups)[proposals.group]
        return total

    def off_pages(self, proposals: Proposals) -> Array | float:
        """What each proposal pays for not being whole on one page: shape (n,), or 0.0 where no pages join."""
        return 0.0 if self.rooms is None else _outside(proposals, self.rooms)


NOTHING = Obstacles(Pieces.joined(()), np.empty(0))


def _outside(proposals: Proposals, rooms: Rooms) -> Array:
    """What is not whole on one page, or ends on none, at the price of lettering on a thick line."""
    groups = int(proposals.group.max()) + 1
    bad = np.zeros(groups)
    if len(proposals.arrows):
        heads = proposals.arrows
        first, tip, last = heads.transpose(1, 2, 0)
        far, near = np.maximum(np.maximum(first, tip), last), np.minimum(np.minimum(first, tip), last)
        reach = np.concatenate([far, -near])
        bad += np.bincount(proposals.arrow_group, ~rooms.hold(reach), groups)
    if len(proposals.lines):
        ends = rooms.show(proposals.lines[:, :2]) & rooms.show(proposals.lines[:, 2:])
        bad += np.bincount(proposals.line_group, ~ends, groups)
    return np.asarray(HARD * (~rooms.hold(proposals.boxes.limits) + bad[proposals.group]))


def crossing_each_other(proposals: Sequence[Proposals], takes: Sequence[Obstacles]) -> Array:
    """What each of several places, of one proposal each, pays for what all the others take: shape (n,)."""
    return crossing_others(proposals, takes, np.arange(len(takes)), times=np.ones(len(takes)))


def crossing_others(
    proposals: Sequence[Proposals], takes: Sequence[Obstacles], owners: Indices, times: Array
) -> Array:
    """What each of several places, of one proposal each, pays for what others take: shape (n,).

    What the place numbered `owners[k]` takes is `takes[k]`: it pays nothing for that itself. The others pay
    `times[k]` of its price.
    """
    count, taker = len(proposals), np.arange(len(takes))
    total = np.zeros(count)
    everything = Obstacles.joined(takes)
    words, drawn = Boxes.joined(p.boxes for p in proposals), Pieces.joined(p.drawn for p in proposals)
    line_of = np.repeat(np.arange(count), [len(p.lines) for p in proposals])
    box, piece, under = meetings(words, everything.pieces)
    by = np.repeat(taker, [len(t.pieces) for t in takes])[piece]
    price = times[by] * everything.piece_prices[piece] * (1.0 + under / ALONG)
    total += np.bincount(box, price * (owners[by] != box), count)
    box, line, under = meetings(everything.boxes, drawn)
    by, payer = np.repeat(taker, [len(t.boxes) for t in takes])[box], line_of[line]
    price = times[by] * everything.box_prices[box] * (1.0 + under / ALONG)
    total += np.bincount(payer, price * (owners[by] != payer), count)
    if len(everything.leaders):
        leads = np.array([p.leaders for p in proposals])
        past_tips = Pieces.joined(p.past_tips for p in proposals)
        box, line, _ = meetings(everything.leaders, past_tips)
        by, payer = np.repeat(taker, [len(t.leaders) for t in takes])[box], line_of[line]
        total += np.bincount(payer, HARD * times[by] * ((owners[by] != payer) & leads[payer]), count)
    return total


def pieces_of_choice(proposal: Proposals, line_price: float, lane_half_width: float) -> Obstacles:
    """What one chosen proposal puts in the way: its lettering, its lines, and the lane of its first line."""
    row = proposal.boxes.rows[0]
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
    put = np.array(pieces)
    return Obstacles(
        Pieces(put[:, :4]),
        put[:, 4],
        Boxes(np.array(boxes)),
        np.array(prices),
        leaders=Boxes(np.array(thin, dtype=float).reshape(-1, 6)),
    )


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

"""Lengths: a dimension in ranks beside what it measures, a check lettered on the line between its points."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import KW_ONLY, dataclass, replace
from functools import cached_property, partial

import numpy as np

from layout.drafting.calls.batch import (
    CLEAR,
    DESCENT,
    Made,
    Offer,
    PlaceBatch,
    arrowheads,
    block_boxes,
    point_of,
)
from layout.drafting.dimensions import ARROW_RATIO, EXTENSION_OVERSHOOT, TAIL_RATIO, block_width
from layout.drafting.entities import LengthDimension, Line
from layout.drafting.meeting import FLAT, Array, Boxes, Pieces
from layout.drafting.obstacles import Proposals
from layout.drafting.style import TEXT_CALLOUT, Layer
from layout.drafting.vector import Point, bearing, distance, readable, unit

TEXT_GAP_RATIO = 0.44
"""Baseline above its dimension line, over text height: descenders, which are 0.3 deep, stay clear of it."""
RANK = 4.0
"""Ranks are tried this far apart; two dimensions then lie a text height and a gap apart."""
NEAR_RANKS = 48.0
"""Farther out than this, ranks are tried twice as far apart."""
FIRST_RANK = 13.0
LAST_RANK = 280.0
ROOM_FOR_ARROWS = 11.0
CHECK_STUB = 14.0
CHECK_STATIONS = 41
CHECK_APART = 2.5
"""More free paper over and under a check's words, mm: nearer to another line they are read as its value."""
CHECK_CLOSE = 200.0
"""The same words without it: only where there is no other place."""
CHECK_BESIDE = 9.0
"""Lettering beside the line of its check, rather than on it."""
RANK_PRICE = 0.6
"""Per millimetre that a dimension line stands off what it measures."""
WRONG_SIDE = 40.0
BETWEEN = 160.0
"""A line between the levels of the points that it measures: only to keep it on pages that join."""
BEYOND = 34.0
"""Lettering past the end of what it measures, on the line drawn on under it."""
LONG_BEYOND = 50.0
"""More for lettering past the end of what is long enough for it: it would reach far out of the drawing."""
VALUE_FIRST = 6.0
"""The value before its name, so that it stands next to the arrow."""
ARROWS_TURNED = 60.0
"""Arrowheads that point inwards though there is room between them: only to keep them off a seam."""
BESIDE_ARROW = 1.5
"""Between an arrowhead and the words past it, mm."""
UNDER_WORDS = 1.0
"""A line drawn on under words ends this far past them, mm."""
STATIONS = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
"""Where between its arrows the middle of a dimension's words may stand, as a part of its length."""
BESIDE_LINE = 0.3
"""Past a dimension line, and past where another may lie over its words, mm."""
PAST = EXTENSION_OVERSHOOT - CLEAR / 2
"""Extension lines past a dimension line, less the free paper under words, mm."""
LANE = 3.0
"""Half the width of the strip that other dimension lines keep off a dimension line."""


_RANKS = np.concatenate([np.arange(0.0, NEAR_RANKS, RANK), np.arange(NEAR_RANKS, LAST_RANK, 2 * RANK)])

@dataclass(frozen=True)
class LengthCall:
    """A dimension from `start` to `end` along `direction`.

    `clear` is how far beside the line of its points the first rank lies, `side` which side is
    liked: +1 left of the direction, -1 right, 0 either; `last` how far out it may go.
    """

    name: str
    label: str
    start: Point
    end: Point
    _: KW_ONLY
    direction: float
    side: int = 0
    clear: float = FIRST_RANK
    last: float = LAST_RANK
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[PlaceBatch]:
        """Ranks on both sides, lettering along each at several stations or beyond its ends."""
        yield self._ranks(0.0, _ways(self._bare, *self._span))

    def seam_batches(self) -> Iterator[PlaceBatch]:
        """The ranks with arrowheads that point inwards, and ranks between the two points."""
        turned = _turned(self._bare, *self._span)
        if turned:
            yield self._ranks(ARROWS_TURNED, turned)
        levels = self._along(90.0)
        between = np.arange(levels.min() + FIRST_RANK, levels.max() - FIRST_RANK, 2 * RANK)
        if len(between):
            price, ways = np.full(len(between), BETWEEN), [*_ways(self._bare, *self._span), *turned]
            yield PlaceBatch(BETWEEN, partial(_offer, self._bare, ways, between, price, ends=self._ends))

    def _ranks(self, floor: float, ways: list[_Way]) -> PlaceBatch:
        levels = self._along(90.0)
        ranks = self.clear + _RANKS[_RANKS <= max(self.last - self.clear, RANK)]
        level = np.concatenate([levels.max() + ranks, levels.min() - ranks])
        wrong = [WRONG_SIDE if self.side not in (0, s) else 0.0 for s in (1, -1)]
        price = np.tile(RANK_PRICE * ranks, 2) + np.repeat(wrong, len(ranks))
        return PlaceBatch(floor, partial(_offer, self._bare, ways, level, price, ends=self._ends))

    @cached_property
    def _ends(self) -> Array:
        return np.array([self.start, self.end])

    @property
    def _span(self) -> tuple[float, float]:
        span = self._along(0.0)
        return float(span.min()), float(span.max())

    def _along(self, turn: float) -> Array:
        """Where both points lie along the direction turned by so many degrees."""
        return np.asarray(self._ends @ np.array(unit(self.direction + turn)))

    @cached_property
    def _bare(self) -> LengthDimension:
        return LengthDimension(
            self.name,
            self.start,
            self.end,
            self.direction,
            line_at=self.start,
            text_at=self.start,
            text_angle=readable(self.direction),
            label=self.label,
            height=self.height,
        )


@dataclass(frozen=True)
class _Way:
    """One way to draw a dimension on its line: where the words may stand, how far its line goes, its arrows.

    `stations` are along the direction, `extra` their prices; `low` and `high` are the line's ends.
    """

    stations: tuple[float, ...]
    extra: tuple[float, ...]
    low: float
    high: float
    arrows_outside: bool
    value_first: bool = False


def _on_line(bare: LengthDimension, low: float, high: float) -> list[tuple[float, float]]:
    """Stations between the arrows where the words have room, and what each costs."""
    length, width = high - low, block_width(bare)
    return [
        (low + part * length, 14.0 * abs(part - 0.5))
        for part in STATIONS
        if not _short(low, high) and min(part, 1 - part) * length >= width / 2 + ROOM_FOR_ARROWS / 2
    ]


def _short(low: float, high: float) -> bool:
    """Whether arrowheads stand outside for want of room between."""
    return high - low < 2.2 * ROOM_FOR_ARROWS


def _ways(bare: LengthDimension, low: float, high: float) -> list[_Way]:
    """On the line between the arrows, or past either end with the line drawn on under the words."""
    width, arrow, short = block_width(bare), ARROW_RATIO * bare.height, _short(low, high)
    ways: list[_Way] = []
    on_line = _on_line(bare, low, high)
    if on_line:
        places, extra = zip(*on_line, strict=True)
        ways.append(_Way(places, extra, low, high, arrows_outside=False))
    forward = np.dot(unit(bare.text_angle), unit(bare.direction)) > 0
    gap, rest = arrow + BESIDE_ARROW, arrow * TAIL_RATIO if short else 0.0
    for up in (True, False):
        first = up == forward and bool(bare.label)
        middle_at = high + gap + width / 2 if up else low - gap - width / 2
        far = gap + width + UNDER_WORDS
        ends = (low - rest, high + far) if up else (low - far, high + rest)
        price = BEYOND + (VALUE_FIRST if first else 0.0) + (LONG_BEYOND if on_line else 0.0)
        ways.append(_Way((middle_at,), (price,), *ends, arrows_outside=short, value_first=first))
    return ways


def _turned(bare: LengthDimension, low: float, high: float) -> list[_Way]:
    """On the line between arrows that point inwards though there is room for them."""
    on_line, tail = _on_line(bare, low, high), ARROW_RATIO * bare.height * TAIL_RATIO
    if not on_line:
        return []
    places, extra = zip(*on_line, strict=True)
    dearer = tuple(price + ARROWS_TURNED for price in extra)
    return [_Way(places, dearer, low - tail, high + tail, arrows_outside=True)]


def _offer(bare: LengthDimension, ways: list[_Way], level: Array, price: Array, ends: Array) -> Offer:
    """Every way on every level; a group is a way on a level."""
    u, n = np.array(unit(bare.direction)), np.array(unit(bare.direction + 90.0))
    up = TEXT_GAP_RATIO * bare.height * np.array(unit(bare.text_angle + 90.0))
    span = ends @ u
    feet = level[:, None, None] * n + span[:, None] * u
    count, each = len(level), [len(way.stations) for way in ways]
    stations = np.concatenate([way.stations for way in ways])
    way_of = np.repeat(np.arange(len(ways)), each)
    text_at = (level[:, None, None] * n + stations[:, None] * u + up).reshape(-1, 2)
    extra = np.concatenate([way.extra for way in ways])
    group = (np.arange(count)[:, None] * len(ways) + way_of).ravel()
    groups = np.arange(count * len(ways))
    line_ends = np.array([(way.low, way.high) for way in ways])
    lines = np.concatenate([_flat(level, line_ends, u, n), *_extensions(feet, ends, len(ways))])
    low_first = np.array([1.0, -1.0]) if span[0] <= span[1] else np.array([-1.0, 1.0])
    inward = np.array([1.0 if way.arrows_outside else -1.0 for way in ways])
    pointing = inward[:, None, None] * low_first[:, None] * u
    tips = np.repeat(feet, len(ways), axis=0).reshape(-1, 2)
    proposals = Proposals(
        _boxes(bare, text_at),
        (price[:, None] + extra).ravel(),
        group,
        Pieces(lines),
        line_group=np.tile(groups, 3),
        arrows=arrowheads(tips, np.tile(pointing.reshape(-1, 2), (count, 1)), ARROW_RATIO * bare.height),
        arrow_group=np.repeat(groups, 2),
    )

    def make(i: int) -> Made:
        way = ways[int(way_of[i % len(stations)])]
        return (
            replace(
                bare,
                line_at=point_of(feet[i // len(stations), 0]),
                text_at=point_of(text_at[i]),
                arrows_outside=way.arrows_outside,
                value_first=way.value_first,
            ),
        )

    return Offer(proposals, make, LANE)


def _boxes(bare: LengthDimension, text_at: Array) -> Boxes:
    """The words' boxes: down past their own line, and as far up, so that no other line is nearer to them."""
    to_line = TEXT_GAP_RATIO * bare.height + BESIDE_LINE
    above, below = max(to_line - CLEAR, 0.0), max(to_line - DESCENT * bare.height - CLEAR * 0.5, 0.0)
    return block_boxes(
        text_at, bare.text_angle, block_width(bare), bare.height, above=above, below=below
    )


def _flat(level: Array, line_ends: Array, u: Array, n: Array) -> Array:
    """Dimension lines as rows, a level's ways one after another."""
    points = level[:, None, None, None] * n + line_ends[..., None] * u
    return np.asarray(points.reshape(-1, 4))


def _extensions(feet: Array, ends: Array, ways: int) -> Iterator[Array]:
    """Both extension lines of each level, for each way, a little past the dimension line."""
    for k in (0, 1):
        out = feet[:, k] - ends[k]
        past = out * (1.0 + PAST / np.maximum(np.hypot(*out.T), FLAT))[:, None]
        rows = np.concatenate([np.broadcast_to(ends[k], out.shape), ends[k] + past], axis=1)
        yield np.repeat(rows, ways, axis=0)


@dataclass(frozen=True)
class CheckCall:
    """A tape check: the distance between two points, lettered somewhere on the line between them."""

    name: str
    label: str
    start: Point
    end: Point
    _: KW_ONLY
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[PlaceBatch]:
        """Stations along the line, lettered on it, or just above or below it; at last with little room."""
        direction = bearing(self.start, self.end)
        bare = LengthDimension(
            self.name,
            self.start,
            self.end,
            direction,
            line_at=self.start,
            text_at=self.start,
            text_angle=readable(direction),
            label=self.label,
            height=self.height,
            line_drawn=False,
        )
        for apart, price in ((CHECK_APART, 0.0), (0.0, CHECK_CLOSE)):
            for beside, sides in ((0.0, np.zeros(1)), (CHECK_BESIDE, np.array([1.0, -1.0]))):
                yield PlaceBatch(price + beside, partial(self._offer, bare, sides, apart, price))

    def seam_batches(self) -> Iterator[PlaceBatch]:
        """No others."""
        yield from ()

    def _offer(self, bare: LengthDimension, sides: Array, apart: float, extra: float) -> Offer:
        """The words at each station between two stubs of the line, above (1), on (0) or below it (-1).

        With free paper `apart` mm more over and under them, at `extra` cost.
        """
        width, span = block_width(bare), distance(self.start, self.end)
        least = min((width / 2 + CHECK_STUB + 20.0) / span, 0.5)
        parts = np.tile(np.linspace(least, 1.0 - least, CHECK_STATIONS), len(sides))
        beside = np.repeat(sides, CHECK_STATIONS)
        start, u = np.array(self.start), np.array(unit(bare.direction))
        centres = start + parts[:, None] * (np.array(self.end) - start)
        off = (1.1 * beside - 0.5) * self.height
        text_at = centres + off[:, None] * np.array(unit(bare.text_angle + 90.0))
        near, far = width / 2 + 3.0, width / 2 + 3.0 + CHECK_STUB
        stubs = [np.concatenate([centres + s * near * u, centres + s * far * u], axis=1) for s in (1, -1)]
        index = np.arange(len(parts))
        boxes = block_boxes(text_at, bare.text_angle, width, self.height, above=apart, below=apart)
        price = extra + 30.0 * abs(parts - 0.5) + CHECK_BESIDE * abs(beside)
        lines = np.concatenate(stubs)
        proposals = Proposals(boxes, price, index, Pieces(lines), line_group=np.tile(index, 2))

        def make(i: int) -> Made:
            drawn = [Line(point_of(stub[i, :2]), point_of(stub[i, 2:]), Layer.DIM) for stub in stubs]
            return (replace(bare, text_at=point_of(text_at[i])), *drawn)

        return Offer(proposals, make)

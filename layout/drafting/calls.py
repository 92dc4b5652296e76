"""Callouts to be placed: each lists the places it could take, with what the place itself costs.

    LengthCall   a dimension; its line in ranks beside what it measures, either side
    CheckCall    a distance lettered on the straight line between its points
    AngleCall    an arc about a vertex, the value outside or inside it
    NoteCall     words beside a point, with a leader where they stand off

Prices are millimetre-like: a rank further out costs its distance, so short dimensions lie
inside long ones when they are placed first. Places come in batches with rising floors, so
that the search can stop early; a place's entities are made only once it is chosen.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import KW_ONLY, dataclass, replace

import numpy as np
from numpy.typing import NDArray

from layout.drafting.dimensions import block_width
from layout.drafting.entities import AngleDimension, Arc, Entity, LengthDimension, Line, Text
from layout.drafting.lettering import text_width
from layout.drafting.obstacles import HARD, Array, Proposals
from layout.drafting.pieces import arc_pieces
from layout.drafting.style import TEXT_CALLOUT, TEXT_NOTE, Layer
from layout.drafting.vector import Point, along, bearing, distance, middle, readable, unit

TEXT_GAP = 1.8
"""Baseline above its dimension line."""
CLEAR = 1.6
"""Free paper kept round lettering, so that a thick line beside it does not touch it."""
RANK = 4.0
"""Ranks are tried this far apart; two dimensions then lie a text height and a gap apart."""
NEAR_RANKS = 48.0
"""Farther out than this, ranks are tried twice as far apart."""
RADII_AT_ONCE = 5
RADIUS_PRICE = 5.0
"""For each radius further out than the first."""
RANKS_AT_ONCE = 8
"""Ranks priced in one go: array work is cheap once begun."""
FIRST_RANK = 13.0
LAST_RANK = 280.0
ROOM_FOR_ARROWS = 11.0
DESCENT = 0.3
"""Descender depth over capital height (ISO 3098 proportions)."""
CHECK_STUB = 14.0
CHECK_BESIDE = 9.0
"""Lettering beside the line of its check, rather than on it."""
RANK_PRICE = 0.6
"""Per millimetre that a dimension line stands off what it measures."""
WRONG_SIDE = 40.0
BEYOND = 34.0
"""Lettering past the end of its dimension line, rather than on it."""
LEADER_CLEAR = 6.0
"""A leader stops short of its point: nothing but the cross marks where the scriber goes."""
FACING = 0.25
"""Cosine of the widest angle at which words beside a point still lie on a side of it."""
NOTE_PRICE = 0.9
"""Per millimetre that a note stands off its point."""
LANE = 3.0
"""Half the width of the strip that other dimension lines keep off a dimension line."""


_RANKS = np.concatenate([np.arange(0.0, NEAR_RANKS, RANK), np.arange(NEAR_RANKS, LAST_RANK, 2 * RANK)])

Made = tuple[Entity, ...]


@dataclass(frozen=True)
class PlaceBatch:
    """Places of which none costs less than `floor`; `make(i)` draws the i-th."""

    floor: float
    proposals: Proposals
    make: Callable[[int], Made]
    lane: float = 0.0


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
        u, n = np.array(unit(self.direction)), np.array(unit(self.direction + 90.0))
        bare = LengthDimension(
            self.name,
            self.start,
            self.end,
            self.direction,
            line_at=self.start,
            text_at=self.start,
            text_angle=0.0,
            label=self.label,
            height=self.height,
        )
        width = block_width(bare)
        angle = readable(self.direction)
        ends = np.array([self.start, self.end])
        span, levels = ends @ u, ends @ n
        stations, extra, outside = _stations(span, width)
        ranks = self.clear + _RANKS[_RANKS <= max(self.last - self.clear, RANK)]
        for first in range(0, len(ranks), RANKS_AT_ONCE):
            out = ranks[first : first + RANKS_AT_ONCE]
            level = np.concatenate([levels.max() + out, levels.min() - out])
            wrong = [WRONG_SIDE if self.side not in (0, s) else 0.0 for s in (1, -1)]
            price = np.tile(RANK_PRICE * out, 2) + np.repeat(wrong, len(out))
            on_line = level[:, None, None] * n + stations[:, None] * u
            text_at = (on_line + TEXT_GAP * np.array(unit(angle + 90.0))).reshape(-1, 2)
            feet = level[:, None, None] * n + span[:, None] * u
            lines = np.concatenate(
                [
                    np.concatenate([feet[:, 0], feet[:, 1]], axis=1),
                    np.concatenate([np.broadcast_to(ends[0], feet[:, 0].shape), feet[:, 0]], axis=1),
                    np.concatenate([np.broadcast_to(ends[1], feet[:, 1].shape), feet[:, 1]], axis=1),
                ]
            )
            proposals = Proposals(
                _block_boxes(text_at, angle, width, self.height),
                (price[:, None] + extra).ravel(),
                np.repeat(np.arange(len(level)), len(stations)),
                lines,
                line_group=np.tile(np.arange(len(level)), 3),
            )

            def make(i: int, text_at: Array = text_at, feet: Array = feet) -> Made:
                g = i // len(stations)
                return (
                    replace(
                        bare,
                        line_at=_point(feet[g, 0]),
                        text_at=_point(text_at[i]),
                        text_angle=angle,
                        arrows_outside=outside,
                    ),
                )

            yield PlaceBatch(RANK_PRICE * float(out[0]), proposals, make, LANE)


def _stations(span: Array, width: float) -> tuple[Array, Array, bool]:
    """Where along a dimension line the middle of the lettering may lie, prices, arrows outside."""
    low, high = float(span.min()), float(span.max())
    length = high - low
    outside = length < 2.2 * ROOM_FOR_ARROWS
    beyond = width / 2 + (2.6 * ROOM_FOR_ARROWS if outside else 4.0)
    found = [(high + beyond, BEYOND), (low - beyond, BEYOND)]
    for part in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88):
        if min(part, 1 - part) * length >= width / 2 + ROOM_FOR_ARROWS / 2:
            found.append((low + part * length, 14.0 * abs(part - 0.5)))
    return np.array([f[0] for f in found]), np.array([f[1] for f in found]), outside


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
        """Stations along the line, lettered on it, or just above or below it."""
        direction = bearing(self.start, self.end)
        angle = readable(direction)
        bare = LengthDimension(
            self.name,
            self.start,
            self.end,
            direction,
            line_at=self.start,
            text_at=self.start,
            text_angle=angle,
            label=self.label,
            height=self.height,
            line_drawn=False,
        )
        width = block_width(bare)
        span = distance(self.start, self.end)
        least = min((width / 2 + CHECK_STUB + 20.0) / span, 0.5)
        parts = np.tile(np.linspace(least, 1.0 - least, 41), 3)
        beside = np.repeat((0.0, 1.0, -1.0), 41)
        centres = [middle(self.start, self.end, float(part)) for part in parts]
        text_at = np.array(
            [
                along(c, angle + 90.0, (1.1 * s - 0.5) * self.height)
                for c, s in zip(centres, beside, strict=True)
            ]
        )
        near, far = width / 2 + 3.0, width / 2 + 3.0 + CHECK_STUB
        stubs = [
            [Line(along(c, direction, s * near), along(c, direction, s * far), Layer.DIM) for s in (1, -1)]
            for c in centres
        ]
        lines = np.array([(*line.start, *line.end) for pair in stubs for line in pair])
        index = np.arange(len(parts))
        boxes = _block_boxes(text_at, angle, width, self.height)
        price = 30.0 * abs(parts - 0.5) + CHECK_BESIDE * abs(beside)
        proposals = Proposals(boxes, price, index, lines, line_group=np.repeat(index, 2))
        yield PlaceBatch(
            0.0, proposals, lambda i: (replace(bare, text_at=_point(text_at[i])), stubs[i][0], stubs[i][1])
        )


@dataclass(frozen=True)
class AngleCall:
    """An angle counter-clockwise from `start` to `end` about `vertex`."""

    name: str
    label: str
    _: KW_ONLY
    vertex: Point
    start: Point
    end: Point
    radii: tuple[float, ...]
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[PlaceBatch]:
        """Radii, the value level, outside or inside the arc at several stations, or past its ends."""
        bare = AngleDimension(
            self.name,
            self.vertex,
            self.start,
            self.end,
            radius=self.radii[0],
            text_at=self.vertex,
            label=self.label,
            height=self.height,
        )
        width = block_width(bare)
        half = (width / 2 + 2.0, self.height / 2 + 2.0)
        parts, extra = np.array(_ANGLE_STATIONS).T
        direction = np.radians(bare.start_angle + parts * bare.value)
        u = np.stack([np.cos(direction), np.sin(direction)], axis=1)
        beyond = abs(u) @ np.array(half)
        for first in range(0, len(self.radii), RADII_AT_ONCE):
            places, lines, groups = [], [], []
            for rank, radius in enumerate(self.radii[first : first + RADII_AT_ONCE]):
                within, fits = _within(radius, u, half)
                away = np.concatenate([radius + beyond, within])
                inside = np.where(fits, extra + 4.0, HARD)
                price = RADIUS_PRICE * (first + rank) + np.concatenate([extra, inside])
                places.append(np.column_stack([away[:, None] * np.concatenate([u, u]), price]))
                arc = Arc(
                    self.vertex, radius, bare.start_angle, bare.start_angle + bare.value, layer=Layer.DIM
                )
                pieces = [(*a, *b) for a, b in arc_pieces(arc)]
                lines += pieces
                groups += [rank] * len(pieces)
            found = np.concatenate(places)
            text_at = np.array(self.vertex) + found[:, :2] - (0.0, self.height / 2)
            each = len(places[0])
            proposals = Proposals(
                _block_boxes(text_at, 0.0, width, self.height),
                found[:, 2],
                np.repeat(np.arange(len(places)), each),
                np.array(lines),
                line_group=np.array(groups),
            )

            def make(i: int, first: int = first, text_at: Array = text_at, each: int = each) -> Made:
                return (replace(bare, radius=self.radii[first + i // each], text_at=_point(text_at[i])),)

            yield PlaceBatch(RADIUS_PRICE * first, proposals, make)


def _within(radius: float, u: Array, half: tuple[float, float]) -> tuple[Array, NDArray[np.bool_]]:
    """How far out along each of `u` (n, 2) a box lies wholly inside a circle, and whether it does at all."""
    corners = np.array([(s * half[0], t * half[1]) for s in (1, -1) for t in (1, -1)])
    over = u @ corners.T
    room = over**2 - (corners**2).sum(axis=1) + radius**2
    away = (np.sqrt(np.maximum(room, 0.0)) - over).min(axis=1)
    return np.maximum(away, 0.0), (room >= 0.0).all(axis=1) & (away >= 0.3 * radius)


_ANGLE_STATIONS = ((0.5, 0.0), (0.35, 3.0), (0.65, 3.0), (0.2, 6.0), (0.8, 6.0), (-0.2, 50.0), (1.2, 50.0))
"""Where along the arc its value may stand, as a part of the sweep, and what that costs."""


Led = NDArray[np.bool_]
UNLED = 10.0
"""Words farther than this from their point have a leader, mm: a long line may lie that far off."""


@dataclass(frozen=True)
class NoteCall:
    """Words beside `at`, on the side that `facing` (degrees) names; farther than `near` they get a leader."""

    text: str
    at: Point
    height: float = TEXT_NOTE
    layer: Layer = Layer.NOTE
    _: KW_ONLY
    near: float = 9.0
    far: float = 140.0
    facing: float | None = None

    @property
    def name(self) -> str:
        """What is told where no clean place is found."""
        return self.text

    def batches(self) -> Iterator[PlaceBatch]:
        """Directions all round, from close by to far off."""
        width = text_width(self.text, self.height)
        half = np.array([width / 2, self.height / 2])
        turn = np.radians(15.0 * np.arange(24) + 7.5)
        if self.facing is not None:
            turn = turn[np.cos(turn - math.radians(self.facing)) > FACING]
        u = np.stack([np.cos(turn), np.sin(turn)], axis=1)
        away = np.arange(0.6 * self.near, self.far, 5.0)
        for first in range(0, len(away), 4):
            off = np.repeat(away[first : first + 4], len(u))
            directions = np.tile(u, (len(off) // len(u), 1))
            centre = np.array(self.at) + (off + abs(directions) @ half)[:, None] * directions
            text_at = centre - (0.0, self.height / 2)
            room = (half + 1.0) / np.maximum(abs(directions), 1e-9)
            lines = np.concatenate(
                [np.array(self.at) + LEADER_CLEAR * directions,
                 centre - np.minimum(room.min(axis=1), off)[:, None] * directions], axis=1)  # fmt: skip
            index = np.arange(len(off))
            beyond = np.maximum(abs(centre - np.array(self.at)) - half, 0.0)
            led = (off > self.near) | (np.hypot(beyond[:, 0], beyond[:, 1]) > UNLED)
            boxes = _block_boxes(text_at, 0.0, width, self.height)
            proposals = Proposals(boxes, NOTE_PRICE * off, index, lines[led], line_group=index[led])

            def make(i: int, text_at: Array = text_at, lines: Array = lines, led: Led = led) -> Made:
                x, y = _point(text_at[i])
                words = Text((x - width / 2, y), self.text, self.height, self.layer)
                if not led[i]:
                    return (words,)
                return words, Line(_point(lines[i, :2]), _point(lines[i, 2:]), self.layer)

            yield PlaceBatch(NOTE_PRICE * float(off[0]), proposals, make)


Call = LengthCall | CheckCall | AngleCall | NoteCall


def _block_boxes(text_at: Array, angle: float, width: float, height: float) -> Array:
    """Boxes (n, 6) round blocks whose baselines' middles are `text_at` (n, 2), with clear paper round."""
    low, high = -DESCENT * height - CLEAR * 0.5, height + CLEAR
    centre = text_at + (low + high) / 2 * np.array(unit(angle + 90.0))
    rest = (width / 2 + CLEAR, (high - low) / 2, *unit(angle))
    return np.concatenate([centre, np.broadcast_to(rest, (len(text_at), 4))], axis=1)


def _point(row: Array) -> Point:
    x, y = row.tolist()
    return x, y

"""Callouts to be placed: each lists the places it could take, with what the place itself costs.

    LengthCall   a dimension; its line in ranks beside what it measures, either side
    CheckCall    a distance lettered on the straight line between its points
    AngleCall    an arc about a vertex, the value outside or inside it
    NoteCall     words beside a point, with a leader where they stand off

Prices are millimetre-like: a rank further out costs its distance, so short dimensions lie
inside long ones when they are placed first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from layout.drafting.dimensions import block_width, explode
from layout.drafting.entities import AngleDimension, Arc, Dimension, Entity, Line, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.obstacles import Box, Proposal
from layout.drafting.style import TEXT_CALLOUT, TEXT_NOTE, Layer
from layout.drafting.vector import Point, along, bearing, distance, middle, readable, unit

TEXT_GAP = 1.8
"""Baseline above its dimension line."""
CLEAR = 1.6
"""Free paper kept round lettering, so that a thick line beside it does not touch it."""
RANK = 4.0
"""Ranks are tried this far apart; two dimensions then lie a text height and a gap apart."""
RANKS_AT_ONCE = 5
"""Ranks priced in one go: array work is cheap once begun."""
FIRST_RANK = 13.0
LAST_RANK = 280.0
ROOM_FOR_ARROWS = 11.0
DESCENT = 0.3
"""Descender depth over capital height (ISO 3098 proportions)."""
CHECK_STUB = 14.0
RANK_PRICE = 0.6
"""Per millimetre that a dimension line stands off what it measures."""
WRONG_SIDE = 40.0
BEYOND = 34.0
"""Lettering past the end of its dimension line, rather than on it."""
LEADER_CLEAR = 6.0
"""A leader stops short of its point: nothing but the cross marks where the scriber goes."""
NOTE_PRICE = 0.9
"""Per millimetre that a note stands off its point."""


@dataclass(frozen=True, slots=True)
class Place:
    """One way to draw a callout: what it would cost, and how to make it once chosen."""

    proposal: Proposal
    make: Callable[[], tuple[Entity, ...]]
    lane: Box | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """Places of which none costs less than `floor`; batches come with rising floors."""

    floor: float
    places: list[Place]


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
    direction: float
    side: int = 0
    clear: float = FIRST_RANK
    last: float = LAST_RANK
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[Batch]:
        """Ranks on both sides, lettering along each at several stations or beyond its ends."""
        n = along((0.0, 0.0), self.direction + 90.0, 1.0)
        levels = [self.start[0] * n[0] + self.start[1] * n[1], self.end[0] * n[0] + self.end[1] * n[1]]
        bare = Dimension(self.name, self.start, self.end, self.direction, self.start, self.start, 0.0,
                         self.label, height=self.height)  # fmt: skip
        width = block_width(bare)
        ranks = [self.clear + k * RANK for k in range(int((self.last - self.clear) / RANK) + 1)]
        for first in range(0, len(ranks), RANKS_AT_ONCE):
            places: list[Place] = []
            for out in ranks[first : first + RANKS_AT_ONCE]:
                for sign, edge in ((1, max(levels)), (-1, min(levels))):
                    price = RANK_PRICE * out + (WRONG_SIDE if self.side not in (0, sign) else 0.0)
                    level = edge + sign * out
                    places += _on_line(replace(bare, line_at=(n[0] * level, n[1] * level)), width, price)
            yield Batch(RANK_PRICE * ranks[first], places)


def _on_line(bare: Dimension, width: float, price: float) -> list[Place]:
    """Every place on one dimension line."""
    a, b = (_foot(p, bare.line_at, bare.direction) for p in (bare.start, bare.end))
    angle = readable(bare.direction)
    lines = ((a, b), (bare.start, a), (bare.end, b))
    lane = Box(middle(a, b), distance(a, b) / 2, 3.0, bare.direction)
    places = []
    for at, extra, outside in _stations(a, b, width):
        text_at = along(at, angle + 90.0, TEXT_GAP)
        made = partial(_dimension, bare, text_at, angle, outside)
        box = _block_box(text_at, angle, width, bare.height)
        places.append(Place(Proposal(box, lines, price + extra), made, lane))
    return places


def _dimension(bare: Dimension, text_at: Point, angle: float, outside: bool) -> tuple[Entity, ...]:
    return (replace(bare, text_at=text_at, text_angle=angle, arrows_outside=outside),)


def _stations(a: Point, b: Point, width: float) -> list[tuple[Point, float, bool]]:
    """Where along a dimension line the middle of the lettering may lie, price, arrows outside."""
    span = distance(a, b)
    result: list[tuple[Point, float, bool]] = []
    arrows_outside = span < 2.2 * ROOM_FOR_ARROWS
    if width + ROOM_FOR_ARROWS <= span:
        for part in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88):
            if min(part, 1 - part) * span >= width / 2 + ROOM_FOR_ARROWS / 2:
                result.append((middle(a, b, part), 14.0 * abs(part - 0.5), False))
    beyond = width / 2 + (2.6 * ROOM_FOR_ARROWS if arrows_outside else 4.0)
    direction = bearing(a, b)
    result.append((along(b, direction, beyond), BEYOND, arrows_outside))
    result.append((along(a, direction + 180.0, beyond), BEYOND, arrows_outside))
    return result


@dataclass(frozen=True)
class CheckCall:
    """A tape check: the distance between two points, lettered somewhere on the line between them."""

    name: str
    label: str
    start: Point
    end: Point
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[Batch]:
        """Stations along the line, from its middle outwards."""
        direction = bearing(self.start, self.end)
        angle = readable(direction)
        bare = Dimension(self.name, self.start, self.end, direction, self.start, self.start, angle,
                         self.label, height=self.height, line_drawn=False)  # fmt: skip
        width = block_width(bare)
        span = distance(self.start, self.end)
        stations = [0.5 + s * k * 0.03 for k in range(15) for s in (1, -1)]
        for part in stations:
            if min(part, 1 - part) * span < width / 2 + CHECK_STUB + 30.0:
                continue
            centre = middle(self.start, self.end, part)
            text_at = along(centre, angle - 90.0, 0.5 * self.height)
            stubs = tuple(
                Line(along(centre, direction, s * (width / 2 + 3.0)),
                     along(centre, direction, s * (width / 2 + 3.0 + CHECK_STUB)), Layer.DIM)
                for s in (1.0, -1.0)
            )  # fmt: skip
            made: tuple[Entity, ...] = (replace(bare, text_at=text_at), *stubs)
            price = 30.0 * abs(part - 0.5)
            proposal = Proposal(_block_box(text_at, angle, width, self.height), _pieces(stubs), price)
            yield Batch(price, [Place(proposal, partial(_ready, made))])


@dataclass(frozen=True)
class AngleCall:
    """An angle counter-clockwise from `start` to `end` about `vertex`."""

    name: str
    label: str
    vertex: Point
    start: Point
    end: Point
    radii: tuple[float, ...]
    height: float = TEXT_CALLOUT

    def batches(self) -> Iterator[Batch]:
        """Radii, the value level, outside or inside the arc at several stations, or past its ends."""
        bare = AngleDimension(self.name, self.vertex, self.start, self.end, self.radii[0],
                              self.vertex, 0.0, self.label, height=self.height)  # fmt: skip
        width = block_width(bare)
        first, sweep = bare.start_angle, bare.value
        half = (width / 2 + 2.0, self.height / 2 + 2.0)
        for rank, radius in enumerate(self.radii):
            places: list[Place] = []
            arc = _pieces(e for e in explode(replace(bare, radius=radius)) if not isinstance(e, Text))
            for part, extra in ((0.5, 0.0), (0.35, 3.0), (0.65, 3.0), (0.2, 6.0), (0.8, 6.0),
                                (-0.25, 16.0), (1.25, 16.0)):  # fmt: skip
                direction = first + part * sweep
                for inside in (False, True):
                    u = unit(direction)
                    reach = min(half[0] / max(abs(u[0]), 1e-9), half[1] / max(abs(u[1]), 1e-9))
                    reach = min(reach, math.hypot(*half))
                    at = radius - reach if inside else radius + reach
                    if at < reach:
                        continue
                    centre = along(self.vertex, direction, at)
                    text_at = (centre[0], centre[1] - self.height / 2)
                    made = (replace(bare, radius=radius, text_at=text_at),)
                    box = _block_box(text_at, 0.0, width, self.height)
                    price = 5.0 * rank + extra + (4.0 if inside else 0.0)
                    places.append(Place(Proposal(box, arc, price), partial(_ready, made)))
            yield Batch(5.0 * rank, places)


@dataclass(frozen=True)
class NoteCall:
    """Words beside `at`; farther than `near` they get a leader."""

    text: str
    at: Point
    height: float = TEXT_NOTE
    layer: Layer = Layer.NOTE
    near: float = 9.0
    far: float = 140.0
    prefer: float | None = None

    def batches(self) -> Iterator[Batch]:
        """Directions all round, from close by to far off; `prefer` is the direction liked, degrees."""
        width = text_width(self.text, self.height)
        half = (width / 2, self.height / 2)
        off = self.near * 0.6
        while off <= self.far:
            places = []
            for k in range(24):
                direction = 15.0 * k + 7.5
                u = unit(direction)
                reach = half[0] * abs(u[0]) + half[1] * abs(u[1])
                centre = along(self.at, direction, off + reach)
                places.append(self._place(centre, direction, off, width))
            yield Batch(NOTE_PRICE * off, places)
            off += 5.0

    def _place(self, centre: Point, direction: float, off: float, width: float) -> Place:
        text_at = (centre[0], centre[1] - self.height / 2)
        text = Text((text_at[0] - width / 2, text_at[1]), self.text, self.height, self.layer)
        box = _block_box(text_at, 0.0, width, self.height)
        leader: tuple[Entity, ...] = ()
        if off > self.near:
            end = _towards(centre, self.at, width / 2 + 1.0, self.height / 2 + 1.0)
            leader = (Line(along(self.at, direction, LEADER_CLEAR), end, self.layer),)
        turn = 0.0
        if self.prefer is not None:
            turn = abs((direction - self.prefer + 180.0) % 360.0 - 180.0) / 12.0
        proposal = Proposal(box, _pieces(leader), NOTE_PRICE * off + turn)
        return Place(proposal, partial(_ready, (text, *leader)))


Call = LengthCall | CheckCall | AngleCall | NoteCall


def _ready(entities: tuple[Entity, ...]) -> tuple[Entity, ...]:
    return entities


def _block_box(text_at: Point, angle: float, width: float, height: float) -> Box:
    """The box round a block whose baseline's middle is `text_at`, with clear paper round it."""
    low, high = -DESCENT * height - CLEAR * 0.5, height * 1.0 + CLEAR
    centre = along(text_at, angle + 90.0, (low + high) / 2)
    return Box(centre, width / 2 + CLEAR, (high - low) / 2, angle)


def _foot(p: Point, through: Point, direction: float) -> Point:
    u = unit(direction)
    t = (p[0] - through[0]) * u[0] + (p[1] - through[1]) * u[1]
    return through[0] + t * u[0], through[1] + t * u[1]


def _towards(centre: Point, target: Point, half_w: float, half_h: float) -> Point:
    """Where the line from a box's centre to `target` leaves the box."""
    dx, dy = target[0] - centre[0], target[1] - centre[1]
    scale = min(half_w / max(abs(dx), 1e-9), half_h / max(abs(dy), 1e-9), 1.0)
    return centre[0] + scale * dx, centre[1] + scale * dy


def _pieces(entities: Iterator[Entity] | tuple[Entity, ...]) -> tuple[tuple[Point, Point], ...]:
    """Straight pieces near enough to drawn entities for judging what they cross."""
    result: list[tuple[Point, Point]] = []
    for e in entities:
        match e:
            case Line():
                result.append((e.start, e.end))
            case Polyline():
                pts = (*e.points, e.points[0]) if e.closed else e.points
                result.extend(pairwise(pts))
            case Arc():
                result.extend(arc_pieces(e))
            case _:
                raise TypeError(f"no straight pieces for {type(e).__name__}")
    return tuple(result)


def arc_pieces(arc: Arc, step: float = 10.0) -> list[tuple[Point, Point]]:
    """Chords of at most `step` degrees."""
    sweep = arc.end_angle - arc.start_angle
    count = max(1, math.ceil(sweep / step))
    pts = [along(arc.centre, arc.start_angle + sweep * k / count, arc.radius) for k in range(count + 1)]
    return list(pairwise(pts))

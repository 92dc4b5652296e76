"""Notes: words beside a point, with a leader to it where they stand off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import KW_ONLY, dataclass, replace
from functools import partial

import numpy as np

from layout.drafting.calls.batch import DESCENT, Made, Offer, PlaceBatch, block_boxes, point_of
from layout.drafting.entities import Circle, Line, Text
from layout.drafting.lettering import line_step, text_width
from layout.drafting.meeting import Array, Pieces
from layout.drafting.obstacles import Proposals
from layout.drafting.style import TEXT_NOTE, THIN, Layer, Pen
from layout.drafting.vector import Point
from layout.drafting.wrapping import wrap

FACING = 0.25
"""Cosine of the widest angle at which words beside a point still lie on a side of it."""
NOTE_PRICE = 0.9
"""Per millimetre that a note stands off its point."""
RING = 1.5
"""Radius of the ring that ends a leader on what it names, mm."""
EDGEWISE = 2.5
"""Words stand with their nearest edge or corner off the point; straight above and below, in their middle."""
OFF_WORDS = 0.3
"""Between the descenders of words and the leader that ends under them, mm."""
LONG, TOO_LONG = 40.0, 2000.0
"""A leader longer than this, mm, costs so much more: it is hard to follow."""


NEAR_RINGS = 2
"""So many distances from the point are priced first, then all others but for long leaders in one go."""
LONG_LINE, BROKEN, BROKEN_PRICE = 25.0, 0.65, 100.0
"""Lines longer than this, mm, may be broken to this part of their length; its price: over any way off."""
UNLED = 10.0
"""Words farther than this from their point have a leader, mm: a long line may lie that far off."""


def long_leader(drawn: Made) -> bool:
    """Whether a note as drawn has a leader that is hard to follow."""
    words = any(isinstance(e, Text) for e in drawn)
    return words and any(isinstance(e, Line) and math.dist(e.start, e.end) > LONG for e in drawn)


@dataclass(frozen=True)
class NoteCall:
    """Words beside `at`, on the side that `facing` (degrees) names; farther than `near` they get a leader.

    The words stand in as many lines as they are written in. The leader ends in a ring about `at`, or on the
    edge of the mark that is drawn there, `mark` mm in radius.
    """

    text: str
    at: Point
    height: float = TEXT_NOTE
    layer: Layer = Layer.NOTE
    _: KW_ONLY
    near: float = 9.0
    far: float = 80.0
    mark: float = 0.0
    facing: float | None = None

    @property
    def name(self) -> str:
        """What is told where no clean place is found."""
        return self.text.replace("\n", "; ")

    def batches(self) -> Iterator[PlaceBatch]:
        """Directions all round, from close by to far off; then the same in shorter lines."""
        turn = np.radians(10.0 * np.arange(36) + 5.0)
        if self.facing is not None:
            turn = turn[np.cos(turn - math.radians(self.facing)) > FACING]
        u = np.stack([np.cos(turn), np.sin(turn)], axis=1)
        away = np.arange(0.6 * self.near, self.far, 3.0)
        *near, long = np.split(away, [NEAR_RINGS, int(np.searchsorted(away, LONG, side="right"))])
        narrower = self.narrower
        for rings, extra in ((near, 0.0), ([long], TOO_LONG)):
            yield from self._batches(rings, u, extra)
            if narrower is not None:
                yield from narrower._batches(rings, u, BROKEN_PRICE + extra)

    def _batches(self, parts: Sequence[Array], around: Array, extra: float) -> Iterator[PlaceBatch]:
        """Batches of rings (k,) mm from the point, at `extra` cost."""
        for rings in parts:
            if len(rings):
                floor = NOTE_PRICE * float(rings[0]) + extra
                yield PlaceBatch(floor, partial(self._offer, rings, around, extra))

    def seam_batches(self) -> Iterator[PlaceBatch]:
        """No others."""
        yield from ()

    @property
    def narrower(self) -> NoteCall | None:
        """The same in shorter lines, where a line is long and may be broken between words."""
        lines_of = self.text.split("\n")
        width = max(text_width(line, self.height) for line in lines_of)
        if width <= LONG_LINE:
            return None
        broken = [part for line in lines_of for part in wrap(line, BROKEN * width, self.height)]
        narrow = max(text_width(line, self.height) for line in broken)
        return replace(self, text="\n".join(broken)) if narrow < width else None

    def _offer(self, rings: Array, around: Array, extra: float) -> Offer:
        """The words each of `rings` (k,) mm from their point, `around` (n, 2) it, at `extra` cost."""
        off, directions = np.repeat(rings, len(around)), np.tile(around, (len(rings), 1))
        lines_of = self.text.split("\n")
        width, step = max(text_width(line, self.height) for line in lines_of), line_step(self.height)
        above, pad = (len(lines_of) - 1) * step, DESCENT * self.height + OFF_WORDS
        half = np.array([width / 2, (self.height + above) / 2])
        aside = half * np.clip(EDGEWISE * directions, -1.0, 1.0)
        centre = np.array(self.at) + off[:, None] * directions + aside
        text_at = centre - (0.0, half[1])
        near = np.clip(np.array(self.at), centre - half - pad, centre + half + pad)
        lines = np.concatenate([np.array(self.at) + self.mark * directions, near], axis=1)
        index = np.arange(len(off))
        beyond = np.maximum(abs(centre - np.array(self.at)) - half, 0.0)
        led = (off > self.near) | (np.hypot(beyond[:, 0], beyond[:, 1]) > UNLED)
        boxes = block_boxes(text_at, 0.0, width, self.height, above=above)
        price = NOTE_PRICE * off + extra
        proposals = Proposals(boxes, price, index, Pieces(lines[led]), line_group=index[led], leaders=True)

        def make(i: int) -> Made:
            x, y = point_of(text_at[i])
            words = [
                Text((x - width / 2, y + above - k * step), line, self.height, self.layer)
                for k, line in enumerate(lines_of)
            ]
            if not led[i]:
                return tuple(words)
            leader = Line(point_of(lines[i, :2]), point_of(lines[i, 2:]), self.layer)
            ring = () if self.mark else (Circle(self.at, RING, self.layer, Pen(THIN)),)
            return (*words, leader, *ring)

        return Offer(proposals, make)

"""Angles: an arc about a vertex in ranks of radii, the value level, outside or inside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import KW_ONLY, dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from layout.drafting.calls.batch import Offer, PlaceBatch, arrowheads, block_boxes, point_of
from layout.drafting.dimensions import ARROW_RATIO, block_width, tip_and_way
from layout.drafting.dimensions import lines as dimension_lines
from layout.drafting.entities import AngleDimension, Polyline
from layout.drafting.meeting import Array, Pieces
from layout.drafting.obstacles import HARD, Proposals
from layout.drafting.pieces import pieces
from layout.drafting.style import TEXT_CALLOUT
from layout.drafting.vector import Point

RADII_AT_ONCE = 5
RADIUS_PRICE = 5.0
"""For each radius further out than the first."""
UNNAMED = 200.0
"""An angle's value alone: more than any radius costs, less than none."""
SMALLER = (0.5, 0.65, 0.8)
"""Arcs for the value alone, as parts of the first radius."""


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
        yield from self._named(self.label, self.radii, 0.0)

    def seam_batches(self) -> Iterator[PlaceBatch]:
        """The value without its name, on smaller arcs too."""
        if self.label:
            smaller = tuple(part * self.radii[0] for part in SMALLER)
            yield from self._named("", (*smaller, *self.radii), UNNAMED)

    def _named(self, label: str, radii: Sequence[float], more: float) -> Iterator[PlaceBatch]:
        """Every place of the value with that name before it; `more` is what they cost beside their own."""
        bare = AngleDimension(
            self.name,
            self.vertex,
            self.start,
            self.end,
            radius=radii[0],
            text_at=self.vertex,
            label=label,
            height=self.height,
        )
        for first in range(0, len(radii), RADII_AT_ONCE):
            some, price = radii[first : first + RADII_AT_ONCE], more + RADIUS_PRICE * first
            yield PlaceBatch(price, partial(_offer, bare, some, price))


def _offer(bare: AngleDimension, radii: Sequence[float], price: float) -> Offer:
    """The value at every station of arcs of these radii; `price` is what the first costs beside its own."""
    half = (block_width(bare) / 2 + 2.0, bare.height / 2 + 2.0)
    parts, extra = np.array(_ANGLE_STATIONS).T
    direction = np.radians(bare.start_angle + parts * bare.value)
    u = np.stack([np.cos(direction), np.sin(direction)], axis=1)
    beyond = abs(u) @ np.array(half)
    places, lines, groups, arrows, arrow_groups = [], [], [], [], []
    for rank, radius in enumerate(radii):
        within, fits = _within(radius, u, half)
        away = np.concatenate([radius + beyond, within])
        inside = np.where(fits, extra + 4.0, HARD)
        prices = price + RADIUS_PRICE * rank + np.concatenate([extra, inside])
        places.append(np.column_stack([away[:, None] * np.concatenate([u, u]), prices]))
        drawn = dimension_lines(replace(bare, radius=radius))
        drawn_pieces = [(*a, *b) for e in drawn if not isinstance(e, Polyline) for a, b in pieces(e)]
        lines += drawn_pieces
        groups += [rank] * len(drawn_pieces)
        heads = [tip_and_way(e) for e in drawn if isinstance(e, Polyline)]
        arrows += heads
        arrow_groups += [rank] * len(heads)
    found = np.concatenate(places)
    text_at = np.array(bare.vertex) + found[:, :2] - (0.0, bare.height / 2)
    each = len(places[0])
    tips, pointing = np.array(arrows).reshape(-1, 2, 2).swapaxes(0, 1)
    proposals = Proposals(
        block_boxes(text_at, 0.0, block_width(bare), bare.height),
        found[:, 2],
        np.repeat(np.arange(len(places)), each),
        Pieces(np.array(lines)),
        line_group=np.array(groups),
        arrows=arrowheads(tips, pointing, ARROW_RATIO * bare.height),
        arrow_group=np.array(arrow_groups, dtype=np.intp),
    )
    return Offer(
        proposals, lambda i: (replace(bare, radius=radii[i // each], text_at=point_of(text_at[i])),)
    )


def _within(radius: float, u: Array, half: tuple[float, float]) -> tuple[Array, NDArray[np.bool_]]:
    """How far out along each of `u` (n, 2) a box lies wholly inside a circle, and whether it does at all."""
    corners = np.array([(s * half[0], t * half[1]) for s in (1, -1) for t in (1, -1)])
    over = u @ corners.T
    room = over**2 - (corners**2).sum(axis=1) + radius**2
    away = (np.sqrt(np.maximum(room, 0.0)) - over).min(axis=1)
    return np.maximum(away, 0.0), (room >= 0.0).all(axis=1) & (away >= 0.3 * radius)


_ANGLE_STATIONS = ((0.5, 0.0), (0.35, 3.0), (0.65, 3.0), (0.2, 6.0), (0.8, 6.0), (-0.2, 50.0), (1.2, 50.0))
"""Where along the arc its value may stand, as a part of the sweep, and what that costs."""

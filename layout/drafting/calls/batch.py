"""What every call offers: places in batches, each with its lettering's box, its lines and its arrowheads."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from layout.drafting.dimensions import ARROW_ANGLE
from layout.drafting.entities import Entity
from layout.drafting.meeting import Array, Boxes
from layout.drafting.obstacles import Proposals
from layout.drafting.vector import Point, unit

CLEAR = 1.6
"""Free paper kept round lettering, so that a thick line beside it does not touch it."""
DESCENT = 0.3
"""Descender depth over capital height (ISO 3098 proportions)."""

Made = tuple[Entity, ...]


@dataclass(frozen=True)
class Offer:
    """Places as proposals; `make(i)` draws the i-th; `lane` mm beside its first line are kept free."""

    proposals: Proposals
    make: Callable[[int], Made]
    lane: float = 0.0


@dataclass(frozen=True)
class PlaceBatch:
    """Places of which none costs less than `floor`, worked out once the search comes to them."""

    floor: float
    worked_out: Callable[[], Offer]

    @cached_property
    def offer(self) -> Offer:
        """The places themselves."""
        return self.worked_out()


def block_boxes(
    text_at: Array, angle: float, width: float, height: float, *, above: float = 0.0, below: float = 0.0
) -> Boxes:
    """Boxes (n) round blocks whose baselines' middles are `text_at` (n, 2), with clear paper round.

    `above` and `below` are what else belongs to a block, over its capitals and under its descenders, mm.
    """
    low, high = -DESCENT * height - CLEAR * 0.5 - below, height + above + CLEAR
    centre = text_at + (low + high) / 2 * np.array(unit(angle + 90.0))
    rest = (width / 2 + CLEAR, (high - low) / 2, *unit(angle))
    return Boxes(np.concatenate([centre, np.broadcast_to(rest, (len(text_at), 4))], axis=1))


def arrowheads(tips: Array, pointing: Array, length: float) -> Array:
    """Barb, tip, barb of arrowheads at `tips` (n, 2) that point along the unit vectors `pointing` (n, 2)."""
    half = length * np.tan(np.radians(ARROW_ANGLE / 2))
    back, across = tips - length * pointing, half * pointing[:, ::-1] * (-1.0, 1.0)
    return np.stack([back + across, tips, back - across], axis=1)


def point_of(row: Array) -> Point:
    """A row of coordinates as a point."""
    x, y = row.tolist()
    return x, y

"""The places one callout may take: those that what is fixed leaves clean, priced as far as the search asks.

What is fixed (outlines, crosses, the edges of pages) rules a place out once and for all; only what other
callouts put in the way changes while they are placed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from layout.drafting.calls.batch import Offer, PlaceBatch
from layout.drafting.entities import Entity
from layout.drafting.meeting import Array, Indices
from layout.drafting.obstacles import Counted, Obstacles, Proposals, pieces_of_choice

DIMENSION_LINE_PRICE = 3000.0
"""Lettering across a thin line of another callout: only where there is no other place."""
CROSSED = 2500.0
"""A callout that costs this lies on something or is crossed: less than one line through its words."""


class TakenPlace(NamedTuple):
    """A place taken: what is drawn there, what it puts in others' way, its price among what is fixed."""

    entities: tuple[Entity, ...]
    proposal: Proposals
    takes: Obstacles
    price: float

    @property
    def crossed(self) -> float:
        """What it pays for what is fixed, its own price apart."""
        return self.price - float(self.proposal.prices[0])


@dataclass(frozen=True)
class _Clean:
    """The places of a batch that are clean among what is fixed: `index` (n,) in it, `prices` (n,) there."""

    offer: Offer
    index: Indices
    prices: Array

    def choice(self, k: int) -> TakenPlace:
        """The k-th, drawn."""
        proposal = self.offer.proposals.some(self.index[k : k + 1])
        takes = pieces_of_choice(proposal, DIMENSION_LINE_PRICE, self.offer.lane)
        return TakenPlace(self.offer.make(int(self.index[k])), proposal, takes, float(self.prices[k]))


class Places:
    """The places of one callout. What was priced once among what is fixed is kept for the next search."""

    def __init__(self, batches: Iterator[PlaceBatch], fixed: Obstacles) -> None:
        self._more, self._fixed = batches, fixed
        self._seen: list[PlaceBatch] = []
        self._priced: list[_Clean] = []

    def cheapest(
        self, taken: Obstacles, counted: Counted | None = None, under: float = math.inf
    ) -> TakenPlace | None:
        """The cheapest place among what is taken and counts; None where none costs less than `under`."""
        best: tuple[_Clean, int] | None = None
        least = under
        for k, batch in enumerate(self._batches()):
            if batch.floor >= least:
                break
            if k == len(self._priced):
                self._priced.append(_Clean(batch.offer, *self._fixed.prices(batch.offer.proposals, CROSSED)))
            clean = self._priced[k]
            index = np.flatnonzero(clean.prices < least)
            if not len(index):
                continue
            offered = clean.offer.proposals.some(clean.index[index])
            prices = clean.prices[index] + taken.crossing(offered, counted)
            i = int(np.argmin(prices))
            if prices[i] < least:
                best, least = (clean, int(index[i])), float(prices[i])
        return None if best is None else best[0].choice(best[1])

    def _batches(self) -> Iterator[PlaceBatch]:
        """Those seen in earlier searches, then new ones as far as asked."""
        yield from self._seen
        for batch in self._more:
            self._seen.append(batch)
            yield batch

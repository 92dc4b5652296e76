"""The places one callout may take: those that what is drawn leaves clean, priced as far as the search asks.

What is drawn (outlines, crosses), what is settled and the edges of pages rule a place out once and for all;
only what other callouts put in the way changes while they are placed.

    PlaceBatch    places as a call offers them (calls/batch.py)
    CleanBatch    those that what is drawn leaves clean, on whatever paper
    Places        those of all batches that lie on the pages, as far as a search asks
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple

import numpy as np

from layout.drafting.calls.batch import Made, PlaceBatch
from layout.drafting.entities import Entity
from layout.drafting.meeting import Array, Indices
from layout.drafting.obstacles import NOTHING, Obstacles, Proposals, pieces_of_choice
from layout.drafting.rooms import Rooms

DIMENSION_LINE_PRICE = 3000.0
"""Lettering across a thin line of another callout: only where there is no other place."""
CROSSED = 2500.0
"""A callout that costs this lies on something or is crossed: less than one line through its words."""


class TakenPlace(NamedTuple):
    """A place taken: what is drawn there, what it puts in others' way, its price among what is drawn."""

    entities: tuple[Entity, ...]
    proposal: Proposals
    takes: Obstacles
    price: float

    @property
    def crossed(self) -> float:
        """What it pays for what is drawn, its own price apart."""
        return self.price - float(self.proposal.prices[0])


class PricedPlaces(NamedTuple):
    """Places of one callout: as `proposals`, with what each costs, `prices` (n,).

    `make(number[i])` draws the i-th, whose first line is kept free `lane` mm to each side.
    """

    proposals: Proposals
    prices: Array
    number: Indices
    make: Callable[[int], Made]
    lane: float

    def some(self, index: Indices) -> PricedPlaces:
        """Those at `index` (m,), rising."""
        if len(index) == len(self.prices):
            return self
        proposals, number = self.proposals.some(index), self.number.take(index)
        return PricedPlaces(proposals, self.prices.take(index), number, self.make, lane=self.lane)

    def under(self, least: float) -> PricedPlaces:
        """Those that cost less."""
        return self.some(np.flatnonzero(self.prices < least))

    def clean_among(self, obstacles: Obstacles) -> PricedPlaces:
        """Those that are clean among obstacles, with what they pay for these."""
        some = self.under(CROSSED)
        if not len(some.prices):
            return some
        return some._replace(prices=some.prices + obstacles.crossing(some.proposals)).under(CROSSED)

    def choice(self, k: int) -> TakenPlace:
        """The k-th, drawn."""
        proposal = self.proposals.some(np.array([k]))
        takes = pieces_of_choice(proposal, DIMENSION_LINE_PRICE, self.lane)
        return TakenPlace(self.make(int(self.number[k])), proposal, takes, float(self.prices[k]))

    @staticmethod
    def joined(parts: Sequence[PricedPlaces]) -> PricedPlaces:
        """Several of one callout as one, so that one look prices all."""
        first = [0, *accumulate(len(part.prices) for part in parts)]

        def make(i: int) -> Made:
            k = bisect_right(first, i) - 1
            return parts[k].make(int(parts[k].number[i - first[k]]))

        proposals = Proposals.joined([part.proposals for part in parts])
        prices = np.concatenate([part.prices for part in parts])
        return PricedPlaces(proposals, prices, np.arange(first[-1]), make, lane=parts[0].lane)


@dataclass(frozen=True)
class CleanBatch:
    """A batch of places, and which of them are clean among what is drawn: found once it is asked for."""

    batch: PlaceBatch
    drawn: Obstacles

    @property
    def floor(self) -> float:
        """None of its places costs less."""
        return self.batch.floor

    @cached_property
    def places(self) -> PricedPlaces:
        """Its clean places."""
        return self._offered.clean_among(self.drawn)

    def places_on(self, paper: PaperLimits) -> PricedPlaces:
        """Those that lie on a paper, clear of what is settled there.

        Of a batch that no paper has asked for yet, only places on the pages are priced.
        """
        if paper.rooms is None:
            clean = self.places
        elif "places" in self.__dict__:
            clean = self._on_pages(self.places, paper.rooms)
        else:
            clean = self._on_pages(self._offered, paper.rooms).clean_among(self.drawn)
        return clean.clean_among(paper.settled) if len(paper.settled.pieces.figures) else clean

    @property
    def _offered(self) -> PricedPlaces:
        offer, proposals = self.batch.offer, self.batch.offer.proposals
        number = np.arange(len(proposals.prices))
        return PricedPlaces(proposals, proposals.prices, number, offer.make, lane=offer.lane)

    def _on_pages(self, places: PricedPlaces, rooms: Rooms) -> PricedPlaces:
        whole = places.some(np.flatnonzero(places.proposals.whole_in(rooms)))
        proposals = self.batch.offer.proposals
        if not len(proposals.arrows):
            return whole
        return whole.some(np.flatnonzero(proposals.arrows_in(rooms).take(whole.number)))


class PaperLimits(NamedTuple):
    """What else rules places out on one paper: callouts settled before others, and the edges of its pages."""

    settled: Obstacles = NOTHING
    rooms: Rooms | None = None


class Places:
    """The clean places of one callout on one paper, for one search after another."""

    def __init__(self, batches: Iterable[CleanBatch], paper: PaperLimits) -> None:
        self._batches, self._paper = iter(batches), paper
        self._next = next(self._batches, None)
        self._known: list[PricedPlaces] = []

    def cheapest(
        self, taken: Obstacles, mine: int | None = None, under: float = math.inf
    ) -> TakenPlace | None:
        """The cheapest place among what is taken; None where none costs less than `under`.

        `mine` is the callout's number: it pays nothing for what it takes itself.
        """
        if len(self._known) > 1:
            self._known = [PricedPlaces.joined(self._known)]
        best: tuple[PricedPlaces, int] | None = None
        least, k = under, 0
        while k < len(self._known) or self._another(least):
            places = self._known[k].under(least)
            k += 1
            if not len(places.prices):
                continue
            prices = places.prices + taken.crossing(places.proposals, mine)
            i = int(np.argmin(prices))
            if prices[i] < least:
                best, least = (places, i), float(prices[i])
        return None if best is None else best[0].choice(best[1])

    def _another(self, least: float) -> bool:
        """Whether there are more places that may cost less; they are known then."""
        batch = self._next
        if batch is None or batch.floor >= least:
            return False
        self._known.append(batch.places_on(self._paper))
        self._next = next(self._batches, None)
        return True

"""The callouts that stand while places are looked for: what they take, and what each pays for the others.

Both follow each callout that is put or moved, so that nobody else is looked at again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from layout.drafting.meeting import Indices
from layout.drafting.obstacles import (
    NOTHING,
    Counted,
    Obstacles,
    Proposals,
    crossing_each_other,
    crossing_others,
)
from layout.drafting.places import CROSSED, Places, TakenPlace

_NOBODY = np.empty(0, dtype=np.intp)


class _InTheWay(NamedTuple):
    """What several places take, and the number of the callout that each piece, box and leader is of."""

    obstacles: Obstacles = NOTHING
    piece_of: Indices = _NOBODY
    box_of: Indices = _NOBODY
    leader_of: Indices = _NOBODY

    def joined(self, i: int, more: Obstacles) -> _InTheWay:
        """With what another takes."""
        return _InTheWay(
            Obstacles.joined([self.obstacles, more]),
            np.append(self.piece_of, np.full(len(more.pieces), i)),
            np.append(self.box_of, np.full(len(more.boxes), i)),
            np.append(self.leader_of, np.full(len(more.leaders), i)),
        )

    def but(self, i: int) -> Counted:
        """What others take than this one."""
        return Counted(self.piece_of != i, self.box_of != i, self.leader_of != i)

    def without(self, i: int) -> _InTheWay:
        """Without what one takes."""
        others = self.but(i)
        return _InTheWay(
            self.obstacles.some(others),
            self.piece_of[others.pieces],
            self.box_of[others.boxes],
            self.leader_of[others.leaders],
        )

    def price(self, i: int, proposal: Proposals) -> float:
        """What one pays there for what the others take."""
        return float(self.obstacles.crossing(proposal, self.but(i))[0])


class PlacesTaken:
    """Places taken, by the number of their callout."""

    def __init__(self) -> None:
        self._places: dict[int, TakenPlace] = {}
        self._taken = _InTheWay()
        self._paid: dict[int, float] = {}
        """What each pays for the others: of nobody until it is first asked, then of all."""

    def cheapest(self, i: int, places: Places) -> TakenPlace | None:
        """The cheapest place for it among the others; None where none is cheaper than where it stands."""
        others = self._taken.but(i) if i in self._places else None
        return places.cheapest(self._taken.obstacles, others, under=self._cost(i))

    def crosses(self, i: int, least: float) -> bool:
        """Whether it stands, and pays so much at least for what it crosses."""
        return i in self._places and self._places[i].crossed + self._paid_by(i) >= least

    def put(self, i: int, place: TakenPlace) -> None:
        """It stands there now."""
        before = self._places.get(i)
        self._places[i] = place
        if before is not None:
            self._taken = self._taken.without(i)
        self._taken = self._taken.joined(i, place.takes)
        if self._paid:
            self._pay(i, [place.takes] if before is None else [place.takes, before.takes])

    def clean(self) -> dict[int, TakenPlace]:
        """The places without those that lie on something: the last of them first, as long as any does."""
        kept, taken = dict(self._places), self._taken
        for i in sorted((i for i in kept if self._cost(i) >= CROSSED), reverse=True):
            if kept[i].price + taken.price(i, kept[i].proposal) >= CROSSED:
                taken = taken.without(i)
                del kept[i]
        return kept

    def _cost(self, i: int) -> float:
        """What it costs where it stands; more than anything where it does not."""
        return self._places[i].price + self._paid_by(i) if i in self._places else math.inf

    def _paid_by(self, i: int) -> float:
        if not self._paid:
            proposals = [place.proposal for place in self._places.values()]
            paid = crossing_each_other(proposals, [place.takes for place in self._places.values()])
            self._paid = dict(zip(self._places, paid.tolist(), strict=True))
        return self._paid[i]

    def _pay(self, i: int, takes: Sequence[Obstacles]) -> None:
        """All pay for what this one takes now, no longer for what it took before."""
        proposals = [place.proposal for place in self._places.values()]
        own = np.full(len(takes), list(self._places).index(i))
        more = crossing_others(proposals, takes, own, times=np.array([1.0, -1.0])[: len(takes)])
        for k, price in zip(self._places, more.tolist(), strict=True):
            self._paid[k] = self._paid.get(k, 0.0) + price
        self._paid[i] = self._taken.price(i, self._places[i].proposal)

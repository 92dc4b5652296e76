"""The callouts that stand while places are looked for: what they take, and what each pays for the others.

Both follow each callout that is put or moved, so that nobody else is looked at again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from layout.drafting.meeting import Array, Boxes, Pieces, meetings
from layout.drafting.obstacles import ALONG, NOTHING, Obstacles, Proposals
from layout.drafting.owned import Owned
from layout.drafting.places import CROSSED, Places, TakenPlace


class _Standing(NamedTuple):
    """What several callouts pay with: their words, their lines, their leaders past the tips."""

    words: Owned[Boxes]
    lines: Owned[Pieces]
    leaders: Owned[Pieces]

    @staticmethod
    def joined(parts: Sequence[_Standing]) -> _Standing:
        """Several as one."""
        words, lines, leaders = zip(*parts, strict=True)
        return _Standing(Owned.joined(words), Owned.joined(lines), Owned.joined(leaders))

    def without(self, owner: int) -> _Standing:
        """Without one callout."""
        return _Standing(self.words.without(owner), self.lines.without(owner), self.leaders.without(owner))

    def paid(self, taken: Obstacles, count: int) -> Array:
        """What each of `count` callouts pays for what others take: shape (count,)."""
        box, piece, under = meetings(self.words.figures, taken.pieces.figures)
        payer = self.words.of[box]
        total = np.zeros(count)
        total += np.bincount(payer, taken.pieces.price(piece, payer) * (1.0 + under / ALONG), count)
        box, line, under = meetings(taken.boxes.figures, self.lines.figures)
        payer = self.lines.of[line]
        total += np.bincount(payer, taken.boxes.price(box, payer) * (1.0 + under / ALONG), count)
        box, line, _ = meetings(taken.leaders.figures, self.leaders.figures)
        payer = self.leaders.of[line]
        return total + np.bincount(payer, taken.leaders.price(box, payer), count)


def _standing(owner: int, proposal: Proposals) -> _Standing:
    words, lines, leaders = proposal.boxes, proposal.lines, proposal.past_tips
    return _Standing(Owned.by(owner, words), Owned.by(owner, lines), Owned.by(owner, leaders))


def crossing_each_other(proposals: Sequence[Proposals], takes: Sequence[Obstacles]) -> Array:
    """What each of several places, of one proposal each, pays for what all the others take: shape (n,)."""
    standing = _Standing.joined([_standing(i, proposal) for i, proposal in enumerate(proposals)])
    taken = Obstacles.joined(each.owned(i) for i, each in enumerate(takes))
    return standing.paid(taken, len(proposals))


class PlacesTaken:
    """Places taken by some of `count` callouts, by their number."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._places: dict[int, TakenPlace] = {}
        self._taken = NOTHING
        self._standing: _Standing | None = None
        self._paid = np.zeros(count)
        """What each pays for the others: kept from when it is first asked for."""

    def cheapest(self, i: int, places: Places) -> TakenPlace | None:
        """The cheapest place for it among the others; None where none is cheaper than where it stands."""
        return places.cheapest(self._taken, i if i in self._places else None, under=self._cost(i))

    def crosses(self, i: int, least: float) -> bool:
        """Whether it stands, and pays so much at least for what it crosses."""
        return i in self._places and self._places[i].crossed + self._paid_by(i) >= least

    def put(self, i: int, place: TakenPlace) -> None:
        """It stands there now."""
        before, self._places[i] = self._places.get(i), place
        takes = place.takes.owned(i)
        taken = self._taken if before is None else self._taken.without(i)
        self._taken = Obstacles.joined([taken, takes])
        if self._standing is not None:
            self._pay(self._standing, i, takes, before)

    def clean(self) -> dict[int, TakenPlace]:
        """The places without those that lie on something: the last of them first, as long as any does."""
        kept, taken = dict(self._places), self._taken
        for i in sorted((i for i in kept if self._cost(i) >= CROSSED), reverse=True):
            if kept[i].price + float(taken.crossing(kept[i].proposal, i)[0]) >= CROSSED:
                taken = taken.without(i)
                del kept[i]
        return kept

    def _cost(self, i: int) -> float:
        """What it costs where it stands; more than anything where it does not."""
        return self._places[i].price + self._paid_by(i) if i in self._places else math.inf

    def _paid_by(self, i: int) -> float:
        if self._standing is None:
            all_of_them = [_standing(k, place.proposal) for k, place in self._places.items()]
            self._standing = _Standing.joined(all_of_them)
            self._paid = self._standing.paid(self._taken, self._count)
        return float(self._paid[i])

    def _pay(self, standing: _Standing, i: int, takes: Obstacles, before: TakenPlace | None) -> None:
        """All pay for what this one takes now, no longer for what it took before."""
        others = standing if before is None else standing.without(i)
        moved = [takes] if before is None else [takes, before.takes.owned(i).paid_back()]
        self._paid += others.paid(Obstacles.joined(moved), self._count)
        self._paid[i] = float(self._taken.crossing(self._places[i].proposal, i)[0])
        self._standing = _Standing.joined([others, _standing(i, self._places[i].proposal)])

"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then once more round: each
that crosses something is lifted and placed again among all the others, which mends what
the order spoiled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from layout.drafting.calls import Call, PlaceBatch
from layout.drafting.entities import Entity
from layout.drafting.obstacles import HARD, Obstacles, Proposals, Scene, pieces_of_choice

DIMENSION_LINE_PRICE = 70.0
"""Lettering across a thin line of another callout: legal, ugly."""
CONTENT = 100.0
"""A callout that crosses less than this is left where it is on a later round."""


@dataclass(frozen=True)
class PlacedCalls:
    """Where the callouts went, one tuple a call; `crowded` names those that found no clean place."""

    groups: tuple[tuple[Entity, ...], ...]
    crowded: tuple[str, ...]

    @property
    def entities(self) -> tuple[Entity, ...]:
        """What all of them draw."""
        return tuple(e for group in self.groups for e in group)


@dataclass(frozen=True)
class _Choice:
    entities: tuple[Entity, ...]
    proposal: Proposals
    takes: Obstacles


def place(calls: Sequence[Call], scene: Scene, rounds: int = 2) -> PlacedCalls:
    """Place every call among the scene's obstacles and each other."""
    fixed = scene.frozen()
    chosen: list[_Choice | None] = [None] * len(calls)
    cost = [0.0] * len(calls)
    for again in range(rounds):
        for i, call in enumerate(calls):
            others = [c.takes for j, c in enumerate(chosen) if c is not None and j != i]
            around = Obstacles.joined([fixed, *others])
            now = chosen[i]
            if again and now is not None:
                cost[i] = float(around.prices(now.proposal)[0])
                if cost[i] - float(now.proposal.prices[0]) < CONTENT:
                    continue
            chosen[i], cost[i] = _best(call.batches(), around)
    groups = tuple(c.entities if c is not None else () for c in chosen)
    crowded = tuple(c.name for c, price in zip(calls, cost, strict=True) if price >= HARD)
    return PlacedCalls(groups, crowded)


def _best(batches: Iterable[PlaceBatch], obstacles: Obstacles) -> tuple[_Choice | None, float]:
    """The cheapest place; the search stops at the first batch whose floor is no better."""
    found: tuple[PlaceBatch, int] | None = None
    least = float("inf")
    for batch in batches:
        if batch.floor >= least:
            break
        prices = obstacles.prices(batch.proposals)
        k = int(np.argmin(prices))
        if prices[k] < least:
            found, least = (batch, k), float(prices[k])
    if found is None:
        return None, least
    batch, k = found
    proposal = batch.proposals.one(k)
    takes = pieces_of_choice(proposal, DIMENSION_LINE_PRICE, batch.lane)
    return _Choice(batch.make(k), proposal, takes), least

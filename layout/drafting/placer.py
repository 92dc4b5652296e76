"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then twice more round: each
that crosses something is lifted and placed again among all the others, which mends what
the order spoiled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from layout.drafting.calls import Call, PlaceBatch
from layout.drafting.entities import Entity
from layout.drafting.obstacles import Obstacles, Proposals, Scene, pieces_of_choice
from layout.drafting.rooms import Rooms

DIMENSION_LINE_PRICE = 3000.0
"""Lettering across a thin line of another callout: only where there is no other place."""
CROSSED = 2500.0
"""A callout that costs this lies on something or is crossed: less than one line through its words."""
CONTENT = 100.0
"""A callout that crosses less than this is left where it is on a later round."""


@dataclass(frozen=True)
class PlacedCalls:
    """Where the callouts went, one tuple a call; `crowded` names those that found no clean place.

    These are not drawn: their tuples are empty.
    """

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


def place(
    calls: Sequence[Call], scene: Scene, rounds: int = 3, rooms: Rooms | None = None
) -> PlacedCalls:
    """Place every call among the scene's obstacles and each other; with `rooms`, whole on one page each."""
    fixed = scene.frozen(rooms)
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
    kept = _clean(fixed, chosen, cost)
    groups = tuple(c.entities if c is not None else () for c in kept)
    crowded = tuple(call.name for call, choice in zip(calls, kept, strict=True) if choice is None)
    return PlacedCalls(groups, crowded)


def _clean(fixed: Obstacles, chosen: Sequence[_Choice | None], cost: Sequence[float]) -> list[_Choice | None]:
    """The choices without those that lie on something: the last of them first, as long as any does."""
    kept = list(chosen)
    suspects = [i for i, price in enumerate(cost) if price >= CROSSED]
    for i in reversed(suspects):
        choice = kept[i]
        if choice is None:
            continue
        others = [c.takes for j, c in enumerate(kept) if c is not None and j != i]
        if float(Obstacles.joined([fixed, *others]).prices(choice.proposal)[0]) >= CROSSED:
            kept[i] = None
    return kept


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

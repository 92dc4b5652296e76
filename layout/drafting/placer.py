"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then twice more round: each
that crosses something is lifted and placed again among all the others, which corrects what
the order spoiled.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from layout.drafting.calls import Call
from layout.drafting.entities import Entity
from layout.drafting.obstacles import Obstacles, Scene, crossing_each_other
from layout.drafting.places import CROSSED, Places, TakenPlace
from layout.drafting.rooms import Rooms

CONTENT = 100.0
"""A callout that crosses less than this is left where it is on a later round."""


class PlacedCalls(NamedTuple):
    """Where the callouts went, one tuple a call; `crowded` names those that found no clean place.

    These are not drawn: their tuples are empty.
    """

    groups: tuple[tuple[Entity, ...], ...]
    crowded: tuple[str, ...]

    @property
    def entities(self) -> tuple[Entity, ...]:
        """What all of them draw."""
        return tuple(e for group in self.groups for e in group)


class Placer:
    """Places callouts on one scene, as often as asked; what is fixed is priced once for each call.

    With `rooms`, each callout is whole on one page. `settled` places are taken already.
    """

    def __init__(
        self, scene: Scene, rooms: Rooms | None = None, settled: Sequence[TakenPlace] = ()
    ) -> None:
        self._fixed = Obstacles.joined([scene.frozen(rooms), *(place.takes for place in settled)])
        self._known: dict[int, tuple[Call, Places]] = {}

    def place(self, calls: Sequence[Call], rounds: int = 3) -> PlacedCalls:
        """Place every call among the scene's obstacles and each other."""
        places = [self._places(call) for call in calls]
        chosen: dict[int, TakenPlace] = {}
        cost: dict[int, float] = {}
        for again in range(rounds):
            crossed: dict[int, float] = {}
            for i, mine in enumerate(places):
                if again:
                    if i not in chosen:
                        continue
                    crossed = crossed or _crossed(chosen)
                    cost[i] = chosen[i].price + crossed[i]
                    if chosen[i].crossed + crossed[i] < CONTENT:
                        continue
                others = [choice.takes for j, choice in chosen.items() if j != i]
                choice, price = mine.cheapest(Obstacles.joined(others), cost.get(i, math.inf))
                if choice is not None:
                    chosen[i], cost[i], crossed = choice, price, {}
        kept = _clean(chosen, cost)
        groups = tuple(kept[i].entities if i in kept else () for i in range(len(calls)))
        return PlacedCalls(groups, tuple(call.name for i, call in enumerate(calls) if i not in kept))

    def _places(self, call: Call) -> Places:
        known = self._known.get(id(call))
        if known is None:
            seams = self._fixed.rooms is not None
            known = self._known[id(call)] = call, Places(call.batches(seams), self._fixed)
        return known[1]


def place(
    calls: Sequence[Call], scene: Scene, rounds: int = 3, rooms: Rooms | None = None
) -> PlacedCalls:
    """Place every call among the scene's obstacles and each other; with `rooms`, whole on one page each."""
    return Placer(scene, rooms).place(calls, rounds)


def _crossed(chosen: Mapping[int, TakenPlace]) -> dict[int, float]:
    """What each chosen place pays for all the others."""
    paid = crossing_each_other([c.proposal for c in chosen.values()], [c.takes for c in chosen.values()])
    return dict(zip(chosen, paid.tolist(), strict=True))


def _clean(chosen: Mapping[int, TakenPlace], cost: Mapping[int, float]) -> dict[int, TakenPlace]:
    """The choices without those that lie on something: the last of them first, as long as any does."""
    kept = dict(chosen)
    for i in sorted((i for i, price in cost.items() if price >= CROSSED), reverse=True):
        mine = kept.pop(i)
        others = Obstacles.joined([place.takes for place in kept.values()])
        if mine.price + float(others.crossing(mine.proposal)[0]) < CROSSED:
            kept[i] = mine
    return kept

"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then once more round: each is
lifted and placed again among all the others, which mends what the order spoiled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from layout.drafting.calls import Batch, Call, Place
from layout.drafting.entities import Entity
from layout.drafting.obstacles import HARD, Obstacles, Scene

DIMENSION_LINE_PRICE = 45.0
"""Lettering across a thin line of another callout: legal, ugly."""
CONTENT = 30.0
"""A callout that crosses less than this is left where it is on a later round."""


@dataclass(frozen=True)
class Placed:
    """Where the callouts went, one tuple a call; `crowded` names those that found no clean place."""

    groups: tuple[tuple[Entity, ...], ...]
    crowded: tuple[str, ...]


def place(calls: Sequence[Call], scene: Scene, sweeps: int = 1) -> Placed:
    """Place every call among the scene's obstacles and each other."""
    fixed = scene.frozen()
    chosen: list[Place | None] = [None] * len(calls)
    taken: list[Obstacles | None] = [None] * len(calls)
    cost = [0.0] * len(calls)
    for sweep in range(1 + sweeps):
        for i, call in enumerate(calls):
            others = [o for j, o in enumerate(taken) if o is not None and j != i]
            around = Obstacles.joined([fixed, *others])
            now = chosen[i]
            if sweep and now is not None:
                cost[i] = float(around.prices([now.proposal])[0])
                if cost[i] - now.proposal.price < CONTENT:
                    continue
            chosen[i], cost[i] = _best(call.batches(), around)
            taken[i] = _occupied(chosen[i])
    groups = tuple(p.make() if p is not None else () for p in chosen)
    crowded = tuple(_name(c) for c, price in zip(calls, cost, strict=True) if price >= HARD)
    return Placed(groups, crowded)


def _best(batches: Iterable[Batch], obstacles: Obstacles) -> tuple[Place | None, float]:
    """The cheapest place; the search stops at the first batch whose floor is no better."""
    best: Place | None = None
    least = float("inf")
    for batch in batches:
        if batch.floor >= least:
            break
        if not batch.places:
            continue
        prices = obstacles.prices([p.proposal for p in batch.places])
        k = int(np.argmin(prices))
        if prices[k] < least:
            best, least = batch.places[k], float(prices[k])
    return best, least


def _occupied(place: Place | None) -> Obstacles | None:
    """What a chosen place puts in the way of others."""
    if place is None:
        return None
    scene = Scene()
    scene.add_text(place.proposal.box)
    scene.add_lines(place.proposal.lines, DIMENSION_LINE_PRICE)
    if place.lane is not None:
        scene.add_lane(place.lane)
    return scene.frozen()


def _name(call: Call) -> str:
    return getattr(call, "name", "") or getattr(call, "text", "")

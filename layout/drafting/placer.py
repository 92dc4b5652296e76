"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then twice more round: each
that crosses something is lifted and placed again among all the others, which corrects what
the order spoiled.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from layout.drafting.calls import Call
from layout.drafting.entities import Entity
from layout.drafting.obstacles import Obstacles, Scene
from layout.drafting.places import Places, TakenPlace
from layout.drafting.places_taken import PlacesTaken
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
        taken = PlacesTaken()
        for again in range(rounds):
            for i, mine in enumerate(places):
                if again and not taken.crosses(i, CONTENT):
                    continue
                choice = taken.cheapest(i, mine)
                if choice is not None:
                    taken.put(i, choice)
        kept = taken.clean()
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

"""The placer: finds each callout the cheapest place among what is already drawn.

First one by one in the order given (short and important ones first), then twice more round: each
that crosses something is lifted and placed again among all the others, which corrects what
the order spoiled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from heapq import merge
from itertools import count, islice
from typing import Generic, NamedTuple, TypeVar

from layout.drafting.calls import Call, PlaceBatch
from layout.drafting.entities import Entity
from layout.drafting.obstacles import Obstacles, Scene
from layout.drafting.places import CleanBatch, PaperLimits, Places, TakenPlace
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


T = TypeVar("T")


class Remembered(Generic[T]):
    """What an iterator yields, kept, so that it may be gone through again; asked no further than needed."""

    def __init__(self, source: Iterable[T]) -> None:
        self._more, self._seen = iter(source), list[T]()

    def __iter__(self) -> Iterator[T]:
        for k in count():
            if k == len(self._seen):
                self._seen.extend(islice(self._more, 1))
            if k == len(self._seen):
                return
            yield self._seen[k]


class DrawnScene:
    """What is drawn already, and which places of each callout it leaves clean: found once for all placers.

    The same frame is lettered for several papers, and most of its callouts have the same places on all: for a
    roll and A4 pages of the demos, placing takes 0.85 of the time that it takes with a scene each.
    """

    def __init__(self, scene: Scene) -> None:
        self._drawn = scene.frozen()
        self._known: dict[tuple[Call, bool], Remembered[CleanBatch]] = {}

    def batches(self, call: Call, seams: bool) -> Iterator[CleanBatch]:
        """The places of a call in batches with rising floors; with `seams`, those that pages ask for too."""
        usual = self._found(call, False)
        if not seams:
            return iter(usual)
        return merge(usual, self._found(call, True), key=lambda batch: batch.floor)

    def _found(self, call: Call, seams: bool) -> Remembered[CleanBatch]:
        known = self._known.get((call, seams))
        if known is None:
            batches = call.seam_batches() if seams else call.batches()
            known = Remembered(_clean(batches, self._drawn))
            self._known[call, seams] = known
        return known


def _clean(batches: Iterable[PlaceBatch], drawn: Obstacles) -> Iterator[CleanBatch]:
    """Each batch among what is drawn. Not a method: what waits here must not hold the scene that holds it."""
    return (CleanBatch(batch, drawn) for batch in batches)


class Placer:
    """Places callouts on what is drawn, as often as asked.

    With `rooms`, each callout is whole on one page. `settled` places are taken already.
    """

    def __init__(
        self, drawn: DrawnScene, rooms: Rooms | None = None, settled: Sequence[TakenPlace] = ()
    ) -> None:
        self._drawn = drawn
        self._paper = PaperLimits(Obstacles.joined(place.takes for place in settled), rooms)
        self._known: dict[Call, Places] = {}

    def place(self, calls: Sequence[Call], rounds: int = 3) -> PlacedCalls:
        """Place every call among what is drawn and each other."""
        places = [self._places(call) for call in calls]
        taken = PlacesTaken(len(calls))
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
        known = self._known.get(call)
        if known is None:
            batches = self._drawn.batches(call, seams=self._paper.rooms is not None)
            known = self._known[call] = Places(batches, self._paper)
        return known


def place(
    calls: Sequence[Call], scene: Scene, rounds: int = 3, rooms: Rooms | None = None
) -> PlacedCalls:
    """Place every call among the scene's obstacles and each other; with `rooms`, whole on one page each."""
    return Placer(DrawnScene(scene), rooms).place(calls, rounds)

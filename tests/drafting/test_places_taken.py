"""What is kept from search to search: what callouts pay for each other, what is clean on every paper."""

from __future__ import annotations

import gc
import random
import weakref
from collections.abc import Iterator

import pytest

from layout.drafting.calls import AngleCall, LengthCall, NoteCall
from layout.drafting.entities import Line
from layout.drafting.obstacles import HARD, Scene
from layout.drafting.placer import DrawnScene, Placer
from layout.drafting.places import CROSSED, CleanBatch, PaperLimits, Places
from layout.drafting.places_taken import PlacesTaken, crossing_each_other
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.drafting.scene import scene
from layout.drafting.style import Layer

WALL = scene([([Line((-60.0, -30.0), (60.0, 40.0), Layer.OUTLINE)], HARD)])
CALLS = (
    *(NoteCall(f"point {k}", (7.0 * k, 3.0 * k)) for k in range(8)),
    LengthCall("length", "length", (0.0, 0.0), (49.0, 21.0), direction=0.0),
    AngleCall("angle", "angle", vertex=(0.0, 0.0), start=(40.0, 0.0), end=(0.0, 40.0), radii=(30.0, 45.0)),
)


@pytest.mark.parametrize("seed", range(5))
def test_what_callouts_pay_is_kept_true_while_they_move(seed: int):
    """Kept from move to move it is what is worked out anew for all that stand."""
    drawn, chance = DrawnScene(WALL), random.Random(seed)
    offered = [batch.places for call in CALLS for batch in [next(drawn.batches(call, seams=False))]]
    taken, at = PlacesTaken(len(CALLS)), {}
    for k, move in enumerate([*range(len(CALLS)), *chance.choices(range(len(CALLS)), k=30)]):
        at[move] = offered[move].choice(chance.randrange(len(offered[move].prices)))
        taken.put(move, at[move])
        if k < len(CALLS) // 2:
            continue
        anew = crossing_each_other([p.proposal for p in at.values()], [p.takes for p in at.values()])
        for i, paid in zip(at, anew.tolist(), strict=True):
            total = at[i].crossed + paid
            assert taken.crosses(i, total - 1e-6)
            assert not taken.crosses(i, total + 1e-6)


def test_pages_find_the_places_they_would_find_if_no_roll_had_been_lettered_before():
    """What the roll left priced is what the pages would have priced: sharing changes no place."""
    pages = Rect(-120.0, -120.0, 20.0, 160.0), Rect(8.0, -120.0, 160.0, 160.0)
    rooms = Rooms(pages, pages)
    shared = DrawnScene(WALL)
    roll = Placer(shared).place(CALLS)
    after = Placer(shared, rooms).place(CALLS)
    assert after == Placer(DrawnScene(WALL), rooms).place(CALLS)
    assert after != roll


def test_a_scene_goes_as_soon_as_nobody_holds_it():
    """It held itself, so a batch of four specs kept 45 MB of scenes that were done with."""
    drawn = DrawnScene(WALL)
    Placer(drawn).place(CALLS)
    gone = weakref.ref(drawn)
    gc.disable()
    try:
        del drawn
        assert gone() is None
    finally:
        gc.enable()


def test_what_pages_ask_for_is_offered_only_where_they_join():
    """An arrowhead turned inwards costs more, and lies nowhere but on pages."""
    drawn = DrawnScene(Scene())
    call = LengthCall("length", "length", (0.0, 0.0), (300.0, 90.0), direction=0.0)
    usual, joined = (list(drawn.batches(call, seams=seams)) for seams in (False, True))
    assert usual == joined[: len(usual)]
    assert len(joined) > len(usual)
    floors = [batch.floor for batch in joined]
    assert floors == sorted(floors)


def test_a_second_search_looks_at_all_known_places_at_once_and_finds_the_same():
    """The cheapest of all batches joined is the cheapest of one batch after another."""
    posts = [Line((x, -400.0), (x, 400.0), Layer.OUTLINE) for x in range(-200, 200, 12)]
    crowd = scene([(posts, 900.0)]).frozen()
    batches = [0 for _ in CALLS]
    for k, call in enumerate(CALLS):
        places = Places(counted(DrawnScene(WALL).batches(call, seams=True), batches, k), PaperLimits())
        once, again = (places.cheapest(crowd) for _ in range(2))
        assert once is not None
        assert again is not None
        assert (again.entities, again.price) == (once.entities, once.price)
    assert max(batches) > 2


def counted(batches: Iterator[CleanBatch], counts: list[int], k: int) -> Iterator[CleanBatch]:
    """The batches, counted as they are asked for."""
    for batch in batches:
        counts[k] += 1
        yield batch


def test_of_words_that_lie_on_each_other_only_the_first_is_drawn():
    """Callouts that found no clean place are named; one that is clean once the others go is drawn."""
    call = NoteCall("point", (0.0, 0.0), near=20.0)
    (batch, *_) = call.batches()
    places = CleanBatch(batch, Scene().frozen()).places
    first, beside, opposite = (places.choice(k) for k in (0, 1, 18))
    paid = crossing_each_other([first.proposal, beside.proposal], [first.takes, beside.takes])
    assert (paid > CROSSED).all()
    taken = PlacesTaken(4)
    for i, at in enumerate((first, first, opposite, beside)):
        taken.put(i, at)
    kept = taken.clean()
    assert list(kept) == [0, 2]
    assert kept[0] is first and kept[2] is opposite

"""Names of points that lie close together along a line, placed as one.

Every name stands off its point by the same step: leaders are parallel, no leader crosses another, and the
names are a column along the line, in the points' order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from layout.drafting.calls.batch import block_boxes
from layout.drafting.calls.notes import RING, NoteCall
from layout.drafting.entities import Circle, Line, Text
from layout.drafting.lettering import line_step, text_width
from layout.drafting.meeting import Array, Pieces
from layout.drafting.obstacles import Obstacles, Proposals
from layout.drafting.places import CROSSED, PricedPlaces, TakenPlace
from layout.drafting.places_taken import crossing_each_other
from layout.drafting.rooms import Rooms
from layout.drafting.style import THIN, Pen

DIRECTIONS = np.radians([a + b for b in (0.0, 180.0) for a in range(-60, 61, 6)])
STEEP = np.radians([a + b for b in (0.0, 180.0) for a in range(-84, 85, 6)])
"""Directions where pages part the names and leave them little room."""
LENGTHS = np.arange(10.0, 39.0, 2.0)
"""Steps from a point to the near edge of its name, mm: a leader under 40 is followed at a glance."""
TRIED = 24
"""So many of the cheapest common steps are looked at for what the names do to each other."""


def place_alike(
    calls: Sequence[NoteCall], fixed: Obstacles, rooms: Rooms | None = None
) -> dict[int, TakenPlace]:
    """A place for each call, by its number, all off their points by one step.

    Where no step suits all, for as many as one suits; for none where that is one alone. With `rooms`, each
    name is whole on one page.
    """
    steps = _steps(DIRECTIONS)
    clean = {i: _clean(call, steps, fixed, rooms) for i, call in enumerate(calls)}
    return _placed_alike(clean, len(steps), least=2)


def place_alike_in_groups(
    calls: Sequence[NoteCall], fixed: Obstacles, rooms: Rooms
) -> dict[int, TakenPlace]:
    """The same where pages part the calls: as many as one step suits, then others off by another step.

    Where that suits more of them, in shorter lines.
    """
    steps, rest, placed = _steps(STEEP), dict(enumerate(calls)), dict[int, TakenPlace]()
    found: dict[NoteCall, PricedPlaces] = {}

    def suited(tried: Mapping[int, NoteCall]) -> dict[int, TakenPlace]:
        for call in tried.values():
            if call not in found:
                found[call] = _clean(call, steps, fixed, rooms)
        taken = Obstacles.joined(place.takes for place in placed.values())
        clean = {i: found[call].clean_among(taken) if placed else found[call] for i, call in tried.items()}
        return _placed_alike(clean, len(steps), least=1)

    while rest:
        group = suited(rest)
        if len(group) < len(rest):
            group = max(group, suited({i: call.narrower or call for i, call in rest.items()}), key=len)
        if not group:
            break
        placed |= group
        rest = {i: call for i, call in rest.items() if i not in group}
    return placed


def _steps(directions: Array) -> Array:
    """Steps of every length in every direction, shape (n, 2)."""
    return np.array([(length * np.cos(a), length * np.sin(a)) for length in LENGTHS for a in directions])


def _clean(call: NoteCall, steps: Array, fixed: Obstacles, rooms: Rooms | None) -> PricedPlaces:
    """The places a step each off its point that are clean."""
    offered = _offered(call, steps)

    def make(k: int) -> tuple[Text | Line | Circle, ...]:
        return _drawn(call, offered.some(np.array([k])), steps[k])

    places = PricedPlaces(offered, offered.prices, np.arange(len(steps)), make, lane=0.0)
    if rooms is not None:
        places = places.some(np.flatnonzero(offered.whole_in(rooms)))
    return places.clean_among(fixed)


def _placed_alike(clean: Mapping[int, PricedPlaces], count: int, least: int) -> dict[int, TakenPlace]:
    """The most calls, at least `least`, that one of `count` steps suits; of such steps the cheapest."""
    if len(clean) < least:
        return {}
    prices = np.full((len(clean), count), np.inf)
    for row, places in zip(prices, clean.values(), strict=True):
        row[places.number] = places.prices
    suits = np.isfinite(prices)
    members, total = suits.sum(axis=0), np.where(suits, prices, 0.0).sum(axis=0)
    for k in np.lexsort((total, -members))[:TRIED].tolist():
        if members[k] < least:
            break
        ones = {
            i: places.choice(int(places.number.searchsorted(k)))
            for (i, places), suited in zip(clean.items(), suits[:, k], strict=True)
            if suited
        }
        proposals, takes = [one.proposal for one in ones.values()], [one.takes for one in ones.values()]
        if (crossing_each_other(proposals, takes) < CROSSED).all():
            return ones
    return {}


def _offered(call: NoteCall, steps: Array) -> Proposals:
    """One proposal a step: the name's near edge there, its middle level with the leader's end."""
    width, above, at = _width(call), _above(call), np.array(call.at)
    near = at + steps
    side = np.where(steps[:, 0] > 0, 1.0, -1.0)
    low = np.full(len(steps), -(call.height + above) / 2)
    middle = near + np.column_stack([side * width / 2, low])
    index = np.arange(len(steps))
    ends = near - np.column_stack([side, np.zeros(len(steps))])
    lines = np.concatenate([np.broadcast_to(at, ends.shape), ends], axis=1)
    price = np.hypot(steps[:, 0], steps[:, 1])
    boxes = block_boxes(middle, 0.0, width, call.height, above=above)
    return Proposals(boxes, price, index, Pieces(lines), line_group=index, leaders=True)


def _drawn(call: NoteCall, one: Proposals, step: Array) -> tuple[Text | Line | Circle, ...]:
    above, left = _above(call), bool(step[0] < 0)
    x, y = call.at[0] + float(step[0]), call.at[1] + float(step[1]) - (call.height + above) / 2
    x0, y0, x1, y1 = one.lines.rows[0].tolist()
    words = (
        Text(
            (x - text_width(line, call.height) if left else x, y + above - k * line_step(call.height)),
            line,
            call.height,
            call.layer,
        )
        for k, line in enumerate(call.text.split("\n"))
    )
    return (*words, Line((x0, y0), (x1, y1), call.layer), Circle(call.at, RING, call.layer, Pen(THIN)))


def _width(call: NoteCall) -> float:
    return max(text_width(line, call.height) for line in call.text.split("\n"))


def _above(call: NoteCall) -> float:
    """How much higher than one line the words are, mm."""
    return call.text.count("\n") * line_step(call.height)

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
from layout.drafting.obstacles import Obstacles, Proposals, pieces_of_choice
from layout.drafting.places import CROSSED, DIMENSION_LINE_PRICE, TakenPlace
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
    return _placed_alike(dict(enumerate(calls)), fixed, rooms, DIRECTIONS, least=2)


def place_alike_in_groups(
    calls: Sequence[NoteCall], fixed: Obstacles, rooms: Rooms
) -> dict[int, TakenPlace]:
    """The same where pages part the calls: as many as one step suits, then others off by another step.

    Where that suits more of them, in shorter lines.
    """
    rest, placed = dict(enumerate(calls)), dict[int, TakenPlace]()
    while rest:
        taken = Obstacles.joined([fixed, *(place.takes for place in placed.values())])
        group = _placed_alike(rest, taken, rooms, STEEP, least=1)
        if len(group) < len(rest):
            narrow = {i: call.narrower or call for i, call in rest.items()}
            group = max(group, _placed_alike(narrow, taken, rooms, STEEP, least=1), key=len)
        if not group:
            break
        placed |= group
        rest = {i: call for i, call in rest.items() if i not in group}
    return placed


def _placed_alike(
    calls: Mapping[int, NoteCall], fixed: Obstacles, rooms: Rooms | None, directions: Array, least: int
) -> dict[int, TakenPlace]:
    """The most calls, at least `least`, that one step suits; of such steps the cheapest."""
    if len(calls) < least:
        return {}
    steps = np.array([(length * np.cos(a), length * np.sin(a)) for length in LENGTHS for a in directions])
    numbers = list(calls)
    offered = [_offered(call, steps) for call in calls.values()]
    prices = np.full((len(calls), len(steps)), np.inf)
    for row, proposals in zip(prices, offered, strict=True):
        index = np.arange(len(steps)) if rooms is None else np.flatnonzero(proposals.whole_in(rooms))
        clean, price = fixed.prices(proposals.some(index), CROSSED)
        row[index[clean]] = price
    clean = np.isfinite(prices)
    count, total = clean.sum(axis=0), np.where(clean, prices, 0.0).sum(axis=0)
    for k in np.lexsort((total, -count))[:TRIED].tolist():
        members = np.flatnonzero(clean[:, k]).tolist()
        if len(members) < least:
            break
        ones = [offered[i].some(np.array([k])) for i in members]
        takes = [pieces_of_choice(one, DIMENSION_LINE_PRICE, 0.0) for one in ones]
        if (crossing_each_other(ones, takes) < CROSSED).all():
            return {
                numbers[i]: TakenPlace(
                    _drawn(calls[numbers[i]], one, steps[k]), one, take, float(prices[i, k])
                )
                for i, one, take in zip(members, ones, takes, strict=True)
            }
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

"""Names of points that lie close together along a line, placed as one.

Every name stands off its point by the same step: leaders are parallel, no leader crosses another, and the
names are a column along the line, in the points' order.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.drafting.calls.batch import block_boxes
from layout.drafting.calls.notes import RING, NoteCall
from layout.drafting.entities import Circle, Line, Text
from layout.drafting.lettering import text_width
from layout.drafting.obstacles import Array, Obstacles, Proposals, crossing_each_other, pieces_of_choice
from layout.drafting.places import CROSSED, DIMENSION_LINE_PRICE, TakenPlace
from layout.drafting.style import THIN, Pen

DIRECTIONS = np.radians([a + b for b in (0.0, 180.0) for a in range(-60, 61, 6)])
LENGTHS = np.arange(10.0, 39.0, 2.0)
"""Steps from a point to the near edge of its name, mm: a leader under 40 is followed at a glance."""
TRIED = 24
"""So many of the cheapest common steps are looked at for what the names do to each other."""


def place_alike(calls: Sequence[NoteCall], fixed: Obstacles) -> dict[int, TakenPlace]:
    """A place for each call, by its number, all off their points by one step.

    Where no step suits all, for as many as one suits; for none where that is one alone.
    """
    if len(calls) < 2:
        return {}
    steps = np.array([(length * np.cos(a), length * np.sin(a)) for length in LENGTHS for a in DIRECTIONS])
    offered = [_offered(call, steps) for call in calls]
    prices = np.array([fixed.prices(proposals) for proposals in offered])
    clean = prices < CROSSED
    count, total = clean.sum(axis=0), np.where(clean, prices, 0.0).sum(axis=0)
    for k in np.lexsort((total, -count))[:TRIED].tolist():
        members = np.flatnonzero(clean[:, k]).tolist()
        if len(members) < 2:
            break
        ones = [offered[i].some(np.array([k])) for i in members]
        takes = [pieces_of_choice(one, DIMENSION_LINE_PRICE, 0.0) for one in ones]
        if (crossing_each_other(ones, takes) < CROSSED).all():
            return {
                i: TakenPlace(_drawn(calls[i], one, steps[k]), one, take, float(prices[i, k]))
                for i, one, take in zip(members, ones, takes, strict=True)
            }
    return {}


def _offered(call: NoteCall, steps: Array) -> Proposals:
    """One proposal a step: the name's near edge there, its middle level with the leader's end."""
    width, at = text_width(call.text, call.height), np.array(call.at)
    near = at + steps
    side = np.where(steps[:, 0] > 0, 1.0, -1.0)
    middle = near + np.column_stack([side * width / 2, np.full(len(steps), -call.height / 2)])
    index = np.arange(len(steps))
    ends = near - np.column_stack([side, np.zeros(len(steps))])
    lines = np.concatenate([np.broadcast_to(at, ends.shape), ends], axis=1)
    price = np.hypot(steps[:, 0], steps[:, 1])
    boxes = block_boxes(middle, 0.0, width, call.height)
    return Proposals(boxes, price, index, lines, line_group=index, leaders=True)


def _drawn(call: NoteCall, one: Proposals, step: Array) -> tuple[Text, Line, Circle]:
    width = text_width(call.text, call.height)
    x, y = call.at[0] + float(step[0]), call.at[1] + float(step[1]) - call.height / 2
    x0, y0, x1, y1 = one.lines[0].tolist()
    return (
        Text((x if step[0] > 0 else x - width, y), call.text, call.height, call.layer),
        Line((x0, y0), (x1, y1), call.layer),
        Circle(call.at, RING, call.layer, Pen(THIN)),
    )

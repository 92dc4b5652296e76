"""What a sheet shows of a view: parts of what surrounds it, datum lines to the edges, with their names.

Ticks stand at both ends of every stretch of a datum line, to square the sheet by.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

import numpy as np

from layout.drafting.bounds import box_of
from layout.drafting.clip import break_lines, clip
from layout.drafting.dimensions import explode
from layout.drafting.entities import Arc, Circle, DatumLine, Drawing, Entity, Line, Polyline, Text
from layout.drafting.lettering import text_box, text_width
from layout.drafting.meeting import Boxes, Pieces
from layout.drafting.obstacles import HARD, Box, Obstacles, Proposals, Scene
from layout.drafting.pieces import Piece, pieces
from layout.drafting.rect import Rect
from layout.drafting.style import SCRIBE, TEXT_NOTE, Layer, Pen
from layout.drafting.vector import Point, along, middle, unit

TICK = 8.0
"""Ticks where a datum line meets the sheet's edge, to square the sheet by."""
LABEL_STEP = 8.0
AT_ONCE = 20
"""Places for a name that are tried together: the first free one is most often among these."""
NAME_ABOVE, NAME_CLEAR = 1.6, 0.8
"""A datum line's name stands this far off it, with free paper round it, mm."""


def shown_part(group: Sequence[Entity], window: Rect) -> list[Entity]:
    """What of a group the window shows: strokes cut, anything that means more whole or not at all."""
    if strokes_alone(group):
        return [piece for e in group for piece in clip(e, window)]
    return list(group) if window.contains(box_of(group)) else []


def strokes_alone(group: Sequence[Entity]) -> bool:
    """Whether a group may be cut: nothing in it means more than its line."""
    return all(isinstance(e, Line | Arc | Circle | Polyline) for e in group)


def datum_lines(
    core: Drawing,
    edges: Sequence[Rect],
    holes: Sequence[Rect],
    drawn: Sequence[Entity],
    rooms: Sequence[Rect],
) -> Iterator[Entity]:
    """The datum lines of a view within `edges`, broken at `holes`, ticked at their ends and named once.

    A name lies whole in one of `rooms` and keeps off all that is `drawn`.
    """
    taken = _taken(part for e in drawn for part in explode(e))
    for line in (e for e in core if isinstance(e, DatumLine)):
        for whole in _stretches(line, edges):
            for end in (whole.start, whole.end):
                yield Line(
                    along(end, line.angle + 90.0, TICK / 2),
                    along(end, line.angle - 90.0, TICK / 2),
                    line.layer,
                    Pen(SCRIBE),
                )
            yield from break_lines(whole, holes)
        name = _name(line, rooms, taken)
        if name is not None:
            taken = Obstacles.joined((taken, _taken([name])))
            yield name


def _taken(parts: Iterable[Entity]) -> Obstacles:
    """What the names of datum lines keep off."""
    scene = Scene()
    for part in parts:
        if isinstance(part, Text):
            scene.add_lines(_ribs(part), HARD)
        elif part.layer is not Layer.WHEEL:
            scene.add_lines(pieces(part), HARD)
    return scene.frozen()


def _ribs(text: Text) -> Iterator[Piece]:
    """The edges and the midline of a line of lettering with free paper round it."""
    low, right, high, left = text_box(text, NAME_CLEAR)
    yield from ((low, right), (left, high), (low, left), (right, high))
    yield middle(low, left), middle(right, high)


def _box(text: Text) -> Box:
    """The box of a line of lettering with free paper round it."""
    low, right, high, _ = text_box(text, NAME_CLEAR)
    length, height = math.dist(low, right), math.dist(right, high)
    return Box(((low[0] + high[0]) / 2, (low[1] + high[1]) / 2), length / 2, height / 2, text.angle)


def _stretches(datum: DatumLine, edges: Sequence[Rect]) -> list[Line]:
    """The pieces of an endless line that lie within any of `edges`; those that touch are one."""
    u = unit(datum.angle)

    def place(p: Point) -> float:
        return (p[0] - datum.through[0]) * u[0] + (p[1] - datum.through[1]) * u[1]

    spans = sorted(
        sorted((place(piece.start), place(piece.end)))
        for edge in edges
        for piece in clip(datum, edge)
        if isinstance(piece, Line)
    )
    joined: list[list[float]] = []
    for low, high in spans:
        if joined and low <= joined[-1][1]:
            joined[-1][1] = max(high, joined[-1][1])
        else:
            joined.append([low, high])
    return [
        Line(along(datum.through, datum.angle, low), along(datum.through, datum.angle, high), datum.layer,
             datum.pen)
        for low, high in joined
    ]  # fmt: skip


def _name(datum: DatumLine, rooms: Sequence[Rect], taken: Obstacles) -> Text | None:
    """The line's name beside it, at the first free place from its far end inwards."""
    if not datum.label:
        return None
    ordered = sorted(rooms, key=lambda r: (-r.right, -r.top))
    places = (place for room in ordered for place in _name_places(datum, room))
    while some := list(islice(places, AT_ONCE)):
        boxes = Boxes(np.array([_box(text).row() for text in some]))
        none, alone = Pieces.joined(()), np.arange(len(some))
        offered = Proposals(boxes, np.zeros(len(some)), alone, none, line_group=alone[:0])
        free = np.flatnonzero(taken.crossing(offered) == 0.0)
        if len(free):
            return some[int(free[0])]
    return None


def _name_places(datum: DatumLine, room: Rect) -> Iterator[Text]:
    """Where in a room the name could stand, on either side of the line."""
    width = text_width(datum.label, TEXT_NOTE)
    for line in clip(datum, room):
        if not isinstance(line, Line):
            continue
        far, length = max(line.start, line.end), math.dist(line.start, line.end)
        for k in range(int(length / LABEL_STEP)):
            back = along(far, datum.angle + 180.0, 3.0 + width + k * LABEL_STEP)
            for off in (NAME_ABOVE, -NAME_ABOVE - TEXT_NOTE):
                at = along(back, datum.angle + 90.0, off)
                text = Text(at, datum.label, TEXT_NOTE, datum.layer, angle=datum.angle)
                if room.contains(box_of([text])):
                    yield text

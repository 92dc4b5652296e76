"""A view on pages that join: the frame, its crosses, callouts and datum lines, and nothing else."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from layout.drafting.bounds import bounds, box_of
from layout.drafting.breaks import broken_at_words
from layout.drafting.clip import clip
from layout.drafting.dimensions import explode
from layout.drafting.entities import ControlPoint, DatumLine, Drawing, Entity, Line, Text
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.drafting.view import PagedView
from layout.sheets.composition import PagedComposition
from layout.sheets.datums import datum_lines, strokes_alone


def compose_paged(paged: PagedView, rooms: Rooms) -> PagedComposition:
    """The view as pages show it; of its surroundings, strokes are cut and all else is whole or not there."""
    view = paged.view
    outer = _outer(rooms)
    shown = [e for group in view.surroundings for e in _shown(group, outer, rooms)]
    core = [e for e in view.core if not isinstance(e, DatumLine)]
    datums = datum_lines(view.core, rooms.pages, (), drawn=[*shown, *core], rooms=rooms.words)
    drawn = broken_at_words((*shown, *datums, *core))
    return PagedComposition(Drawing(view.core.title, drawn), paged.lost)


def _outer(rooms: Rooms) -> Rect:
    outer = rooms.pages[0]
    for page in rooms.pages[1:]:
        outer = outer.united(page)
    return outer


def _shown(group: Sequence[Entity], outer: Rect, rooms: Rooms) -> list[Entity]:
    if strokes_alone(group):
        return [piece for e in group for piece in clip(e, outer)]
    return list(group) if all(_has_room(e, rooms) for whole in group for e in explode(whole)) else []


def _has_room(e: Entity, rooms: Rooms) -> bool:
    """Whether pages show something whole: words on one page, a cross clear of seams, a line's both ends."""
    if isinstance(e, ControlPoint):
        return rooms.clear(e.at)
    if isinstance(e, Text):
        return rooms.whole(box_of([e]))
    if isinstance(e, Line):
        return bool(rooms.show(np.array([e.start, e.end])).all())
    box = bounds([e])
    return box is None or bool(rooms.show(np.array(box.corners)).all())

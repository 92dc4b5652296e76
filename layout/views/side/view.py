"""The side view: everything of a frame that lies in its plane, at true scale.

Drawn in the order of the eye: the wheels and other adjacent parts, centrelines, tubes, scribe
crosses, then callouts found a place among them. BB centre at (0, 0), x to the right, y up.

    strokes.py    what is drawn on every paper
    lettering.py  callouts, placed for one paper
    view.py       both as one view
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from layout.bench.tape import TapeCheck
from layout.drafting.entities import Drawing, Entity
from layout.drafting.rooms import Rooms
from layout.drafting.vector import Point
from layout.drafting.view import PagedView, View
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.views.crosses import coinciding, control_points, cross
from layout.views.side.lettering import LetteredView, Lettering
from layout.views.side.plan import Plan, plan
from layout.views.side.strokes import arm, datums, ground_line, side_strokes


class SideView(NamedTuple):
    """The view, its tape checks, and the callouts that found no clean place and are not drawn."""

    view: View
    checks: tuple[TapeCheck, ...]
    crowded: tuple[str, ...]


def draft(frame: Frame, *, kept: bool = False) -> SideView:
    """Draw the side view of a solved frame, its tubes as they lie in space.

    With `kept`, what was found while callouts were placed is kept with the view: some 15 MB, which pages that
    are laid soon after need not find again.
    """
    lettering = Lettering(side_strokes(plan(frame)))
    lettered = lettering.on(None)
    view = _view(lettering if kept else replace(lettering), lettered)
    return SideView(view, lettering.strokes.checks, lettered.crowded)


def _on_pages(lettering: Lettering, rooms: Rooms) -> PagedView:
    lettered = lettering.on(rooms)
    return PagedView(_view(lettering, lettered), tuple(map(words, lettered.crowded)))


def _view(lettering: Lettering, lettered: LetteredView) -> View:
    """SideStrokes and callouts as one."""
    strokes, p = lettering.strokes, lettering.strokes.plan
    points = tuple(control_points(strokes.core))
    entities = (
        *datums(p), *strokes.axes, *strokes.outlines, *strokes.fittings, *lettered.frame, *strokes.arms,
        *points,
    )  # fmt: skip
    ground = ground_line(p) if strokes.wheeled else ()
    groups = (
        *((e,) for e in (*strokes.wheels, *ground)),
        *(group for group in lettered.ground if group),
        *_named_groups(p, strokes.around, lettered.around),
    )
    return View(
        Drawing(p.frame.job.title, entities),
        groups,
        (*strokes.outlines, *points) if strokes.outlines else (*strokes.axes, *points),
        partial(_on_pages, lettering),
    )


def _named_groups(
    p: Plan, points: Mapping[str, Point], notes: Sequence[tuple[Entity, ...]]
) -> Iterator[tuple[Entity, ...]]:
    """Each surrounding point with its cross and its name: shown together or not at all."""
    for (at, names), note in zip(coinciding(points), notes, strict=True):
        yield (*note, *cross(at, partial(arm, p)), *control_points(dict.fromkeys(names, at)))

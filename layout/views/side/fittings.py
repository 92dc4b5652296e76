"""Fittings on the side view: where each sits, and its distance from a face a tape can hook.

A fitting is `at` mm from one end of its tube, measured along the tube from that end's point.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Circle, Entity, Line
from layout.drafting.numbers import format_number
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.vector import Point, along, bearing
from layout.frame.job import Fitting
from layout.frame.words import words
from layout.geometry.space.stations import stay_station, stay_tube
from layout.geometry.space.tube import FIRST
from layout.views.side.plan import Plan

MARK = 3.0
"""Radius of a fitting's mark: a bottle boss's head is about as large, common practice."""
ACROSS = 9.0
BETWEEN = ("bridge",)
"""Fittings that join two tubes and so are on no side of either."""


def fitting_at(p: Plan, fitting: Fitting) -> tuple[Point, float]:
    """The fitting's point on the tube's axis and the axis's direction, degrees.

    On a stay the distance is the one along the stay, which leans out of the plane it is drawn on.
    """
    if fitting.role.paired:
        space = p.frame.space
        here = stay_tube(space, fitting).path.at(stay_station(space, fitting))
        x, y, _ = (float(v) for v in here.at)
        along_x, along_y, _ = (float(v) for v in here.along)
        return (p.forward * x, y), bearing((0.0, 0.0), (p.forward * along_x, along_y))
    start, end = (p[name] for name in fitting.role.points)
    if fitting.role.end(fitting.origin) != FIRST:
        start, end = end, start
    axis = bearing(start, end)
    return along(start, axis, fitting.at), axis


def fitting_entities(p: Plan) -> Iterator[Entity]:
    """A small circle on the side it is on, and a stroke square to the axis at its station."""
    for fitting in p.frame.fittings:
        at, axis = fitting_at(p, fitting)
        mark, side = _mark(p, fitting, at, axis), _side(p, fitting, axis)
        yield Circle(mark, MARK, Layer.FITTING)
        if side is None:
            yield Line(along(at, axis + 90.0, ACROSS), along(at, axis - 90.0, ACROSS), Layer.FITTING)
        else:
            yield Line(at, mark, Layer.FITTING)


def fitting_notes(p: Plan) -> list[Call]:
    """What each fitting is and where to hook the tape."""
    calls: list[Call] = []
    for fitting in p.frame.fittings:
        at, axis = fitting_at(p, fitting)
        where = f"{format_number(fitting.at, 1)} from {words(fitting.origin)}"
        text = f"{words(fitting.kind)} {where}"
        if fitting.kind not in BETWEEN:
            text += f", {fitting.side}"
        mark, facing = _mark(p, fitting, at, axis), _side(p, fitting, axis)
        calls.append(NoteCall(text, mark, TEXT_NOTE, Layer.FITTING, near=4.0, facing=facing))
    return calls


def _side(p: Plan, fitting: Fitting, axis: float) -> float | None:
    """The direction on paper, square to the axis, that a fitting faces; None towards the viewer or away."""
    if fitting.kind in BETWEEN:
        return None
    wanted = {"up": 90.0, "down": -90.0, "front": p.ahead, "back": p.ahead + 180.0}.get(fitting.side)
    if wanted is None:
        return None
    return max((axis + 90.0, axis - 90.0), key=lambda a: math.cos(math.radians(a - wanted)))


def _mark(p: Plan, fitting: Fitting, at: Point, axis: float) -> Point:
    """Where the fitting sits: on the tube's edge on its side, on the axis where that faces the viewer."""
    side = _side(p, fitting, axis)
    if side is None:
        return at
    bar = p.bars[fitting.tube]
    station = fitting.at if fitting.role.end(fitting.origin) == FIRST else bar.length - fitting.at
    return along(at, side, bar.radius_at(station))

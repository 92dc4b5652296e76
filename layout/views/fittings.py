"""Fittings on the side view: where each sits, and its distance from a face a tape can hook.

A fitting is `at` mm from one end of its tube, measured along the tube from that end's point
(seat_tube bb-top, top_tube seat-head, down_tube bb-head, chain_stay bb-axle,
seat_stay axle-top, head_tube bottom-top).
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Circle, Entity, Line
from layout.drafting.numbers import format_number
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.vector import Point, along, bearing
from layout.frame import Fitting
from layout.geometry.space.ends import TUBE_ENDS
from layout.views.plan import Plan
from layout.views.stations import STAYS, stay_station, stay_tube
from layout.views.words import words

MARK = 3.0
"""Radius of a fitting's mark: a bottle boss's head is about as large, common practice."""
ACROSS = 9.0


def fitting_at(p: Plan, fitting: Fitting) -> tuple[Point, float] | None:
    """The fitting's point on the tube's axis and the axis's direction; None for an unknown tube or end.

    On a stay the distance is the one along the stay, which leans out of the plane it is drawn on.
    """
    if p.space is not None and fitting.tube in STAYS:
        here = p.space.tubes[stay_tube(fitting)].path.at(stay_station(p.space, fitting))
        x, y, _ = (float(v) for v in here.at)
        along_x, along_y, _ = (float(v) for v in here.along)
        return (p.forward * x, y), bearing((0.0, 0.0), (p.forward * along_x, along_y))
    span = _span(p, fitting.tube)
    if span is None or fitting.origin not in TUBE_ENDS[fitting.tube]:
        return None
    start, end = span
    if fitting.origin == TUBE_ENDS[fitting.tube][1]:
        start, end = end, start
    axis = bearing(start, end)
    return along(start, axis, fitting.at), axis


def fitting_entities(p: Plan) -> Iterator[Entity]:
    """A small circle on the axis with a stroke across it, square to the tube."""
    for fitting in p.frame.fittings:
        found = fitting_at(p, fitting)
        if found is None:
            continue
        at, axis = found
        yield Circle(at, MARK, Layer.FITTING)
        yield Line(along(at, axis + 90.0, ACROSS), along(at, axis - 90.0, ACROSS), Layer.FITTING)


def fitting_notes(p: Plan) -> list[Call]:
    """What each fitting is and where to hook the tape."""
    calls: list[Call] = []
    for fitting in p.frame.fittings:
        found = fitting_at(p, fitting)
        if found is None:
            continue
        text = f"{words(fitting.kind)} {format_number(fitting.at, 1)} from {words(fitting.origin)}"
        calls.append(NoteCall(text, found[0], TEXT_NOTE, Layer.FITTING, near=4.0))
    return calls


def _span(p: Plan, tube: str) -> tuple[Point, Point] | None:
    names = {
        "seat_tube": ("seat_tube_foot", "seat_tube_top"),
        "top_tube": ("top_tube_at_seat", "top_tube_at_head"),
        "down_tube": ("down_tube_at_bb", "down_tube_at_head"),
        "head_tube": ("head_tube_bottom", "head_tube_top"),
        "chain_stay": ("bb", "rear_axle"),
        "seat_stay": ("rear_axle", "top_tube_at_seat"),
    }
    if tube not in names:
        return None
    a, b = names[tube]
    return p[a], p[b]

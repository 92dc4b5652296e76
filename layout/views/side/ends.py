"""Lugs and fillets as adjacent parts on the side view, and the seat tube's top: slot and least insertion."""

from __future__ import annotations

from collections.abc import Iterator

from layout.bench.fillets import fillets
from layout.bench.lugs import Lug, lugs, seat_top
from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Arc, Entity, Line, Point, Polyline
from layout.drafting.numbers import format_number
from layout.drafting.style import TEXT_NOTE, THIN, Layer, Pen
from layout.drafting.vector import along, bearing
from layout.geometry.space.roles import BACK, SEAT_TUBE
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Z, cross, unit
from layout.views.side.plan import Plan

LUG_WALL = 1.2
"""A lug's wall, mm, common practice: it is drawn so far outside its tube."""
LUG_POINT = 12.0
"""A lug's point stands out by this from its sides, mm, or by half its length."""
CLAMP = 14.0
"""Height of a collar or sleeve, mm, common practice."""
PAST = 4.0
FILLET_PEN = Pen(THIN)
"""Whole: an arc of 8 is too short for dashes."""


def lug_outlines(p: Plan) -> Iterator[Entity]:
    """Each lug or socket along its tube, from the tube's long point to the lug's point."""
    for lug in lugs(p.frame):
        yield Polyline(tuple(_lug(p, lug)), Layer.WHEEL)


def _lug(p: Plan, lug: Lug) -> Iterator[Point]:
    inward = lug.tube.end(lug.end).inward
    shoulder = lug.point - inward * min(LUG_POINT, lug.length / 2)
    yield _beside(p, lug.tube, lug.long_point, 1.0, past=LUG_WALL)
    yield _beside(p, lug.tube, shoulder, 1.0, past=LUG_WALL)
    yield _beside(p, lug.tube, lug.point, 0.0, past=0.0)
    yield _beside(p, lug.tube, shoulder, -1.0, past=LUG_WALL)
    yield _beside(p, lug.tube, lug.long_point, -1.0, past=LUG_WALL)


def _beside(p: Plan, tube: Tube, station: float, side: float, *, past: float) -> Point:
    """A point of the side view at a station: on the axis, or `past` mm outside the tube on one side."""
    here = tube.path.at(station)
    way = unit(cross(Z, here.along))
    at = here.at + side * (tube.half_extent(station, way) + past) * way
    return p.forward * float(at[0]) + 0.0, float(at[1])


def seat_top_strokes(p: Plan) -> Iterator[Entity]:
    """The collar or sleeve as an adjacent part, the slot, the line of the least insertion of the post."""
    found, tube = seat_top(p.frame), p.frame.space.of(SEAT_TUBE)
    if found is None:
        return
    corners = [_beside(p, tube, t, s, past=LUG_WALL) for t, s in
               ((tube.length, 1.0), (tube.length, -1.0), (tube.length - CLAMP, -1.0),
                (tube.length - CLAMP, 1.0))]  # fmt: skip
    yield Polyline(tuple(corners), Layer.WHEEL, closed=True)
    side = 1.0 if found.side == BACK else -1.0
    top, end = (_beside(p, tube, tube.length - d, side, past=-1.0) for d in (0.0, found.slot))
    yield Line(top, end, Layer.HIDDEN)
    low = tube.length - found.insertion
    yield Line(_beside(p, tube, low, 1.0, past=PAST), _beside(p, tube, low, -1.0, past=PAST), Layer.FITTING)


def seat_top_notes(p: Plan) -> list[Call]:
    """What the line of the least insertion is."""
    found = seat_top(p.frame)
    if found is None:
        return []
    tube = p.frame.space.of(SEAT_TUBE)
    low = tube.length - found.insertion
    at, out = (_beside(p, tube, low, 1.0, past=past) for past in (PAST, PAST + 1.0))
    source = "" if found.given else " (default)"
    said = f"post inserted at least {format_number(found.insertion, 0)} mm{source}"
    return [NoteCall(said, along(at, bearing(at, out), 0.0), TEXT_NOTE, Layer.FITTING)]


def fillet_arcs(p: Plan) -> Iterator[Entity]:
    """The fillets of a fillet-brazed frame as adjacent parts."""
    for each in fillets(p.frame):
        places = (each.centre, each.on_tube, each.on_host)
        centre, *feet = ((p.forward * float(at[0]) + 0.0, float(at[1])) for at in places)
        start, end = (bearing(centre, foot) for foot in feet)
        if (end - start) % 360.0 > 180.0:
            start, end = end, start
        end += 360.0 if end < start else 0.0
        yield Arc(centre, each.radius, start, end, layer=Layer.WHEEL, pen=FILLET_PEN)

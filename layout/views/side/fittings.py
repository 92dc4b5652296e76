"""Fittings on the side view: where on paper each sits, on the edge of its tube that it faces."""

from __future__ import annotations

import math
from collections.abc import Iterator

from layout.bench.fitted import bridge_of
from layout.drafting.vector import Point, along, bearing
from layout.frame.job import Fitting
from layout.geometry.space.stations import stay_station, stay_tube
from layout.geometry.space.tube import FIRST
from layout.views.fittings import SitedFitting, hooked_words, joins_two
from layout.views.side.plan import Plan


def sited_fittings(p: Plan) -> Iterator[SitedFitting]:
    """Each fitting on the edge of its tube, on the axis where it faces the viewer."""
    for fitting in p.frame.fittings:
        at, axis = fitting_at(p, fitting)
        if joins_two(fitting):
            yield _bridge(p, fitting, at, axis)
            continue
        facing = _side(p, fitting, axis)
        off = 0.0 if facing is None else _radius(p, fitting)
        yield SitedFitting(fitting, at, axis, hooked_words(p.frame, fitting), facing=facing, off=off)


def _bridge(p: Plan, fitting: Fitting, at: Point, axis: float) -> SitedFitting:
    """A bridge as cut through its middle, which a curved one has off the stays."""
    tube = bridge_of(p.frame, fitting)
    x, y, _ = (float(v) for v in tube.path.at(tube.length / 2).at)
    radius, off = tube.diameter_at(tube.length / 2)[0] / 2, math.dist(at, (p.forward * x, y))
    hooked = hooked_words(p.frame, fitting)
    if tube.path.straight:
        return SitedFitting(fitting, at, axis, hooked, radius=radius)
    way = bearing(at, (p.forward * x, y))
    return SitedFitting(fitting, at, axis, hooked, facing=way, off=off, radius=radius)


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


def _side(p: Plan, fitting: Fitting, axis: float) -> float | None:
    """The direction on paper, square to the axis, that a fitting faces; None towards the viewer or away."""
    wanted = {"up": 90.0, "down": -90.0, "front": p.ahead, "back": p.ahead + 180.0}.get(fitting.side)
    if wanted is None:
        return None
    return max((axis + 90.0, axis - 90.0), key=lambda a: math.cos(math.radians(a - wanted)))


def _radius(p: Plan, fitting: Fitting) -> float:
    """How far the tube's edge is from its axis at the fitting, mm."""
    bar = p.bars[fitting.tube]
    station = fitting.at if fitting.role.end(fitting.origin) == FIRST else bar.length - fitting.at
    return bar.radius_at(station)

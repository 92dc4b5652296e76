r"""The fillets of a fillet-brazed frame in its plane: an arc between the edges of two tubes at each corner.

        | tube
        |\
        | \  radius      tangent to both edges; on the shell's circle, to the circle
    ____|__`-.____
         host

Brass has no strength in a gap and hides what lies under it: nothing else is put there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from layout.frame.solve import Frame
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import SHELL
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.geometry.space.vectors import Array, Z, cross, length, square_to, unit

FILLET_RADIUS = 8.0
"""Of a finished fillet, mm, common practice: 6 to 10."""
ALONG = 10.0
"""An edge's direction is taken over this length, mm: a taper's too."""
FLATTEST = 160.0
"""Edges that meet at more than this, degrees, need no fillet to be drawn."""
INSIDE = -1e-6


class Fillet(NamedTuple):
    """One corner's fillet, mm in the frame's plane: the arc's middle and its feet on both edges.

    `radius` is FILLET_RADIUS, or less where the host ends before its foot: then `end` is that end (0 first,
    1 second).
    """

    tube: Tube
    host: Tube
    centre: Array
    on_tube: Array
    on_host: Array
    radius: float = FILLET_RADIUS
    end: int | None = None


def fillets(frame: Frame) -> Iterator[Fillet]:
    """Every fillet between the tubes of the middle plane that can be seen; none unless brazed so."""
    if frame.model.joining != "fillet":
        return
    for joint in frame.space.joints:
        if frame.space.tubes[joint.tube].role.laid:
            cut = frame.space.cut(joint)
            if cut is not None:
                yield from (f for side in (1.0, -1.0) for f in _corner(frame, cut, side))


def _corner(frame: Frame, cut: Cut, side: float) -> Iterator[Fillet]:
    """The fillet at one edge of a cut; none inside another tube, or where nothing is met."""
    end = cut.end
    way = side * unit(cross(Z, end.triad.along))
    up = math.degrees(math.atan2(float(way @ end.triad.across), float(way @ end.triad.reference)))
    s, hosts = cut.at(np.array([up]))
    if math.isnan(float(s[0])):
        return
    at: Array = cut.points(np.array([up]), s)[0]
    host, station = cut.hosts[int(hosts[0])].tube, float(cut.stations(s)[0])
    others = (t for t in frame.space.tubes.values() if t.role.laid and t.name not in (cut.tube, host.name))
    if any(float(t.outside(at, 0.0, t.length)) < INSIDE for t in others):
        return
    along = unit(_edge(end.tube, station + end.inward * ALONG, way) - at)
    found = _on_shell(cut, host, at, along, way=way) if host.role == SHELL else None
    found = found or (None if host.role == SHELL else _on_tube(cut, host, at, along, way=way))
    if found is not None:
        yield found


def _edge(tube: Tube, station: float, way: Array) -> Array:
    here = tube.path.at(station)
    found: Array = here.at + tube.half_extent(station, way) * way
    return found


def _on_tube(cut: Cut, host: Tube, at: Array, along: Array, *, way: Array) -> Fillet | None:
    """Between two straight edges: the arc's middle lies on the line that halves their angle."""
    axis = host.path.first
    station = float((at - axis.at) @ axis.along)
    over = unit(square_to(at - axis.at, axis.along))
    edge = unit(_edge(host, station + ALONG, over) - _edge(host, station - ALONG, over))
    edge = edge if float(edge @ way) > 0.0 else -edge
    half = math.acos(max(-1.0, min(1.0, float(along @ edge)))) / 2
    if 2.0 * math.degrees(half) > FLATTEST:
        return None
    rising = float(edge @ axis.along) > 0.0
    room = host.length - station if rising else station
    whole = FILLET_RADIUS / math.tan(half)
    run, radius, end = whole, FILLET_RADIUS, None
    if room < whole:
        run, end = max(room, 0.0), SECOND if rising else FIRST
        radius = run * math.tan(half)
    centre = at + radius / math.sin(half) * unit(along + edge)
    return Fillet(
        cut.end.tube, host, centre, at + run * along,
        on_host=at + run * edge, radius=radius, end=end,
    )  # fmt: skip


def _on_shell(cut: Cut, host: Tube, at: Array, along: Array, *, way: Array) -> Fillet | None:
    """Between an edge and the shell's circle: the middle is a radius from both."""
    out = unit(square_to(way, along))
    start = at + FILLET_RADIUS * out - host.path.first.at
    start = start - float(start @ Z) * Z
    radius = float(host.profile.halves(0.0)[0])
    half, rest = float(start @ along), float(start @ start) - (radius + FILLET_RADIUS) ** 2
    if half * half < rest:
        return None
    run = -half + math.sqrt(half * half - rest)
    if run <= 0.0:
        return None
    middle = start + run * along
    centre = middle + square_to(host.path.first.at, Z)
    foot = square_to(host.path.first.at, Z) + radius / length(middle) * middle
    return Fillet(cut.end.tube, host, centre, centre - FILLET_RADIUS * out, on_host=foot)

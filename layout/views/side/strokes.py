"""The strokes of the side view, before anything is lettered: adjacent parts, centrelines, tubes, crosses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, partial

from layout.bench.tape import TapeCheck, checks
from layout.drafting.entities import Arc, Circle, DatumLine, Entity, Line
from layout.drafting.style import THIN, Layer, Pattern, Pen
from layout.drafting.vector import Point, along, bearing, distance
from layout.geometry.space.roles import HEAD_TUBE, ROLES, Role
from layout.views.crosses import crosses
from layout.views.fittings import SitedFitting, draw_fittings
from layout.views.side.coverage import covered_length
from layout.views.side.ends import fillet_arcs, lug_outlines, seat_top_strokes
from layout.views.side.fittings import sited_fittings
from layout.views.side.plan import SURROUNDING_POINTS, Plan
from layout.views.side.tubes import dropout, stay_axis, tubes

CENTRELINE_PAST = 40.0
"""Centrelines run this far past every part that covers them: the tubes will lie on the lines."""
ARM_PAST = 15.0
"""Arms of a scribe cross reach this far past the part that covers it."""
LONGEST_COVER = 85.0
"""A part that covers more of an arm than this runs along with it: its edge is no place to look for it."""
BRAKE_IN, BRAKE_OUT = 25.0, 25.0
"""A brake's body lies about so far inside and outside a rotor's rim, mm, common practice."""
ADJACENT = Pen(THIN, Pattern.PHANTOM)


@dataclass(frozen=True)
class SideStrokes:
    """What the view draws on every paper, beside its callouts."""

    plan: Plan
    checks: tuple[TapeCheck, ...]
    wheels: tuple[Entity, ...]
    outlines: tuple[Entity, ...]
    axes: tuple[Entity, ...]
    arms: tuple[Entity, ...]
    sited: tuple[SitedFitting, ...]

    @property
    def core(self) -> dict[str, Point]:
        """The points that must be on the sheet."""
        return {n: at for n, at in self.plan.points.items() if n not in SURROUNDING_POINTS}

    @property
    def around(self) -> dict[str, Point]:
        """The points that are shown where there is room."""
        return {n: at for n, at in self.plan.points.items() if n in SURROUNDING_POINTS}

    @cached_property
    def fittings(self) -> tuple[Entity, ...]:
        """Fittings, and what closes the seat tube's top."""
        return *draw_fittings(self.sited), *seat_top_strokes(self.plan)

    @property
    def wheeled(self) -> bool:
        """Whether there are wheels, and so a ground."""
        return self.plan.frame.wheels_shown != "none"


def side_strokes(p: Plan) -> SideStrokes:
    """The strokes of a plan, its tubes as the spec wishes them."""
    core = [at for n, at in p.points.items() if n not in SURROUNDING_POINTS]
    return SideStrokes(
        p,
        checks(p.points),
        tuple(adjacent_parts(p)),
        (*tubes(p), *dropout(p)) if p.frame.tubes_shown == "outline" else (),
        axes=tuple(centrelines(p)),
        arms=tuple(crosses(core, partial(arm, p))),
        sited=tuple(sited_fittings(p)),
    )


def adjacent_parts(p: Plan) -> Iterator[Entity]:
    """Wheels, crank circle and headset: parts the frame is built round, as adjacent parts."""
    frame = p.frame
    if frame.wheels_shown != "none":
        wheels = frame.plane.rear_wheel, frame.plane.front_wheel
        for at, wheel in zip((p["rear_axle"], p["front_axle"]), wheels, strict=True):
            yield Circle(at, wheel.radius, Layer.WHEEL)
            if wheel.bead_seat_radius is not None:
                yield Circle(at, wheel.bead_seat_radius, Layer.WHEEL)
    if frame.plane.crank_length is not None:
        yield Circle(p["bb"], frame.plane.crank_length, Layer.WHEEL)
    if frame.around.rotor is not None:
        yield from brake_room(p, frame.around.rotor.radius)
    yield from lug_outlines(p)
    yield from fillet_arcs(p)


def brake_room(p: Plan, radius: float) -> Iterator[Entity]:
    """The rotor, and between the stays the zone about its rim that the brake's own drawing must fit into."""
    at = p["rear_axle"]
    yield Circle(at, radius, Layer.WHEEL)
    ways = [bearing(at, p["bb"]), bearing(at, p["top_tube_at_seat"])]
    start, end = ways if (ways[1] - ways[0]) % 360.0 < 180.0 else reversed(ways)
    end += 360.0 if end < start else 0.0
    ring = radius - BRAKE_IN, radius + BRAKE_OUT
    for r in ring:
        yield Arc(at, r, start, end, layer=Layer.WHEEL)
    for way in (start, end):
        yield Line(along(at, way, ring[0]), along(at, way, ring[1]), Layer.WHEEL)


def centrelines(p: Plan) -> Iterator[Entity]:
    """Axes of all tubes and of the fork, past whatever covers them."""
    ends = {name: _axis_ends(p, ROLES[name]) for name in p.bars}
    ends[HEAD_TUBE.name] = (p["fork_foot"], p["head_tube_top"])
    for start, end in ends.values():
        axis = bearing(start, end)
        out = covered_length(end, axis, p.parts) + CENTRELINE_PAST
        back = covered_length(start, axis + 180.0, p.parts) + CENTRELINE_PAST
        yield Line(along(start, axis + 180.0, back), along(end, axis, out), Layer.CENTRE)
    yield Line(p["fork_foot"], p["front_axle"], Layer.CENTRE)
    crown = p["crown_race"]
    across = bearing(p["fork_foot"], crown) + 90.0
    half = p.bars[HEAD_TUBE.name].start_radius
    yield Line(along(crown, across, half), along(crown, across, -half), Layer.WHEEL, ADJACENT)


def _axis_ends(p: Plan, role: Role) -> tuple[Point, Point]:
    """Where a tube's axis runs from and to: of a stay that passes beside the axle, to beside it."""
    if role.dropout is not None and p.frame.space.rear.place(role).off:
        return stay_axis(p, role)
    start, end = role.points
    return p[start], p[end]


def datums(p: Plan) -> Iterator[Entity]:
    """The lines that square the sheet to the jig."""
    yield DatumLine(p["rear_axle"], 0.0, "axle line")
    yield DatumLine(p["bb"], 0.0, "BB level")
    yield DatumLine(p["bb"], 90.0, "BB plumb")


def ground_line(p: Plan) -> Iterator[Entity]:
    """The ground, a quarter of the wheelbase past both contacts."""
    rear, front = p["rear_contact"], p["front_contact"]
    past = 0.25 * distance(rear, front)
    direction = bearing(rear, front)
    yield Line(along(rear, direction + 180.0, past), along(front, direction, past), Layer.WHEEL, Pen(THIN))


def arm(p: Plan, at: Point, direction: float) -> float:
    """How long a cross's arm is: past the parts over its centre, but for one that runs along with it."""
    over = (covered_length(at, direction, [part]) for part in p.parts)
    return max((length for length in over if length <= LONGEST_COVER), default=0.0) + ARM_PAST

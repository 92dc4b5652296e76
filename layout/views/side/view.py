"""The side view: everything of a frame that lies in its plane, at true scale.

DrawnScene in the order of the eye: the wheels and other adjacent parts, centrelines, tubes, scribe
crosses, then callouts found a place among them. BB centre at (0, 0), x to the right, y up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import NamedTuple

from layout.bench.tape import TapeCheck, checks
from layout.drafting.alike import place_alike, place_alike_in_groups
from layout.drafting.calls import Call, NoteCall
from layout.drafting.calls.notes import long_leader
from layout.drafting.entities import Arc, Circle, DatumLine, Drawing, Entity, Line
from layout.drafting.obstacles import HARD, Obstacles
from layout.drafting.placer import DrawnScene, PlacedCalls, Placer
from layout.drafting.places import TakenPlace
from layout.drafting.rooms import Rooms
from layout.drafting.scene import Group, scene, squares
from layout.drafting.style import TEXT_NOTE, THIN, Layer, Pattern, Pen
from layout.drafting.vector import Point, along, bearing, distance, middle
from layout.drafting.view import PagedView, View
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.roles import HEAD_TUBE, ROLES, Role
from layout.views.crosses import coinciding, control_points, cross, crosses, name_calls
from layout.views.fittings import SitedFitting, draw_fittings, fitting_notes
from layout.views.side.callouts import angle_calls, ground_calls, length_calls
from layout.views.side.coverage import covered_length
from layout.views.side.ends import fillet_arcs, lug_outlines, seat_top_notes, seat_top_strokes
from layout.views.side.fittings import sited_fittings
from layout.views.side.plan import SURROUNDING_POINTS, Plan, plan
from layout.views.side.tubes import dropout, stay_axis, tubes

CENTRELINE_PAST = 40.0
"""Centrelines run this far past every part that covers them: the tubes will lie on the lines."""
ARM_PAST = 15.0
"""Arms of a scribe cross reach this far past the part that covers it."""
LONGEST_COVER = 85.0
"""A part that covers more of an arm than this runs along with it: its edge is no place to look for it."""
AT_HEAD = ("head_tube_top", "top_tube_at_head", "down_tube_at_head", "head_tube_bottom", "crown_race")
"""Points along the head tube: their names keep the points' order."""
WAY_OUT, WAY_OUT_PRICE = 90.0, 150.0
"""So far, mm, names along the head tube leave the way of dimensions free; what it costs not to do so."""
CROSS_CLEAR = 5.0
"""Half the square round a cross's centre that lettering keeps off, for the scriber's point."""
CENTRELINE_PRICE, WHEEL_PRICE, DATUM_PRICE, ARM_PRICE = 24.0, 8.0, 20.0, 3000.0
WAY_DOWN, WAY_DOWN_PRICE = 180.0, 100.0
"""The same below the axles: words there would send the long level dimensions up across the frame."""
MANY_LEFT = 4
"""Where more callouts than these find no place in one order, no other order finds room for them all."""
BRAKE_IN, BRAKE_OUT = 25.0, 25.0
"""A brake's body lies about so far inside and outside a rotor's rim, mm, common practice."""
BRAKE_NOTE, BRAKE_NEAR = "room for the brake", 3.0
ADJACENT = Pen(THIN, Pattern.PHANTOM)


class SideView(NamedTuple):
    """The view, its tape checks, and the callouts that found no clean place and are not drawn."""

    view: View
    checks: tuple[TapeCheck, ...]
    crowded: tuple[str, ...]


def draft(frame: Frame) -> SideView:
    """Draw the side view of a solved frame, its tubes as they lie in space."""
    strokes = _strokes(plan(frame))
    view, crowded = _lettered(strokes, None)
    return SideView(view, strokes.checks, crowded)


@dataclass(frozen=True)
class _Strokes:
    """The view before anything is lettered: what callouts keep off, on every paper."""

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

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """All of it with its prices."""
        p = self.plan
        around = crosses(self.around.values(), partial(arm, p))
        return (
            (self.outlines, HARD),
            (self.axes, CENTRELINE_PRICE),
            (self.wheels, WHEEL_PRICE),
            ([*self.arms, *around, *self.fittings], ARM_PRICE),
            (squares(p.points.values(), CROSS_CLEAR), HARD),
            (list(_levels(p)), DATUM_PRICE),
            (list(_ways_down(p)), WAY_DOWN_PRICE),
        )

    @cached_property
    def drawn(self) -> DrawnScene:
        """What callouts are placed on."""
        return DrawnScene(scene(self.groups))

    @cached_property
    def names(self) -> tuple[list[NoteCall], list[Call]]:
        """The names of points along the head tube, which are placed as one, and the others."""
        return _at_head(_names(self.core))

    @cached_property
    def around_head(self) -> Obstacles:
        """What names along the head tube are placed on."""
        ways_out = list(_ways_out(self.plan, [call.at for call in self.names[0]]))
        return scene((*self.groups, (ways_out, WAY_OUT_PRICE))).frozen()


def _strokes(p: Plan) -> _Strokes:
    core = [at for n, at in p.points.items() if n not in SURROUNDING_POINTS]
    return _Strokes(
        p,
        checks(p.points),
        tuple(adjacent_parts(p)),
        (*tubes(p), *dropout(p)) if p.frame.tubes_shown == "outline" else (),
        axes=tuple(centrelines(p)),
        arms=tuple(crosses(core, partial(arm, p))),
        sited=tuple(sited_fittings(p)),
    )


def _lettered(strokes: _Strokes, rooms: Rooms | None) -> tuple[View, tuple[str, ...]]:
    """The view with its callouts, and those without a place; `rooms` where pages join."""
    p, core, around = strokes.plan, strokes.core, strokes.around
    lengths = length_calls(p, strokes.checks)
    notes = [*fitting_notes(strokes.sited), *brake_notes(p), *seat_top_notes(p)]
    wheeled = p.frame.wheels_shown != "none"
    grounded = ground_calls(p) if wheeled else []
    ground = ground_line(p) if wheeled else ()
    around_names = _names(around)

    together, named = strokes.names
    at_head = strokes.around_head
    alike = (
        place_alike(together, at_head)
        if rooms is None
        else place_alike_in_groups(together, at_head, rooms)
    )
    names = [*named, *(call for i, call in enumerate(together) if i not in alike)]
    settled, angles = tuple(alike.values()), angle_calls(p)
    placer, best = Placer(strokes.drawn, rooms, settled), None
    for order in _orders(lengths, notes, names, joined=rooms is not None):
        inner = [*angles, *order]
        tried = _Placing(inner, placer.place([*inner, *grounded, *around_names]), settled)
        best = tried if best is None or tried.unclear < best.unclear else best
        if not 0 < tried.unclear[0] <= MANY_LEFT:
            break
    assert best is not None
    inner, placed, settled = best.inner, best.placed, best.settled
    shown = [e for group in placed.groups[: len(inner)] for e in group]
    shown += [e for each in settled for e in each.entities]
    points = tuple(control_points(core))
    entities = (
        *_datums(p), *strokes.axes, *strokes.outlines, *strokes.fittings, *shown, *strokes.arms, *points,
    )  # fmt: skip
    groups = (
        *((e,) for e in (*strokes.wheels, *ground)),
        *(group for group in placed.groups[len(inner) : len(inner) + len(grounded)] if group),
        *_named_groups(p, around, placed.groups[len(inner) + len(grounded) :]),
    )
    view = View(
        Drawing(p.frame.job.title, entities),
        groups,
        (*strokes.outlines, *points) if strokes.outlines else (*strokes.axes, *points),
        partial(_on_pages, strokes),
    )
    return view, placed.crowded


def _on_pages(strokes: _Strokes, rooms: Rooms) -> PagedView:
    view, lost = _lettered(strokes, rooms)
    return PagedView(view, tuple(map(words, lost)))


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


def brake_notes(p: Plan) -> Iterator[Call]:
    """What the zone about the rotor's rim is for."""
    rotor = p.frame.around.rotor
    if rotor is not None:
        at = p["rear_axle"]
        down, up = (along(at, bearing(at, p[name]), 100.0) for name in ("bb", "top_tube_at_seat"))
        between = middle(down, up)
        out = along(at, bearing(at, between), rotor.radius + BRAKE_OUT)
        yield NoteCall(BRAKE_NOTE, out, TEXT_NOTE, Layer.WHEEL, near=BRAKE_NEAR)


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


def _datums(p: Plan) -> Iterator[Entity]:
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


class _Placing(NamedTuple):
    """The callouts of one try, where they went, and what was settled before."""

    inner: list[Call]
    placed: PlacedCalls
    settled: tuple[TakenPlace, ...]

    @property
    def unclear(self) -> tuple[int, int]:
        """How many callouts found no place, and how many leaders are long."""
        return len(self.placed.crowded), sum(long_leader(group) for group in self.placed.groups)


def _orders(
    lengths: Sequence[Call], notes: Sequence[Call], names: Sequence[Call], *, joined: bool
) -> Iterator[tuple[Call, ...]]:
    """In which order callouts are placed: what is placed first has the better places.

    Notes come first: they have the least room. Where pages join, that is the only order tried. Another is
    tried where callouts are left without a place. For long leaders alone none is: 21 of 85 frames had such
    leaders (the demos with head angles moved by up to a degree), and no order made them fewer.
    """
    yield (*notes, *lengths, *names)
    if not joined:
        yield (*lengths, *notes, *names)
        yield (*names, *notes, *lengths)


def _ways_out(p: Plan, points: Iterable[Point]) -> Iterator[Line]:
    """Where extension lines leave points along the head tube, to both sides."""
    across = bearing(p["head_tube_bottom"], p["head_tube_top"]) + 90.0
    for at in points:
        yield Line(along(at, across, -WAY_OUT), along(at, across, WAY_OUT), Layer.DIM)


def _ways_down(p: Plan) -> Iterator[Line]:
    """Where extension lines leave the axles and the BB downwards, to the long level dimensions."""
    for name in ("rear_axle", "bb", "front_axle"):
        yield Line(p[name], along(p[name], -90.0, WAY_DOWN), Layer.DIM)


def _at_head(names: Sequence[Call]) -> tuple[list[NoteCall], list[Call]]:
    said = {words(n) for n in AT_HEAD}
    together = [call for call in names if isinstance(call, NoteCall) and call.text in said]
    return together, [call for call in names if call not in together]


def _names(points: Mapping[str, Point]) -> list[Call]:
    return name_calls(points, words)


def _named_groups(
    p: Plan, points: Mapping[str, Point], notes: Sequence[tuple[Entity, ...]]
) -> Iterator[tuple[Entity, ...]]:
    """Each surrounding point with its cross and its name: shown together or not at all."""
    for (at, names), note in zip(coinciding(points), notes, strict=True):
        yield (*note, *cross(at, partial(arm, p)), *control_points(dict.fromkeys(names, at)))


def _levels(p: Plan) -> Iterator[Line]:
    """The lines of the datums and of the ground, as far as any sheet goes."""
    far = 2000.0
    ground = middle(p["rear_contact"], p["front_contact"])
    for at, angle in ((p["rear_axle"], 0.0), (p["bb"], 0.0), (p["bb"], 90.0), (ground, 0.0)):
        yield Line(along(at, angle, -far), along(at, angle, far), Layer.DIM)

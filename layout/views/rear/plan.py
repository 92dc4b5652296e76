"""The rear end in plan: chain stays in true shape, with all that turns between and beside them.

Seen square to the plane of the chain stays, from above: the bottom bracket's axis upright on paper at
x = 0, the rear axle at its true distance, the drive side below (heading right). What turns is drawn
as adjacent parts; each least gap is marked where it is and said in words.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.calls import Call, LengthCall, NoteCall
from layout.drafting.entities import ControlPoint, Entity, Line, Point, Polyline
from layout.drafting.placer import place
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import bearing
from layout.geometry.space.gaps import Gap
from layout.geometry.space.roles import CHAIN_STAY, SHELL, Seen
from layout.geometry.space.vectors import vector
from layout.views.projection import Plane, axis, half_width, outline
from layout.views.rear.checks import lettered, named
from layout.views.rear.parts import (
    AXIS_PAST,
    TYRE_BEYOND,
    Drafted,
    RearInput,
    bend_notes,
    crosses,
    dropouts,
    end_points,
    fitting_marks,
    fitting_notes,
    gap_marks,
    gap_notes,
    gaps_seen,
    hub,
    lean_call,
    scene,
    stay_plane,
    tyre_and_rim,
    tyre_note,
)


def draft_plan(r: RearInput) -> Drafted:
    """Draw the plan of the rear end."""
    axle = vector(*r.frame.rear_axle)
    plane = stay_plane(r, -axle, vector(0.0, 0.0))
    tubes = list(_tubes(r, plane))
    around = list(_adjacent(r, plane))
    axes = list(_axes(r, plane))
    points = _points(r, plane)
    marks = [*crosses(points.values()), *gap_marks(plan_gaps(r), plane)]
    marks += fitting_marks(r, plane, CHAIN_STAY)
    lean = lean_call("stay_lean", r.frame.drawn(CHAIN_STAY), plane, 16)
    calls = [*lettered([*_lengths(r, plane), *lean], points), *_notes(r, plane), *named(points)]
    placed = place(calls, scene(tubes, axes, around, marks, points.values()))
    shown = [e for group in placed.groups for e in group]
    held = [ControlPoint(n, p) for n, p in points.items()]
    return Drafted((*around, *axes, *tubes, *shown, *marks, *held), placed.crowded)


def _tubes(r: RearInput, plane: Plane) -> Iterator[Entity]:
    frame = r.frame
    half, radius = frame.shell.width / 2, frame.shell.diameter / 2
    yield Polyline(_box(plane, (-radius, radius), (-half, half)), Layer.OUTLINE, closed=True)
    for tube in frame.seen(Seen.PLAN):
        yield from outline(frame, tube, plane, facing=True)
    yield from dropouts(r, plane.point(vector(*frame.rear_axle))[0])


def _box(plane: Plane, ahead: tuple[float, float], aside: tuple[float, float]) -> tuple[Point, ...]:
    """A rectangle given along the plane's ahead direction and along z, about its origin."""
    sign = 1.0 if plane.aside[2] > 0 else -1.0
    (a, b), (c, d) = ahead, aside
    return ((a, sign * c), (b, sign * c), (b, sign * d), (a, sign * d))


def _adjacent(r: RearInput, plane: Plane) -> Iterator[Entity]:
    """Tyre, rim, chainring, crank, hub: parts the rear end is built round."""
    at = plane.point(vector(*r.frame.rear_axle))[0]
    yield from tyre_and_rim(r, at)
    yield hub(r, at)
    back = -r.sign
    ring, crank = r.around.chainring, r.around.crank
    yield Polyline(_box(plane, (-ring.radius, ring.radius), (ring.near, ring.far)), Layer.WHEEL, closed=True)
    ends = sorted((back * crank.radius, -back * r.frame.shell.diameter / 2))
    yield Polyline(_box(plane, (ends[0], ends[1]), (crank.near, crank.far)), Layer.WHEEL, closed=True)


def _axes(r: RearInput, plane: Plane) -> Iterator[Entity]:
    axle = plane.point(vector(*r.frame.rear_axle))[0]
    toward = r.sign
    shell = r.frame.shell.diameter / 2
    yield Line(
        (axle - toward * (TYRE_BEYOND + AXIS_PAST), 0.0), (toward * (shell + AXIS_PAST), 0.0), Layer.CENTRE
    )
    reach = max(r.frame.shell.width / 2, r.around.crank.far) + AXIS_PAST / 2
    yield Line((0.0, -reach), (0.0, reach), Layer.CENTRE)
    out = r.frame.rear.dropout_plane + AXIS_PAST
    yield Line((axle, -out), (axle, out), Layer.CENTRE)
    for stay in r.frame.pair(CHAIN_STAY):
        yield axis(stay, plane, -AXIS_PAST, stay.length + r.frame.rear.inset)
    for bridge in r.frame.bridges(CHAIN_STAY):
        yield axis(bridge, plane, -AXIS_PAST / 2, bridge.length + AXIS_PAST / 2)


def _points(r: RearInput, plane: Plane) -> dict[str, Point]:
    """Named points: shell, axle, and both ends of each stay's axis."""
    found = {"plan_bb": (0.0, 0.0), "plan_rear_axle": plane.point(vector(*r.frame.rear_axle))}
    for stay in r.frame.pair(CHAIN_STAY):
        found.update(end_points("plan", stay, plane))
    return found


def plan_gaps(r: RearInput) -> list[Gap]:
    """The gaps that the plan shows: those of the chain stays and what lies between them."""
    return gaps_seen(r, Seen.PLAN)


def _lengths(r: RearInput, plane: Plane) -> Iterator[Call]:
    rear, frame, toward = r.frame.rear, r.frame, r.sign
    axle = plane.point(vector(*frame.rear_axle))[0]
    behind = 1 if toward > 0 else -1
    half = rear.spacing / 2
    hub = (axle, -half), (axle, half)
    yield LengthCall("hub_spacing", "hub spacing", *hub, 90.0, behind, 30.0, height=TEXT_TABLE)
    bb = [plane.point(stay.path.first.at) for stay in frame.pair(CHAIN_STAY)]
    yield LengthCall("stay_spacing", "stays", bb[0], bb[1], 90.0, -behind, 34.0, height=TEXT_TABLE)
    shell = frame.shell.width / 2
    face = toward * frame.shell.diameter / 2
    yield LengthCall(
        "shell_width", "shell", (face, -shell), (face, shell), 90.0, -behind, 14.0, height=TEXT_TABLE
    )
    yield LengthCall("rear_centre", "rear centre", (axle, 0.0), (0.0, 0.0), 0.0, 1, 40.0, height=TEXT_TABLE)
    left, _ = frame.pair(CHAIN_STAY)
    if left.path.straight:
        a, b = plane.point(left.path.first.at), plane.point(left.path.last.at)
        clear = half_width(left, plane, 0.0) + 6.0
        side = 1 if _upper(a, b, toward) else -1
        yield LengthCall("chain_stay_axis", "stay axis", a, b, bearing(a, b), side, clear, height=TEXT_TABLE)
    ring = (r.around.chainring.near + r.around.chainring.far) / 2
    y = ring if plane.aside[2] > 0 else -ring
    at = toward * r.around.chainring.radius
    yield LengthCall("chainline", "chainline", (at, 0.0), (at, y), 90.0, -behind, 8.0, height=TEXT_TABLE)


def _upper(a: Point, b: Point, toward: float) -> bool:
    """Whether the outer side of the upper stay is left of the direction a to b."""
    return (b[0] - a[0]) * toward > 0


def _notes(r: RearInput, plane: Plane) -> Iterator[Call]:
    yield from gap_notes(plan_gaps(r), plane)
    yield from tyre_note(r, plane.point(vector(*r.frame.rear_axle))[0])
    yield from bend_notes(r.frame.drawn(CHAIN_STAY), plane)
    shell = r.frame.of(SHELL)
    yield NoteCall("drive side", plane.point(shell.path.last.at), TEXT_NOTE)
    yield from fitting_notes(r, plane, CHAIN_STAY)

"""The rear end in plan: chain stays in true shape, with all that turns between and beside them.

Seen square to the plane of the chain stays, from above: the bottom bracket's axis upright on paper at
x = 0, the rear axle at its true distance, the drive side below (heading right). What turns is drawn
as adjacent parts; each least gap is marked where it is and said in words.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.calls import Call, LengthCall, NoteCall
from layout.drafting.entities import Entity, Line, Point, Polyline
from layout.drafting.rooms import Rooms
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import bearing
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import PlacedLength
from layout.geometry.space.form import THROUGH_AXLE
from layout.geometry.space.gaps import Gap
from layout.geometry.space.roles import CHAIN_STAY, SHELL, Seen
from layout.geometry.space.vectors import vector
from layout.views.checks import letter_calls
from layout.views.fittings import fitting_notes
from layout.views.projection import ProjectionPlane, axis, half_width, outline
from layout.views.rear.checks import checks
from layout.views.rear.parts import (
    AXIS_PAST,
    TYRE_BEYOND,
    Drafted,
    Strokes,
    bend_notes,
    dimple_notes,
    dropouts,
    end_points,
    gap_marks,
    gap_notes,
    gaps_seen,
    hub,
    lean_call,
    past_axle,
    rotor,
    sited_fittings,
    stay_plane,
    tyre_and_rim,
    tyre_note,
    with_callouts,
)


def draft_plan(frame: Frame, rooms: Rooms | None = None) -> Drafted:
    """Draw the plan of the rear end."""
    foot, _ = past_axle(frame, CHAIN_STAY)
    plane = stay_plane(frame, -foot, vector(0.0, 0.0))
    strokes = Strokes(
        tuple(_tubes(frame, plane)),
        tuple(_adjacent_parts(frame, plane)),
        tuple(_axes(frame, plane)),
        tuple(gap_marks(plan_gaps(frame), plane)),
    )
    points = _points(frame, plane)
    sited = list(sited_fittings(frame, plane, CHAIN_STAY))
    lean = lean_call("stay_lean", frame.space.drawn(CHAIN_STAY), plane, 16)
    calls = letter_calls([*_lengths(frame, plane), *lean], checks(points), points, TEXT_TABLE)
    calls += [*_notes(frame, plane), *fitting_notes(sited)]
    return with_callouts(strokes, points, sited, calls, rooms=rooms)


def _tubes(frame: Frame, plane: ProjectionPlane) -> Iterator[Entity]:
    space = frame.space
    half, radius = space.shell.width / 2, space.shell.diameter / 2
    yield Polyline(_box(plane, (-radius, radius), (-half, half)), Layer.OUTLINE, closed=True)
    for tube in space.seen(Seen.PLAN):
        yield from outline(space, tube, plane)
    yield from dropouts(frame, plane, CHAIN_STAY)


def _box(plane: ProjectionPlane, ahead: tuple[float, float], aside: tuple[float, float]) -> tuple[Point, ...]:
    """A rectangle given along the plane's ahead direction and along z, about its origin."""
    sign = 1.0 if plane.aside[2] > 0 else -1.0
    (a, b), (c, d) = ahead, aside
    return ((a, sign * c), (b, sign * c), (b, sign * d), (a, sign * d))


def _adjacent_parts(frame: Frame, plane: ProjectionPlane) -> Iterator[Entity]:
    """Tyre, rim, chainring, crank, hub: parts the rear end is built round."""
    at = plane.point(vector(*frame.space.rear_axle))[0]
    yield from tyre_and_rim(frame, at)
    yield hub(frame, at)
    yield from rotor(frame, at)
    back = -frame.forward
    ring, crank = frame.around.chainring, frame.around.crank
    yield Polyline(_box(plane, (-ring.radius, ring.radius), (ring.near, ring.far)), Layer.WHEEL, closed=True)
    ends = sorted((back * crank.radius, -back * frame.space.shell.diameter / 2))
    yield Polyline(_box(plane, (ends[0], ends[1]), (crank.near, crank.far)), Layer.WHEEL, closed=True)


def _axes(frame: Frame, plane: ProjectionPlane) -> Iterator[Entity]:
    axle = plane.point(vector(*frame.space.rear_axle))[0]
    toward = frame.forward
    shell = frame.space.shell.diameter / 2
    yield Line(
        (axle - toward * (TYRE_BEYOND + AXIS_PAST), 0.0), (toward * (shell + AXIS_PAST), 0.0), Layer.CENTRE
    )
    reach = max(frame.space.shell.width / 2, frame.around.crank.far) + AXIS_PAST / 2
    yield Line((0.0, -reach), (0.0, reach), Layer.CENTRE)
    out = frame.space.rear.dropout_plane + AXIS_PAST
    yield Line((axle, -out), (axle, out), Layer.CENTRE)
    for stay in frame.space.pair(CHAIN_STAY):
        yield axis(stay, plane, -AXIS_PAST, stay.length + frame.space.rear.chain_stay.from_axle)
    for bridge in frame.space.bridges(CHAIN_STAY):
        yield axis(bridge, plane, -AXIS_PAST / 2, bridge.length + AXIS_PAST / 2)


def _points(frame: Frame, plane: ProjectionPlane) -> dict[str, Point]:
    """Named points: shell, axle, and both ends of each stay's axis."""
    found = {"plan_bb": (0.0, 0.0), "plan_rear_axle": plane.point(vector(*frame.space.rear_axle))}
    for stay in frame.space.pair(CHAIN_STAY):
        found.update(end_points("plan", stay, plane))
    return found


def plan_gaps(frame: Frame) -> list[Gap]:
    """The gaps that the plan shows: those of the chain stays and what lies between them."""
    return gaps_seen(frame, Seen.PLAN)


def _lengths(frame: Frame, plane: ProjectionPlane) -> Iterator[Call]:
    space, toward = frame.space, frame.forward
    rear = space.rear
    axle = plane.point(vector(*space.rear_axle))[0]
    behind = 1 if toward > 0 else -1
    half = rear.spacing / 2
    hub = (axle, -half), (axle, half)
    yield LengthCall(
        "hub_spacing", "hub spacing", *hub, direction=90.0, side=behind, clear=30.0, height=TEXT_TABLE
    )
    if (frame.model.rear_end.axle or 0.0) >= THROUGH_AXLE:
        over = (axle, -half - rear.thickness), (axle, half + rear.thickness)
        yield LengthCall(
            "over_dropouts", "over dropouts", *over,
            direction=90.0, side=behind, clear=44.0, height=TEXT_TABLE,
        )  # fmt: skip
    bb = [plane.point(stay.path.first.at) for stay in space.pair(CHAIN_STAY)]
    yield LengthCall(
        "stay_spacing", "stays", bb[0], bb[1], direction=90.0, side=-behind, clear=34.0, height=TEXT_TABLE
    )
    shell = space.shell.width / 2
    face = toward * space.shell.diameter / 2
    yield LengthCall(
        "shell_width",
        "shell",
        (face, -shell),
        (face, shell),
        direction=90.0,
        side=-behind,
        clear=14.0,
        height=TEXT_TABLE,
    )
    yield from _rear_centre(axle, rear.chain_stay.off == 0.0)
    left, _ = space.pair(CHAIN_STAY)
    if left.path.straight:
        a, b = plane.point(left.path.first.at), plane.point(left.path.last.at)
        clear = half_width(left, plane, 0.0) + 6.0
        side = 1 if _upper(a, b, toward) else -1
        yield LengthCall(
            "chain_stay_axis",
            "stay axis",
            a,
            b,
            direction=bearing(a, b),
            side=side,
            clear=clear,
            height=TEXT_TABLE,
        )
    ring = (frame.around.chainring.near + frame.around.chainring.far) / 2
    y = ring if plane.aside[2] > 0 else -ring
    at = toward * frame.around.chainring.radius
    yield LengthCall(
        "chainline",
        "chainline",
        (at, 0.0),
        (at, y),
        direction=90.0,
        side=-behind,
        clear=8.0,
        height=TEXT_TABLE,
    )


def _rear_centre(axle: float, through: bool) -> Iterator[Call]:
    """The side view's rear centre where this plane goes `through` the axle, else the stays' axes' run."""
    span = REGISTRY["rear_centre"].span
    lies = None if span is None else span.placed({"bb": (0.0, 0.0), "rear_axle": (axle, 0.0)})
    if isinstance(lies, PlacedLength):
        yield LengthCall(
            "rear_centre",
            words("rear_centre") if through else "BB to axle, along the stays",
            lies.start,
            lies.end,
            direction=0.0,
            side=1,
            clear=40.0,
            height=TEXT_TABLE,
        )


def _upper(a: Point, b: Point, toward: float) -> bool:
    """Whether the outer side of the upper stay is left of the direction a to b."""
    return (b[0] - a[0]) * toward > 0


def _notes(frame: Frame, plane: ProjectionPlane) -> Iterator[Call]:
    yield from gap_notes(plan_gaps(frame), plane)
    yield from tyre_note(frame, plane.point(vector(*frame.space.rear_axle))[0])
    yield from bend_notes(frame, frame.space.drawn(CHAIN_STAY), plane)
    yield from dimple_notes(frame, frame.space.drawn(CHAIN_STAY), plane)
    for bridge in frame.space.bridges(CHAIN_STAY):
        yield from bend_notes(frame, bridge, plane)
    shell = frame.space.of(SHELL)
    yield NoteCall("drive side", plane.point(shell.path.last.at), TEXT_NOTE)

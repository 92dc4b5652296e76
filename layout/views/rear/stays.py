"""The seat stays in true shape, seen square to their own plane from behind and above.

x = 0 at the rear axle, the seat tube at the other end, the drive side below (heading right), as in the
plan. Shown with them: tyre and rim, bridges and where one would clear the tyre, and the reach of a brake.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.calls import Call, LengthCall, NoteCall
from layout.drafting.entities import Entity, Line, Point
from layout.drafting.numbers import format_number
from layout.drafting.rooms import Rooms
from layout.drafting.style import TEXT_TABLE, Layer
from layout.drafting.vector import bearing
from layout.frame.solve import Frame
from layout.geometry.space.clearance import TYRE_GAP, bridge_clear_of
from layout.geometry.space.form import BRIDGE_DIAMETER
from layout.geometry.space.gaps import Gap
from layout.geometry.space.roles import SEAT_STAY, SEAT_TUBE, Seen
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import length, vector
from layout.views.checks import letter_calls
from layout.views.fittings import fitting_notes
from layout.views.projection import ProjectionPlane, axis, half_width, outline, section
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

BRIDGE_MARK = 9.0


def draft_stays(frame: Frame, rooms: Rooms | None = None) -> Drafted:
    """Draw the seat stays in true shape."""
    top = vector(*frame.plane.points["top_tube_at_seat"])
    axle, reach = past_axle(frame, SEAT_STAY)
    plane = stay_plane(frame, top - axle, axle)
    strokes = Strokes(
        tuple(_tubes(frame, plane)),
        (hub(frame, 0.0), *tyre_and_rim(frame, 0.0), *rotor(frame, 0.0)),
        tuple(_axes(frame, plane, reach)),
        (*gap_marks(stay_gaps(frame), plane), *_bridge_mark(frame)),
    )
    points = _points(frame, plane)
    sited = list(sited_fittings(frame, plane, SEAT_STAY))
    lean = lean_call("seat_stay_lean", frame.space.drawn(SEAT_STAY), plane, 20)
    calls = letter_calls([*_lengths(frame, plane), *lean], checks(points), points, TEXT_TABLE)
    calls += [*_notes(frame, plane), *fitting_notes(sited)]
    return with_callouts(strokes, points, sited, calls, rooms=rooms)


def _tubes(frame: Frame, plane: ProjectionPlane) -> Iterator[Entity]:
    for tube in frame.space.seen(Seen.SEAT_STAYS):
        yield from outline(frame.space, tube, plane)
    yield from dropouts(frame, plane, SEAT_STAY)
    seat = frame.space.of(SEAT_TUBE)
    top, foot = vector(*frame.plane.points["top_tube_at_seat"]), vector(*frame.plane.points["seat_tube_foot"])
    yield section(seat, plane, length(top - foot))


def _axes(frame: Frame, plane: ProjectionPlane, reach: float) -> Iterator[Entity]:
    toward = frame.forward
    yield Line(
        (-toward * (TYRE_BEYOND + AXIS_PAST), 0.0), (toward * (reach + 2 * AXIS_PAST), 0.0), Layer.CENTRE
    )
    out = frame.space.rear.dropout_plane + AXIS_PAST
    yield Line((0.0, -out), (0.0, out), Layer.CENTRE)
    for stay in frame.space.pair(SEAT_STAY):
        yield axis(stay, plane, -frame.space.rear.seat_stay.from_axle, stay.length + AXIS_PAST)
    for bridge in frame.space.bridges(SEAT_STAY):
        yield axis(bridge, plane, -AXIS_PAST / 2, bridge.length + AXIS_PAST / 2)


def _points(frame: Frame, plane: ProjectionPlane) -> dict[str, Point]:
    found = {
        "stays_rear_axle": (0.0, 0.0),
        "stays_top_tube_at_seat": plane.point(vector(*frame.plane.points["top_tube_at_seat"])),
    }
    for stay in frame.space.pair(SEAT_STAY):
        found.update(end_points("stays", stay, plane))
    return found


def stay_gaps(frame: Frame) -> list[Gap]:
    """The gaps that this view shows."""
    return gaps_seen(frame, Seen.SEAT_STAYS)


def _has_bridge(frame: Frame) -> bool:
    return bool(frame.space.bridges(SEAT_STAY))


def _bridge_mark(frame: Frame) -> Iterator[Entity]:
    """Where a bridge would clear the tyre, a short stroke across the middle line, where none is drawn."""
    at = _bridge_place(frame)
    if at is not None and not _has_bridge(frame):
        x = frame.forward * at
        yield Line((x, -BRIDGE_MARK), (x, BRIDGE_MARK), Layer.FITTING)


def _bridge_place(frame: Frame) -> float | None:
    """Distance from the axle, in this plane, of a bridge that leaves the room wanted over the tyre."""
    if frame.around.tyre is None:
        return None
    return bridge_clear_of(frame.around.tyre, BRIDGE_DIAMETER, TYRE_GAP)


def _lengths(frame: Frame, plane: ProjectionPlane) -> Iterator[Call]:
    space, toward = frame.space, frame.forward
    behind = 1 if toward > 0 else -1
    half = space.rear.spacing / 2
    yield LengthCall(
        "hub_spacing",
        "hub spacing",
        (0.0, -half),
        (0.0, half),
        direction=90.0,
        side=behind,
        clear=30.0,
        height=TEXT_TABLE,
    )
    tops = [plane.point(stay.path.last.at) for stay in space.pair(SEAT_STAY)]
    if abs(tops[0][1] - tops[1][1]) > 1.0:
        yield LengthCall(
            "stays_at_top",
            "axes at top",
            tops[0],
            tops[1],
            direction=90.0,
            side=-behind,
            clear=34.0,
            height=TEXT_TABLE,
        )
    cluster = plane.point(vector(*frame.plane.points["top_tube_at_seat"]))
    yield LengthCall(
        "axle_to_cluster",
        "axle to cluster",
        (0.0, 0.0),
        cluster,
        direction=0.0,
        side=1,
        clear=40.0,
        height=TEXT_TABLE,
    )
    left, _ = space.pair(SEAT_STAY)
    if left.path.straight:
        a, b = plane.point(left.path.first.at), plane.point(left.path.last.at)
        side = 1 if (b[0] - a[0]) * toward > 0 else -1
        clear = half_width(left, plane, left.length) + 6.0
        yield LengthCall(
            "seat_stay_axis",
            "stay axis",
            a,
            b,
            direction=bearing(a, b),
            side=side,
            clear=clear,
            height=TEXT_TABLE,
        )
    yield from _bridge_lengths(frame, plane)


def _bridge_lengths(frame: Frame, plane: ProjectionPlane) -> Iterator[Call]:
    """Each bridge from the axle, and a brake's reach from it to the rim's braking band."""
    bead = frame.around.bead_seat_radius
    side = -1
    for tube in frame.space.bridges(SEAT_STAY):
        name = tube.name
        x, _ = plane.point(tube.path.at(tube.length / 2).at)
        yield LengthCall(
            name, _bridge_label(tube), (0.0, 0.0), (x, 0.0),
            direction=0.0, side=side, clear=12.0, height=TEXT_TABLE,
        )  # fmt: skip
        if bead is not None:
            rim = (frame.forward * bead, 0.0)
            yield LengthCall(
                f"{name}_reach",
                "brake reach",
                rim,
                (x, 0.0),
                direction=0.0,
                side=-side,
                clear=8.0,
                height=TEXT_TABLE,
            )


def _bridge_label(tube: Tube) -> str:
    """A curved bridge is measured to its middle."""
    return "bridge" if tube.path.straight else "middle of the bridge"


def _notes(frame: Frame, plane: ProjectionPlane) -> Iterator[Call]:
    yield from gap_notes(stay_gaps(frame), plane)
    at = _bridge_place(frame)
    if at is not None and not _has_bridge(frame):
        bridge = f"a bridge Ø{format_number(BRIDGE_DIAMETER, 0)}"
        said = f"{bridge} clears the tyre\n{format_number(at, 1)} mm from the axle"
        yield NoteCall(said, (frame.forward * at, 0.0), TEXT_TABLE, Layer.FITTING)
    yield from tyre_note(frame, 0.0)
    yield from bend_notes(frame, frame.space.drawn(SEAT_STAY), plane)
    yield from dimple_notes(frame, frame.space.drawn(SEAT_STAY), plane)
    for tube in frame.space.bridges(SEAT_STAY):
        yield from bend_notes(frame, tube, plane)

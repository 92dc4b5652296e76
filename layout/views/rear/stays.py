"""The seat stays in true shape, seen square to their own plane from behind and above.

x = 0 at the rear axle, the seat tube at the other end, the drive side below (heading right), as in the
plan. Shown with them: tyre and rim, bridges and where one would clear the tyre, and the reach of a brake.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.calls import Call, LengthCall, NoteCall
from layout.drafting.entities import ControlPoint, Entity, Line, Point
from layout.drafting.numbers import format_number
from layout.drafting.placer import place
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import bearing
from layout.geometry.space.clearance import TYRE_GAP, bridge_clear_of
from layout.geometry.space.form import BRIDGE_DIAMETER
from layout.geometry.space.gaps import Gap
from layout.geometry.space.roles import SEAT_STAY, SEAT_TUBE, Seen
from layout.geometry.space.vectors import length, vector
from layout.views.projection import Plane, axis, half_width, outline, section
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

BRIDGE_MARK = 9.0


def draft_stays(r: RearInput) -> Drafted:
    """Draw the seat stays in true shape."""
    axle, top = vector(*r.frame.rear_axle), vector(*r.plane.points["top_tube_at_seat"])
    plane = stay_plane(r, top - axle, axle)
    reach = length(top - axle)
    tubes = list(_tubes(r, plane))
    around = [hub(r, 0.0), *tyre_and_rim(r, 0.0)]
    axes = list(_axes(r, plane, reach))
    points = _points(r, plane)
    marks = [*crosses(points.values()), *gap_marks(stay_gaps(r), plane), *_bridge_mark(r)]
    marks += fitting_marks(r, plane, SEAT_STAY)
    lean = lean_call("seat_stay_lean", r.frame.drawn(SEAT_STAY), plane, 20)
    calls = [*lettered([*_lengths(r, plane), *lean], points), *_notes(r, plane), *named(points)]
    placed = place(calls, scene(tubes, axes, around, marks, points.values()))
    shown = [e for group in placed.groups for e in group]
    held = [ControlPoint(n, p) for n, p in points.items()]
    return Drafted((*around, *axes, *tubes, *shown, *marks, *held), placed.crowded)


def _tubes(r: RearInput, plane: Plane) -> Iterator[Entity]:
    for tube in r.frame.seen(Seen.SEAT_STAYS):
        yield from outline(r.frame, tube, plane, facing=True)
    yield from dropouts(r, 0.0)
    seat = r.frame.of(SEAT_TUBE)
    top, foot = vector(*r.plane.points["top_tube_at_seat"]), vector(*r.plane.points["seat_tube_foot"])
    yield section(seat, plane, length(top - foot))


def _axes(r: RearInput, plane: Plane, reach: float) -> Iterator[Entity]:
    toward = r.sign
    yield Line(
        (-toward * (TYRE_BEYOND + AXIS_PAST), 0.0), (toward * (reach + 2 * AXIS_PAST), 0.0), Layer.CENTRE
    )
    out = r.frame.rear.dropout_plane + AXIS_PAST
    yield Line((0.0, -out), (0.0, out), Layer.CENTRE)
    for stay in r.frame.pair(SEAT_STAY):
        yield axis(stay, plane, -r.frame.rear.inset, stay.length + AXIS_PAST)
    for bridge in r.frame.bridges(SEAT_STAY):
        yield axis(bridge, plane, -AXIS_PAST / 2, bridge.length + AXIS_PAST / 2)


def _points(r: RearInput, plane: Plane) -> dict[str, Point]:
    found = {
        "stays_rear_axle": (0.0, 0.0),
        "stays_top_tube_at_seat": plane.point(vector(*r.plane.points["top_tube_at_seat"])),
    }
    for stay in r.frame.pair(SEAT_STAY):
        found.update(end_points("stays", stay, plane))
    return found


def stay_gaps(r: RearInput) -> list[Gap]:
    """The gaps that this view shows."""
    return gaps_seen(r, Seen.SEAT_STAYS)


def _has_bridge(r: RearInput) -> bool:
    return bool(r.frame.bridges(SEAT_STAY))


def _bridge_mark(r: RearInput) -> Iterator[Entity]:
    """Where a bridge would clear the tyre, a short stroke across the middle line, where none is drawn."""
    at = _bridge_place(r)
    if at is not None and not _has_bridge(r):
        x = r.sign * at
        yield Line((x, -BRIDGE_MARK), (x, BRIDGE_MARK), Layer.FITTING)


def _bridge_place(r: RearInput) -> float | None:
    """Distance from the axle, in this plane, of a bridge that leaves the room wanted over the tyre."""
    if r.around.tyre is None:
        return None
    return bridge_clear_of(r.around.tyre, BRIDGE_DIAMETER, TYRE_GAP)


def _lengths(r: RearInput, plane: Plane) -> Iterator[Call]:
    frame, toward = r.frame, r.sign
    behind = 1 if toward > 0 else -1
    half = frame.rear.spacing / 2
    yield LengthCall(
        "hub_spacing", "hub spacing", (0.0, -half), (0.0, half), 90.0, behind, 30.0, height=TEXT_TABLE
    )
    tops = [plane.point(stay.path.last.at) for stay in frame.pair(SEAT_STAY)]
    if abs(tops[0][1] - tops[1][1]) > 1.0:
        yield LengthCall(
            "stays_at_top", "axes at top", tops[0], tops[1], 90.0, -behind, 34.0, height=TEXT_TABLE
        )
    cluster = plane.point(vector(*r.plane.points["top_tube_at_seat"]))
    yield LengthCall(
        "axle_to_cluster", "axle to cluster", (0.0, 0.0), cluster, 0.0, 1, 40.0, height=TEXT_TABLE
    )
    left, _ = frame.pair(SEAT_STAY)
    if left.path.straight:
        a, b = plane.point(left.path.first.at), plane.point(left.path.last.at)
        side = 1 if (b[0] - a[0]) * toward > 0 else -1
        clear = half_width(left, plane, left.length) + 6.0
        yield LengthCall("seat_stay_axis", "stay axis", a, b, bearing(a, b), side, clear, height=TEXT_TABLE)
    yield from _bridge_lengths(r, plane)


def _bridge_lengths(r: RearInput, plane: Plane) -> Iterator[Call]:
    """Each bridge from the axle, and a brake's reach from it to the rim's braking band."""
    bead = r.around.bead_seat_radius
    side = -1
    for tube in r.frame.bridges(SEAT_STAY):
        name = tube.name
        x, _ = plane.point(tube.path.at(tube.length / 2).at)
        yield LengthCall(name, "bridge", (0.0, 0.0), (x, 0.0), 0.0, side, 12.0, height=TEXT_TABLE)
        if bead is not None:
            rim = (r.sign * bead, 0.0)
            yield LengthCall(
                f"{name}_reach", "brake reach", rim, (x, 0.0), 0.0, -side, 8.0, height=TEXT_TABLE
            )


def _notes(r: RearInput, plane: Plane) -> Iterator[Call]:
    yield from gap_notes(stay_gaps(r), plane)
    at = _bridge_place(r)
    if at is not None and not _has_bridge(r):
        bridge = f"a bridge Ø{format_number(BRIDGE_DIAMETER, 0)}"
        said = f"{bridge} clears the tyre {format_number(at, 1)} from the axle"
        yield NoteCall(said, (r.sign * at, 0.0), TEXT_NOTE, Layer.FITTING)
    yield from tyre_note(r, 0.0)
    yield from bend_notes(r.frame.drawn(SEAT_STAY), plane)
    yield from fitting_notes(r, plane, SEAT_STAY)

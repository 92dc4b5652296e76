"""The seat stays in true shape, seen square to their own plane from behind and above.

x = 0 at the rear axle, the seat tube at the other end, the drive side below (heading right), as in the
plan. Shown with them: tyre and rim, bridges and where one would clear the tyre, and the reach of a brake.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from layout.drafting.calls import AngleCall, Call, LengthCall, NoteCall
from layout.drafting.entities import Arc, Circle, ControlPoint, Entity, Line, Point
from layout.drafting.numbers import format_number
from layout.drafting.placer import place
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import along, bearing
from layout.geometry.space.assembly import SIDES, SINGLE
from layout.geometry.space.clearance import TYRE_GAP, bridge_clear_of
from layout.geometry.space.form import BRIDGE_DIAMETER
from layout.geometry.space.gaps import Gap
from layout.geometry.space.vectors import length, vector
from layout.views.rear import (
    AXIS_PAST,
    CROSS_ARM,
    GAP_MARK,
    RIM_PART,
    RIM_SHOWN,
    TYRE_BEYOND,
    Drafted,
    RearInput,
    bend_notes,
    dropouts,
    gap_words,
    scene,
    stay_plane,
)
from layout.views.shadows import Plane, axis, half_width, outline, section
from layout.views.stations import stay_station, stay_tube
from layout.views.words import words

PARTS = ("seat_stay", SINGLE)
BRIDGE_MARK = 9.0


def draft_stays(r: RearInput) -> Drafted:
    """Draw the seat stays in true shape."""
    axle, top = vector(*r.frame.rear_axle), vector(*r.plane.points["top_tube_at_seat"])
    plane = stay_plane(r, top - axle, axle)
    reach = length(top - axle)
    tubes = list(_tubes(r, plane))
    around = list(_adjacent(r))
    axes = list(_axes(r, plane, reach))
    points = _points(r, plane)
    marks = [*_crosses(points.values()), *_gap_marks(r, plane), *_bridge_mark(r)]
    calls = [*_lengths(r, plane), *_angles(r, plane), *_notes(r, plane)]
    placed = place(calls, scene(tubes, axes, around, marks, points.values()))
    shown = [e for group in placed.groups for e in group]
    named = [ControlPoint(n, p) for n, p in points.items()]
    return Drafted((*around, *axes, *tubes, *shown, *marks, *named), placed.crowded)


def _tubes(r: RearInput, plane: Plane) -> Iterator[Entity]:
    for name, tube in r.frame.tubes.items():
        if name.startswith(PARTS):
            yield from outline(r.frame, tube, plane)
    yield from dropouts(r, 0.0)
    seat = r.frame.tubes["seat_tube"]
    top, foot = vector(*r.plane.points["top_tube_at_seat"]), vector(*r.plane.points["seat_tube_foot"])
    yield section(seat, plane, length(top - foot))


def _adjacent(r: RearInput) -> Iterator[Entity]:
    tyre, toward = r.around.tyre, r.sign
    half_hub = r.frame.rear.spacing / 2
    yield Line((0.0, -half_hub), (0.0, half_hub), Layer.WHEEL)
    if tyre is None:
        return
    centre, half, behind = toward * (tyre.radius - tyre.width / 2), tyre.width / 2, -toward * TYRE_BEYOND
    start = -90.0 if toward > 0 else 90.0
    yield Arc((centre, 0.0), half, start, start + 180.0, Layer.WHEEL)
    for y in (-half, half):
        yield Line((centre, y), (behind, y), Layer.WHEEL)
    bead = r.around.bead_seat_radius
    if bead is not None:
        x, rim = toward * bead, half * RIM_PART
        yield Line((x, -rim), (x, rim), Layer.WHEEL)
        for y in (-rim, rim):
            yield Line((x, y), (x - toward * RIM_SHOWN, y), Layer.WHEEL)


def _axes(r: RearInput, plane: Plane, reach: float) -> Iterator[Entity]:
    toward = r.sign
    yield Line(
        (-toward * (TYRE_BEYOND + AXIS_PAST), 0.0), (toward * (reach + 2 * AXIS_PAST), 0.0), Layer.CENTRE
    )
    out = r.frame.rear.dropout_plane + AXIS_PAST
    yield Line((0.0, -out), (0.0, out), Layer.CENTRE)
    for name, tube in r.frame.tubes.items():
        if name in ("seat_stay_left", "seat_stay_right"):
            yield axis(tube, plane, -r.frame.rear.inset, tube.length + AXIS_PAST)
        elif name.startswith("seat_stay_bridge"):
            yield axis(tube, plane, -AXIS_PAST / 2, tube.length + AXIS_PAST / 2)


def _points(r: RearInput, plane: Plane) -> dict[str, Point]:
    found = {
        "stays_rear_axle": (0.0, 0.0),
        "stays_top_tube_at_seat": plane.point(vector(*r.plane.points["top_tube_at_seat"])),
    }
    for side in SIDES:
        path = r.frame.tubes[f"seat_stay_{side}"].path
        found[f"stays_seat_stay_{side}_axle"] = plane.point(path.first.at)
        found[f"stays_seat_stay_{side}_top"] = plane.point(path.last.at)
    return found


def _crosses(points: Iterable[Point]) -> Iterator[Line]:
    for x, y in dict.fromkeys(points):
        yield Line((x - CROSS_ARM, y), (x + CROSS_ARM, y), Layer.POINT)
        yield Line((x, y - CROSS_ARM), (x, y + CROSS_ARM), Layer.POINT)


def stay_gaps(r: RearInput) -> list[Gap]:
    """The gaps that this view shows."""
    return [g for g in r.clearances.gaps if g.tube.startswith(PARTS)]


def _gap_marks(r: RearInput, plane: Plane) -> Iterator[Entity]:
    for gap in stay_gaps(r):
        yield Circle(plane.point(vector(*gap.at)), GAP_MARK, Layer.NOTE)


def _has_bridge(r: RearInput) -> bool:
    return any(n.startswith("seat_stay_bridge") for n in r.frame.tubes)


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
    tops = [plane.point(frame.tubes[f"seat_stay_{s}"].path.last.at) for s in SIDES]
    if abs(tops[0][1] - tops[1][1]) > 1.0:
        yield LengthCall(
            "stays_at_top", "axes at top", tops[0], tops[1], 90.0, -behind, 34.0, height=TEXT_TABLE
        )
    cluster = plane.point(vector(*r.plane.points["top_tube_at_seat"]))
    yield LengthCall(
        "axle_to_cluster", "axle to cluster", (0.0, 0.0), cluster, 0.0, 1, 40.0, height=TEXT_TABLE
    )
    left = frame.tubes["seat_stay_left"]
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
    for name, tube in r.frame.tubes.items():
        if not name.startswith("seat_stay_bridge"):
            continue
        x, _ = plane.point(tube.path.at(tube.length / 2).at)
        yield LengthCall(name, "bridge", (0.0, 0.0), (x, 0.0), 0.0, side, 12.0, height=TEXT_TABLE)
        if bead is not None:
            rim = (r.sign * bead, 0.0)
            yield LengthCall(
                f"{name}_reach", "brake reach", rim, (x, 0.0), 0.0, -side, 8.0, height=TEXT_TABLE
            )


def _angles(r: RearInput, plane: Plane) -> Iterator[Call]:
    stay = r.frame.tubes["seat_stay_right"]
    if not stay.path.straight:
        return
    a, b = plane.point(stay.path.first.at), plane.point(stay.path.last.at)
    level = along(a, 0.0 if b[0] > a[0] else 180.0, 100.0)
    start, end = (level, b) if (bearing(a, b) - bearing(a, level)) % 360.0 < 180.0 else (b, level)
    yield AngleCall(
        "seat_stay_lean", "", a, start, end, tuple(90.0 + 12.0 * k for k in range(20)), TEXT_TABLE
    )


def _notes(r: RearInput, plane: Plane) -> Iterator[Call]:
    for gap in stay_gaps(r):
        yield NoteCall(gap_words(gap), plane.point(vector(*gap.at)), TEXT_NOTE)
    at = _bridge_place(r)
    if at is not None and not _has_bridge(r):
        bridge = f"a bridge Ø{format_number(BRIDGE_DIAMETER, 0)}"
        said = f"{bridge} clears the tyre {format_number(at, 1)} from the axle"
        yield NoteCall(said, (r.sign * at, 0.0), TEXT_NOTE, Layer.FITTING)
    tyre = r.around.tyre
    if tyre is not None:
        said = f"tyre {r.plane.rear_wheel.marking or format_number(tyre.width, 0)}"
        yield NoteCall(said, (r.sign * (tyre.radius - tyre.width), 0.0), TEXT_NOTE, Layer.WHEEL, near=3.0)
    yield from bend_notes(r.frame.tubes["seat_stay_right"], plane)
    yield from _fitting_notes(r, plane)


def _fitting_notes(r: RearInput, plane: Plane) -> Iterator[Call]:
    for fitting in r.plane.fittings:
        if fitting.tube != "seat_stay" or fitting.kind == "bridge":
            continue
        stay, station = r.frame.tubes[stay_tube(fitting)], stay_station(r.frame, fitting)
        text = f"{words(fitting.kind)} {format_number(fitting.at, 1)} from {words(fitting.origin)}"
        yield NoteCall(text, plane.point(stay.path.at(station).at), TEXT_NOTE, Layer.FITTING)

"""The rear end in plan: chain stays in true shape, with all that turns between and beside them.

Seen square to the plane of the chain stays, from above: the bottom bracket's axis upright on paper at
x = 0, the rear axle at its true distance, the drive side below (heading right). What turns is drawn
as adjacent parts; each least gap is marked where it is and said in words.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from layout.drafting.calls import AngleCall, Call, LengthCall, NoteCall
from layout.drafting.entities import Arc, Circle, ControlPoint, Entity, Line, Point, Polyline
from layout.drafting.numbers import format_number
from layout.drafting.obstacles import HARD, Box, Scene
from layout.drafting.pieces import pieces
from layout.drafting.placer import place
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, THIN, Layer, Pattern, Pen
from layout.drafting.vector import along, bearing
from layout.frame import Frame
from layout.geometry.space.assembly import SHELL, SIDES, SpaceFrame
from layout.geometry.space.clearance import WANTED, Clearances, Surroundings
from layout.geometry.space.gaps import Gap
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, Z, unit, vector
from layout.views.shadows import Plane, axis, half_width, outline
from layout.views.stations import stay_station, stay_tube
from layout.views.words import words

ADJACENT = Pen(THIN, Pattern.PHANTOM)
AXIS_PAST = 25.0
"""Centrelines run this far past what they belong to."""
CROSS_ARM = 8.0
GAP_MARK = 1.5
HUB_BEHIND, PLATE_BEHIND, PLATE_AHEAD = 14.0, 14.0, 16.0
"""How far a dropout's plate is drawn behind the axle and past the stay's end, mm: an outline to place
it by, not its own shape."""
TYRE_BEYOND = 40.0
"""The tyre is drawn to this far behind the axle."""
RIM_PART = 0.6
"""A rim's width over its tyre's, for its line on the drawing, common practice."""
RIM_SHOWN = 12.0
AXIS_PRICE, ADJACENT_PRICE, MARK_PRICE = 30.0, 18.0, 80.0


@dataclass(frozen=True)
class RearInput:
    """What the rear views are drawn from."""

    plane: Frame
    frame: SpaceFrame
    around: Surroundings
    clearances: Clearances

    @property
    def sign(self) -> float:
        """+1 where the bicycle heads right, -1 where it heads left."""
        return -1.0 if self.plane.heading == "left" else 1.0


@dataclass(frozen=True)
class Drafted:
    """A part of the sheet: its entities, and the callouts that found no clean place."""

    entities: tuple[Entity, ...]
    crowded: tuple[str, ...]


def stay_plane(r: RearInput, towards: Array, origin: Array) -> Plane:
    """The plane through the axle line's direction and a direction in the middle plane.

    Heading right, x runs against `towards` where that points back; the drive side is below.
    """
    return Plane(origin, r.sign * unit(towards), -r.sign * Z)


def draft_plan(r: RearInput) -> Drafted:
    """Draw the plan of the rear end."""
    axle = vector(*r.frame.rear_axle)
    plane = stay_plane(r, -axle, vector(0.0, 0.0))
    tubes = list(_tubes(r, plane))
    around = list(_adjacent(r, plane))
    axes = list(_axes(r, plane))
    points = _points(r, plane)
    marks = [*_crosses(points.values()), *_gap_marks(r, plane)]
    calls = [*_lengths(r, plane), *_angles(r, plane), *_notes(r, plane)]
    placed = place(calls, scene(tubes, axes, around, marks, points.values()))
    shown = [e for group in placed.groups for e in group]
    named = [ControlPoint(n, p) for n, p in points.items()]
    return Drafted((*around, *axes, *tubes, *shown, *marks, *named), placed.crowded)


def _tubes(r: RearInput, plane: Plane) -> Iterator[Entity]:
    frame = r.frame
    half, radius = frame.shell.width / 2, frame.shell.diameter / 2
    yield Polyline(_box(plane, (-radius, radius), (-half, half)), Layer.OUTLINE, closed=True)
    for name, tube in frame.tubes.items():
        if name.startswith("chain_stay"):
            yield from outline(frame, tube, plane)
    yield from dropouts(r, plane.point(vector(*frame.rear_axle))[0])


def dropouts(r: RearInput, at: float) -> Iterator[Entity]:
    """Both plates edge on, `at` being the axle's x on paper."""
    rear = r.frame.rear
    inner, outer = rear.spacing / 2, rear.spacing / 2 + rear.thickness
    toward = r.sign
    span = (at - toward * PLATE_BEHIND, at + toward * (rear.inset + PLATE_AHEAD))
    for side in SIDES.values():
        corners = (
            (span[0], side * inner),
            (span[1], side * inner),
            (span[1], side * outer),
            (span[0], side * outer),
        )
        yield Polyline(corners, Layer.OUTLINE, closed=True)


def _box(plane: Plane, ahead: tuple[float, float], aside: tuple[float, float]) -> tuple[Point, ...]:
    """A rectangle given along the plane's ahead direction and along z, about its origin."""
    sign = 1.0 if plane.aside[2] > 0 else -1.0
    (a, b), (c, d) = ahead, aside
    return ((a, sign * c), (b, sign * c), (b, sign * d), (a, sign * d))


def _adjacent(r: RearInput, plane: Plane) -> Iterator[Entity]:
    """Tyre, rim, chainring, crank, hub: parts the rear end is built round."""
    at = plane.point(vector(*r.frame.rear_axle))[0]
    toward = r.sign
    tyre = r.around.tyre
    if tyre is not None:
        centre = at + toward * (tyre.radius - tyre.width / 2)
        half, behind = tyre.width / 2, at - toward * TYRE_BEYOND
        start = -90.0 if toward > 0 else 90.0
        yield Arc((centre, 0.0), half, start, start + 180.0, Layer.WHEEL)
        for y in (-half, half):
            yield Line((centre, y), (behind, y), Layer.WHEEL)
        bead = r.around.bead_seat_radius
        if bead is not None:
            x, rim = at + toward * bead, half * RIM_PART
            yield Line((x, -rim), (x, rim), Layer.WHEEL)
            for y in (-rim, rim):
                yield Line((x, y), (x - toward * RIM_SHOWN, y), Layer.WHEEL)
    half_hub = r.frame.rear.spacing / 2
    yield Line((at, -half_hub), (at, half_hub), Layer.WHEEL)
    back = -toward
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
    for side in SIDES:
        stay = r.frame.tubes[f"chain_stay_{side}"]
        yield axis(stay, plane, -AXIS_PAST, stay.length + r.frame.rear.inset)
    for name, tube in r.frame.tubes.items():
        if name.startswith("chain_stay_bridge"):
            yield axis(tube, plane, -AXIS_PAST / 2, tube.length + AXIS_PAST / 2)


def _points(r: RearInput, plane: Plane) -> dict[str, Point]:
    """Named points: shell, axle, and both ends of each stay's axis."""
    found = {"plan_bb": (0.0, 0.0), "plan_rear_axle": plane.point(vector(*r.frame.rear_axle))}
    for side in SIDES:
        path = r.frame.tubes[f"chain_stay_{side}"].path
        found[f"plan_chain_stay_{side}_bb"] = plane.point(path.first.at)
        found[f"plan_chain_stay_{side}_axle"] = plane.point(path.last.at)
    return found


def _crosses(points: Iterable[Point]) -> Iterator[Line]:
    for x, y in points:
        yield Line((x - CROSS_ARM, y), (x + CROSS_ARM, y), Layer.POINT)
        yield Line((x, y - CROSS_ARM), (x, y + CROSS_ARM), Layer.POINT)


def _gap_marks(r: RearInput, plane: Plane) -> Iterator[Entity]:
    for gap in plan_gaps(r):
        yield Circle(plane.point(vector(*gap.at)), GAP_MARK, Layer.NOTE)


def plan_gaps(r: RearInput) -> list[Gap]:
    """The gaps that the plan shows: those of the chain stays and what lies between them."""
    return [g for g in r.clearances.gaps if g.tube.startswith("chain_stay")]


def _lengths(r: RearInput, plane: Plane) -> Iterator[Call]:
    rear, frame, toward = r.frame.rear, r.frame, r.sign
    axle = plane.point(vector(*frame.rear_axle))[0]
    behind = 1 if toward > 0 else -1
    half = rear.spacing / 2
    hub = (axle, -half), (axle, half)
    yield LengthCall("hub_spacing", "hub spacing", *hub, 90.0, behind, 30.0, height=TEXT_TABLE)
    bb = [plane.point(frame.tubes[f"chain_stay_{s}"].path.first.at) for s in SIDES]
    yield LengthCall("stay_spacing", "stays", bb[0], bb[1], 90.0, -behind, 34.0, height=TEXT_TABLE)
    shell = frame.shell.width / 2
    face = toward * frame.shell.diameter / 2
    yield LengthCall(
        "shell_width", "shell", (face, -shell), (face, shell), 90.0, -behind, 14.0, height=TEXT_TABLE
    )
    yield LengthCall("rear_centre", "rear centre", (axle, 0.0), (0.0, 0.0), 0.0, 1, 40.0, height=TEXT_TABLE)
    left = frame.tubes["chain_stay_left"]
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


def _angles(r: RearInput, plane: Plane) -> Iterator[Call]:
    """The right stay's lean from the middle plane, where it is straight."""
    stay = r.frame.tubes["chain_stay_right"]
    if not stay.path.straight:
        return
    a, b = plane.point(stay.path.first.at), plane.point(stay.path.last.at)
    level = along(a, 180.0 if b[0] < a[0] else 0.0, 100.0)
    start, end = (level, b) if (bearing(a, b) - bearing(a, level)) % 360.0 < 180.0 else (b, level)
    radii = tuple(90.0 + 12.0 * k for k in range(16))
    yield AngleCall("stay_lean", "", a, start, end, radii, TEXT_TABLE)


def _notes(r: RearInput, plane: Plane) -> Iterator[Call]:
    for gap in plan_gaps(r):
        yield NoteCall(gap_words(gap), plane.point(vector(*gap.at)), TEXT_NOTE)
    tyre = r.around.tyre
    if tyre is not None:
        at = plane.point(vector(*r.frame.rear_axle))[0] + r.sign * (tyre.radius - tyre.width)
        said = f"tyre {r.plane.rear_wheel.marking or format_number(tyre.width, 0)}"
        yield NoteCall(said, (at, 0.0), TEXT_NOTE, Layer.WHEEL, near=3.0)
    yield from bend_notes(r.frame.tubes["chain_stay_right"], plane)
    shell = r.frame.tubes[SHELL]
    yield NoteCall("drive side", plane.point(shell.path.last.at), TEXT_NOTE)
    for fitting in r.plane.fittings:
        if fitting.tube == "chain_stay" and fitting.kind != "bridge":
            stay, station = r.frame.tubes[stay_tube(fitting)], stay_station(r.frame, fitting)
            text = f"{words(fitting.kind)} {format_number(fitting.at, 1)} from {words(fitting.origin)}"
            yield NoteCall(text, plane.point(stay.path.at(station).at), TEXT_NOTE, Layer.FITTING)


def bend_notes(tube: Tube, plane: Plane) -> Iterator[Call]:
    """Each bend of a stay at its middle: how far it turns, where along the tube, at what radius."""
    for piece in tube.path.pieces:
        if piece.straight:
            continue
        middle = (piece.low + piece.high) / 2
        turn = math.degrees((piece.high - piece.low) * piece.curvature)
        said = (
            f"bend {format_number(turn, 1)}° at {format_number(middle, 1)}, "
            f"R{format_number(1.0 / piece.curvature, 0)}"
        )
        yield NoteCall(said, plane.point(tube.path.at(middle).at), TEXT_NOTE)


def gap_words(gap: Gap) -> str:
    """A gap as said on the sheet, marked where it is less than wanted."""
    wanted = WANTED[gap.part].least
    said = f"{gap.part} gap {format_number(gap.value, 1)}"
    return f"{said}, want {format_number(wanted, 0)}" if gap.value < wanted else said


def scene(
    tubes: Sequence[Entity],
    axes: Sequence[Entity],
    around: Sequence[Entity],
    marks: Sequence[Entity],
    points: Iterable[Point],
) -> Scene:
    """What callouts keep off, each with its price."""
    found = Scene()
    for entities, price in ((tubes, HARD), (axes, AXIS_PRICE), (around, ADJACENT_PRICE), (marks, MARK_PRICE)):
        for e in entities:
            found.add_lines(pieces(e), price)
    for p in points:
        found.add_lines(Box(p, 4.0, 4.0, 0.0).ribs(), HARD)
    return found

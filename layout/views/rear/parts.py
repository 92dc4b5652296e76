"""What the two views of the rear end share: their input, their planes, and what both of them draw and say.

In both the rear axle lies upright on paper, at `at` along x, the frame's middle line along y = 0 and the
drive side below (heading right).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from layout.bench.fitted import fitted_station, fitted_tubes
from layout.bench.marks import DIRECTIONS, bend_marks, dimple_marks
from layout.bench.mounts import mount_of, twin_of
from layout.drafting.calls import AngleCall, Call, NoteCall
from layout.drafting.entities import Arc, Circle, Entity, Line, Point, Polyline
from layout.drafting.numbers import format_number
from layout.drafting.obstacles import HARD
from layout.drafting.placer import place
from layout.drafting.rooms import Rooms
from layout.drafting.scene import Group, scene, squares
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import along, bearing
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.geometry.space.clearance import WANTED
from layout.geometry.space.dropout import EYE, TONGUE
from layout.geometry.space.gaps import Gap
from layout.geometry.space.rear import axle_line
from layout.geometry.space.roles import LEFT, RIGHT, Role, Seen, Side
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, Z, unit, vector
from layout.views.crosses import control_points, crosses
from layout.views.fittings import SitedFitting, draw_fittings, hooked_words, joins_two
from layout.views.projection import ProjectionPlane, half_width
from layout.views.rear.checks import named

AXIS_PAST = 25.0
"""Centrelines run this far past what they belong to."""
CROSS_ARM = 8.0
GAP_MARK = 1.5
CROSS_CLEAR = 4.0
"""Half the square round a cross that lettering keeps off."""
TYRE_BEYOND = 40.0
"""The tyre is drawn to this far behind the axle."""
RIM_PART = 0.6
"""A rim's width over its tyre's, for its line on the drawing, common practice."""
RIM_SHOWN = 12.0
AXIS_PRICE, ADJACENT_PRICE, MARK_PRICE = 30.0, 18.0, 3000.0


class Strokes(NamedTuple):
    """What a view draws before anything is lettered: tubes, what turns about them, axes, other marks."""

    tubes: tuple[Entity, ...]
    around: tuple[Entity, ...]
    axes: tuple[Entity, ...]
    marks: tuple[Entity, ...]


class Drafted(NamedTuple):
    """A part of the sheet: its entities, the callouts that found no clean place, its tubes and points."""

    entities: tuple[Entity, ...]
    crowded: tuple[str, ...]
    held: tuple[Entity, ...]


def stay_plane(frame: Frame, towards: Array, origin: Array) -> ProjectionPlane:
    """The plane through the axle line's direction and a direction in the middle plane.

    Heading right, x runs against `towards` where that points back; the drive side is below.
    """
    return ProjectionPlane(origin, frame.forward * unit(towards), -frame.forward * Z)


def past_axle(frame: Frame, stay: Role) -> tuple[Array, float]:
    """Where a stay's axis passes the axle, in the middle plane, and how far that is from its other end, mm.

    It is the axle itself where the stay ends in line with it.
    """
    line = axle_line(frame.plane.points, stay, frame.space.rear)
    return line.foot, line.run


def dropouts(frame: Frame, plane: ProjectionPlane, stay: Role) -> Iterator[Entity]:
    """Both plates edge on: from behind the axle into the slot of a stay."""
    rear, tube = frame.space.rear, frame.space.drawn(stay)
    inner, outer = rear.spacing / 2, rear.spacing / 2 + rear.thickness
    at, _ = plane.point(vector(*frame.space.rear_axle))
    end, _ = plane.point(tube.end(stay.dropout or 0).triad.at)
    span = (at - frame.forward * EYE, end + frame.forward * TONGUE)
    for side in (s.sign for s in Side):
        corners = (
            (span[0], side * inner),
            (span[1], side * inner),
            (span[1], side * outer),
            (span[0], side * outer),
        )
        yield Polyline(corners, Layer.OUTLINE, closed=True)


def end_points(view: str, stay: Tube, plane: ProjectionPlane) -> dict[str, Point]:
    """Both ends of a stay's axis, named after the view, the stay and the end."""
    ends = zip(stay.ends, (stay.path.first.at, stay.path.last.at), strict=True)
    return {f"{view}_{stay.name}_{word}": plane.point(at) for word, at in ends}


def tyre_and_rim(frame: Frame, at: float) -> Iterator[Entity]:
    """The wheel as the stays see it: tyre and, where it is known, the rim's edge; nothing without a width."""
    tyre, toward = frame.around.tyre, frame.forward
    if tyre is None:
        return
    centre = at + toward * (tyre.radius - tyre.width / 2)
    half, behind = tyre.width / 2, at - toward * TYRE_BEYOND
    start = -90.0 if toward > 0 else 90.0
    yield Arc((centre, 0.0), half, start, start + 180.0, layer=Layer.WHEEL)
    for y in (-half, half):
        yield Line((centre, y), (behind, y), Layer.WHEEL)
    bead = frame.around.bead_seat_radius
    if bead is not None:
        x, rim = at + toward * bead, half * RIM_PART
        yield Line((x, -rim), (x, rim), Layer.WHEEL)
        for y in (-rim, rim):
            yield Line((x, y), (x - toward * RIM_SHOWN, y), Layer.WHEEL)


def hub(frame: Frame, at: float) -> Line:
    """The hub's axle between the locknuts."""
    half = frame.space.rear.spacing / 2
    return Line((at, -half), (at, half), Layer.WHEEL)


def rotor(frame: Frame, at: float) -> Iterator[Entity]:
    """A brake's rotor edge on, to the left, on both sides of the axle as far as the tyre is drawn."""
    disc, toward = frame.around.rotor, frame.forward
    if disc is None:
        return
    ends = at - toward * min(disc.radius, TYRE_BEYOND), at + toward * disc.radius
    sides = (-toward * disc.near, -toward * disc.far)
    corners = ((ends[0], sides[0]), (ends[1], sides[0]), (ends[1], sides[1]), (ends[0], sides[1]))
    yield Polyline(corners, Layer.WHEEL, closed=True)


def gaps_seen(frame: Frame, view: Seen) -> list[Gap]:
    """The gaps of the tubes that a view draws."""
    return [g for g in frame.clearances.gaps if view in frame.space.tubes[g.tube].role.seen]


def gap_marks(gaps: Iterable[Gap], plane: ProjectionPlane) -> Iterator[Entity]:
    """A small circle where each least gap is."""
    for gap in gaps:
        yield Circle(plane.point(vector(*gap.at)), GAP_MARK, Layer.NOTE)


def lean_call(name: str, stay: Tube, plane: ProjectionPlane, ranks: int) -> Iterator[Call]:
    """How far a straight stay leans from the middle plane, at one of `ranks` radii; a bent one has none."""
    if not stay.path.straight:
        return
    a, b = plane.point(stay.path.first.at), plane.point(stay.path.last.at)
    level = along(a, 180.0 if b[0] < a[0] else 0.0, 100.0)
    start, end = (level, b) if (bearing(a, b) - bearing(a, level)) % 360.0 < 180.0 else (b, level)
    radii = tuple(90.0 + 12.0 * k for k in range(ranks))
    yield AngleCall(name, "", vertex=a, start=start, end=end, radii=radii, height=TEXT_TABLE)


def gap_notes(gaps: Iterable[Gap], plane: ProjectionPlane) -> Iterator[Call]:
    """Each gap in words, at its place."""
    for gap in gaps:
        yield NoteCall(gap_words(gap), plane.point(vector(*gap.at)), TEXT_NOTE, mark=GAP_MARK)


def gap_words(gap: Gap) -> str:
    """A gap as said on the sheet, marked where it is less than wanted."""
    wanted = WANTED[gap.part].least
    said = f"{gap.part} gap {format_number(gap.value, 1)}"
    return f"{said}, at least {format_number(wanted, 0)}" if gap.value < wanted else said


def tyre_note(frame: Frame, at: float) -> Iterator[Call]:
    """Which tyre it is, on the tyre."""
    tyre = frame.around.tyre
    if tyre is not None:
        said = f"tyre {frame.plane.rear_wheel.marking or format_number(tyre.width, 0)}"
        there = at + frame.forward * (tyre.radius - tyre.width)
        yield NoteCall(said, (there, 0.0), TEXT_NOTE, Layer.WHEEL, near=3.0)


def bend_notes(frame: Frame, tube: Tube, plane: ProjectionPlane) -> Iterator[Call]:
    """Each bend of a stay at its middle: how far it turns, at what radius, where to which side."""
    bent = (piece for piece in tube.path.pieces if not piece.straight)
    for piece, mark in zip(bent, bend_marks(frame.space, tube), strict=True):
        middle = (piece.low + piece.high) / 2
        said = f"{mark.what}, to {mark.side}\nmiddle {mark.hooked}"
        yield NoteCall(said, plane.point(tube.path.at(middle).at), TEXT_TABLE)


def dimple_notes(frame: Frame, tube: Tube, plane: ProjectionPlane) -> Iterator[Call]:
    """Each dimple of a stay where it is pressed in: its size, its side, where its middle is."""
    own = (mark for mark in dimple_marks(frame) if mark.tube.name == tube.name)
    for dimple, mark in zip(tube.dimples, own, strict=True):
        at = plane.point(tube.path.at(dimple.at).at)
        yield NoteCall(f"{mark.what}, {mark.side}, middle {mark.hooked}", at, TEXT_NOTE)


def sited_fittings(frame: Frame, plane: ProjectionPlane, role: Role) -> Iterator[SitedFitting]:
    """The fittings on one pair of stays, at the side that they face; bridges are drawn as they are."""
    for fitting in frame.fittings:
        if fitting.role == role and not joins_two(fitting):
            mount, tubes = mount_of(frame, fitting), fitted_tubes(frame, fitting)
            found, twin = _sited(frame, plane, fitting, tubes[-1]), twin_of(frame, fitting)
            if twin is not None:
                found = replace(found, sides=f"{LEFT} and {RIGHT}", other=fitting.side == LEFT)
            yield found if mount is None else replace(found, needs=mount.words)
            yield from (replace(_sited(frame, plane, fitting, t), other=True) for t in tubes[:-1])


def _sited(frame: Frame, plane: ProjectionPlane, fitting: Fitting, tube: Tube) -> SitedFitting:
    """A fitting on a stay on paper: on its axis, or on its edge where it faces left or right."""
    station = fitted_station(frame, fitting)
    here, hooked = tube.path.at(station), hooked_words(frame, fitting)
    at, axis = plane.point(here.at), bearing((0.0, 0.0), _on_plane(plane, here.along))
    if fitting.side not in (LEFT, RIGHT):
        return SitedFitting(fitting, at, axis, hooked)
    sideways = bearing((0.0, 0.0), _on_plane(plane, DIRECTIONS[fitting.side]))
    facing = max((axis + 90.0, axis - 90.0), key=lambda a: math.cos(math.radians(a - sideways)))
    return SitedFitting(fitting, at, axis, hooked, facing=facing, off=half_width(tube, plane, station))


def _on_plane(plane: ProjectionPlane, direction: Array) -> Point:
    return float(direction @ plane.ahead), float(direction @ plane.aside)


def with_callouts(
    strokes: Strokes,
    points: Mapping[str, Point],
    sited: Iterable[SitedFitting],
    calls: Iterable[Call],
    *,
    rooms: Rooms | None = None,
) -> Drafted:
    """A view of the rear end: its strokes, a cross on each of its points, its fittings and its callouts.

    The names of the points are placed last.
    """
    marks = [*crosses(points.values(), CROSS_ARM), *strokes.marks, *draw_fittings(sited)]
    obstacles: tuple[Group, ...] = (
        (strokes.tubes, HARD),
        (strokes.axes, AXIS_PRICE),
        (strokes.around, ADJACENT_PRICE),
        (marks, MARK_PRICE),
        (squares(points.values(), CROSS_CLEAR), HARD),
    )
    placed = place([*calls, *named(points)], scene(obstacles), rooms=rooms)
    drawn = (*strokes.around, *strokes.axes, *strokes.tubes, *placed.entities, *marks)
    spots = tuple(control_points(points))
    return Drafted((*drawn, *spots), placed.crowded, (*strokes.tubes, *spots))

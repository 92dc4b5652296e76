"""The line of each bent stay and bridge at full size, to lay it on after bending: true shape, in its plane.

    first end x------ | ---- ' --- | ---------------x second end      ticks: where a bend begins and ends,
                     begins middle ends                               and its middle

A stay whose bends do not lie in one plane has a second line under it, seen square to the first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from layout.bench.marks import Mark, bend_marks
from layout.drafting.bounds import box_of
from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Entity, Line, Point, Text
from layout.drafting.numbers import format_number
from layout.drafting.rooms import Rooms
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.transform import move
from layout.drafting.vector import along, bearing
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.bridges import bridge_rise
from layout.geometry.space.path import PathPiece
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, cross, length, square_to, unit
from layout.views.projection import ProjectionPlane, axis, half_width, outline
from layout.views.rear.checks import BENDS, SQUARE
from layout.views.rear.parts import AXIS_PAST, Drafted, Strokes, end_points, with_callouts

FLAT = 0.01
"""A stay is drawn once where its axis leaves one plane by less, mm."""
TICK_PAST = 5.0
BETWEEN, TITLE_ABOVE = 26.0, 8.0
"""Between two lines, and from a line's outline to its title, mm on paper."""


class BendLine(NamedTuple):
    """One stay on one plane; `view` is what its points' names begin with, `title` what it is called."""

    stay: Tube
    plane: ProjectionPlane
    view: str
    title: str


def bend_lines(frame: Frame) -> tuple[BendLine, ...]:
    """The lines of bent stays and bridges, none where all are straight; left stays are mirror images."""
    stays = (frame.space.drawn(role) for role in (CHAIN_STAY, SEAT_STAY))
    bent = (t for t in (*stays, *bridges(frame)) if not t.path.straight)
    return tuple(line for tube in bent for line in _lines(frame, tube))


def bridges(frame: Frame) -> tuple[Tube, ...]:
    """Every bridge, those of the chain stays first."""
    return tuple(t for role in (CHAIN_STAY, SEAT_STAY) for t in frame.space.bridges(role))


def _lines(frame: Frame, stay: Tube) -> Iterator[BendLine]:
    ahead, aside = _directions(stay)
    ahead = frame.forward * ahead
    name = stay.role.plural if stay.role.paired else words(stay.label)
    which = "the right one" if stay.role.paired else "it"
    said = f"{name.capitalize()}, bent: lay {which} on this line"
    yield BendLine(stay, ProjectionPlane(stay.path.first.at, ahead, aside), BENDS, said)
    over = cross(ahead, aside)
    if max(abs(float((stay.path.at(t).at - stay.path.first.at) @ over)) for t in _samples(stay)) > FLAT:
        said = f"{name.capitalize()}, the same seen square to it"
        yield BendLine(stay, ProjectionPlane(stay.path.first.at, ahead, over), SQUARE, said)


def _directions(stay: Tube) -> tuple[Array, Array]:
    """Along the chord, and square to it towards where the stay's bends take it furthest."""
    start = stay.path.first.at
    ahead = unit(stay.path.last.at - start)
    off = [square_to(stay.path.at(t).at - start, ahead) for t in _samples(stay)]
    furthest = max(off, key=lambda v: float(v @ v))
    return ahead, unit(furthest)


def _samples(stay: Tube) -> Array:
    return np.linspace(0.0, stay.length, 400)


def draft_bends(frame: Frame, rooms: Rooms | None = None) -> Drafted | None:
    """Every line, one under the other, the first end of each at x = 0; None where no stay is bent."""
    entities: list[Entity] = []
    crowded: list[str] = []
    held: list[Entity] = []
    down = 0.0
    for line in bend_lines(frame):
        plain = _draft(frame, line, None)
        box = box_of(plain.entities)
        up = -down - TITLE_ABOVE - TEXT_TABLE - box.top
        found = plain if rooms is None else _draft(frame, line, rooms.moved(0.0, -up))
        title = Text((box.left, up + box.top + TITLE_ABOVE), line.title, TEXT_TABLE)
        if rooms is None or rooms.whole(box_of([title])):
            entities.append(title)
        entities += [move(e, 0.0, up) for e in found.entities]
        held += [move(e, 0.0, up) for e in found.held]
        crowded += found.crowded
        down = BETWEEN - up - box.bottom
    return Drafted(tuple(entities), tuple(crowded), tuple(held)) if entities else None


def _draft(frame: Frame, line: BendLine, rooms: Rooms | None) -> Drafted:
    stay, plane = line.stay, line.plane
    strokes = Strokes(
        tuple(outline(frame.space, stay, plane)),
        (),
        (axis(stay, plane, -AXIS_PAST, stay.length + AXIS_PAST),),
        tuple(_ticks(line)),
    )
    points: Mapping[str, Point] = end_points(line.view, stay, plane)
    return with_callouts(strokes, points, (), list(_notes(frame, line)), rooms=rooms)


def _bends(stay: Tube) -> Iterator[PathPiece]:
    return (piece for piece in stay.path.pieces if not piece.straight)


def _ticks(line: BendLine) -> Iterator[Entity]:
    """A stroke across the axis where each bend begins and ends, and a shorter one at its middle."""
    for piece in _bends(line.stay):
        for station, past in (
            (piece.low, TICK_PAST), ((piece.low + piece.high) / 2, -TICK_PAST), (piece.high, TICK_PAST)
        ):  # fmt: skip
            here = line.stay.path.at(station)
            run = float(here.along @ line.plane.ahead), float(here.along @ line.plane.aside)
            way, at = bearing((0.0, 0.0), run) + 90.0, line.plane.point(here.at)
            half = max(half_width(line.stay, line.plane, station) + past, 1.0)
            yield Line(along(at, way, half), along(at, way, -half), Layer.FITTING)


def _notes(frame: Frame, line: BendLine) -> Iterator[Call]:
    for piece, mark in zip(_bends(line.stay), bend_marks(frame.space, line.stay), strict=True):
        middle = line.stay.path.at((piece.low + piece.high) / 2)
        said = bend_words(piece, mark)
        if not line.stay.role.paired:
            said += f"\n{bridge_words(line.stay)}"
        yield NoteCall(said, line.plane.point(middle.at), TEXT_NOTE)


def bend_words(piece: PathPiece, mark: Mark) -> str:
    """A bend in words with where it begins, has its middle and ends, from what a tape hooks on."""
    half = (piece.high - piece.low) / 2
    begins, ends = (format_number(mark.distance + d, 1) for d in (-half, half))
    middle = format_number(mark.distance, 1)
    return f"{mark.what}, to {mark.side}, begins {begins}, middle {middle}, ends {ends} from {mark.hook}"


def bridge_words(bridge: Tube) -> str:
    """How high the arc of a curved bridge is over the line between its ends' axes."""
    rise, across = bridge_rise(bridge.path), bridge.path.last.at - bridge.path.first.at
    between = f"{format_number(length(across), 1)} mm between the stays' axes"
    return f"{format_number(rise, 1)} mm high over {between}"

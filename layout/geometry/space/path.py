"""A tube's axis in space: straight pieces and circular bends, with its triad at every station.

Stations are mm along the developed axis from the first end. The reference line is carried along
without twist: a bend turns the triad about the bend's own axis, as a bending machine does, so
one straight line scribed on the tube before bending stays the reference line.

Before the first and beyond the last station the axis goes on straight.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from layout.geometry import messages
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.vectors import Array, Triad, cross, rotate


class Bend(NamedTuple):
    """One bend: its middle at station `at`, turning by `angle` degrees towards phi = `plane`.

    `radius` is that of the axis, mm. A negative angle turns away from phi = `plane`.
    """

    at: float
    angle: float
    plane: float
    radius: float

    @property
    def length(self) -> float:
        """Length of the bend along the axis, mm."""
        return abs(math.radians(self.angle)) * self.radius

    @property
    def span(self) -> tuple[float, float]:
        """Stations where it begins and ends."""
        return self.at - self.length / 2, self.at + self.length / 2

    @property
    def mirrored(self) -> Bend:
        """The same bend on the other stay of a pair: phi runs the other way there."""
        return Bend(self.at, self.angle, -self.plane, self.radius)


class PathPiece(NamedTuple):
    """A straight or bent length of the axis: `start` is the triad at station `low`.

    `towards` is the phi the bend turns to, `curvature` 1 / radius, 0 where straight.
    """

    low: float
    high: float
    start: Triad
    towards: float = 0.0
    curvature: float = 0.0

    @property
    def straight(self) -> bool:
        """Whether it has no bend."""
        return self.curvature == 0.0

    @property
    def bend_axis(self) -> Array:
        """The unit vector a bend turns right-handed about."""
        return cross(self.start.along, self.start.spoke(self.towards))

    @property
    def centre(self) -> Array:
        """The centre of a bend."""
        return self.start.at + self.start.spoke(self.towards) / self.curvature

    def at(self, station: float) -> Triad:
        """The triad at a station, the piece continued where it lies beyond."""
        ahead = station - self.low
        if self.straight:
            return self.start.moved(ahead)
        angle = math.degrees(ahead * self.curvature)
        axis, centre = self.bend_axis, self.centre
        return Triad(
            centre + rotate(self.start.at - centre, axis, angle),
            rotate(self.start.along, axis, angle),
            rotate(self.start.reference, axis, angle),
        )


class Path(NamedTuple):
    """The whole axis, `pieces` end to end from station 0 to `length`."""

    pieces: tuple[PathPiece, ...]

    @property
    def length(self) -> float:
        """Developed length, mm."""
        return self.pieces[-1].high

    @property
    def straight(self) -> bool:
        """Whether it has no bend at all."""
        return all(p.straight for p in self.pieces)

    @property
    def first(self) -> Triad:
        """The triad at station 0."""
        return self.pieces[0].start

    @property
    def last(self) -> Triad:
        """The triad at the far end, still along the direction first end to second."""
        return self.at(self.length)

    def piece_at(self, station: float) -> PathPiece:
        """The piece that holds a station; the end pieces beyond the ends."""
        for piece in self.pieces:
            if station <= piece.high:
                return piece
        return self.pieces[-1]

    def at(self, station: float) -> Triad:
        """The triad at a station; straight on beyond the ends."""
        piece = self.piece_at(station)
        beyond = station - piece.high
        if station < 0.0 or (beyond > 0.0 and not piece.straight):
            edge = 0.0 if station < 0.0 else piece.high
            return piece.at(edge).moved(station - edge)
        return piece.at(station)


def straight_path(start: Triad, length: float) -> Path:
    """An axis without a bend."""
    return Path((PathPiece(0.0, length, start),))


def bent_path(start: Triad, length: float, bends: Sequence[Bend]) -> Path:
    """An axis from `start` with `bends` in rising order, `length` mm long in all.

    Raises MisfitError where bends overlap each other or lie beyond the ends.
    """
    pieces: list[PathPiece] = []
    here, station, before = start, 0.0, "the tube's first end"
    for bend in bends:
        low, high = bend.span
        if bend.angle == 0.0:
            continue
        if low < station:
            raise _out_of_place(bend, messages.BEND_EARLY, before, station)
        if high > length:
            raise _out_of_place(bend, messages.BEND_LATE, "the tube's second end", length)
        if low > station:
            pieces.append(PathPiece(station, low, here))
        towards = bend.plane if bend.angle > 0.0 else bend.plane + 180.0
        pieces.append(
            PathPiece(low, high, pieces[-1].at(low) if pieces else here, towards, curvature=1.0 / bend.radius)
        )
        here, station, before = pieces[-1].at(high), high, f"the end of the bend at {bend.at:g} mm"
    if station < length or not pieces:
        pieces.append(PathPiece(station, length, here))
    return Path(tuple(pieces))


def _out_of_place(bend: Bend, said: str, what: str, station: float) -> MisfitError:
    low, high = bend.span
    return MisfitError(said.format(at=bend.at, low=low, high=high, what=what, station=station))

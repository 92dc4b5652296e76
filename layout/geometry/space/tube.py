"""A tube in space: its axis, its outside, its walls; and each end as a mitre sees it.

Every tube runs from its first to its second end. phi turns right-handed about that direction
from the reference line, the same at both ends; stations t are mm from the first end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from layout.geometry.space.dimple import Dimple
from layout.geometry.space.path import Path, PathPiece
from layout.geometry.space.profile import Profile
from layout.geometry.space.roles import DRAWN, Role, Side
from layout.geometry.space.vectors import Array, Triad

FIRST, SECOND = 0, 1
FAR_OUTSIDE = 1e3
"""What `outside` says where no piece of a bent axis is level with a point: certainly outside."""


class Walls(NamedTuple):
    """Wall thickness, mm: at the first end for the length of a butt, in the middle, at the second end.

    `butts` is None where the butts' lengths are not known.
    """

    first: float
    middle: float
    second: float
    butts: tuple[float, float] | None = None

    @property
    def butted(self) -> bool:
        """Whether the wall changes."""
        return not self.first == self.middle == self.second


@dataclass(frozen=True)
class Tube:
    """One tube: what it is to the bicycle, and where it lies.

    `side` is that of one of a pair; `number` tells several of a role apart. `facing` is what facing will
    take of its first and second end, mm. Gaps and outlines know its `dimples`, mitres do not.
    """

    role: Role
    path: Path
    profile: Profile
    side: Side | None = None
    number: int = 1
    walls: Walls | None = None
    facing: tuple[float, float] = (0.0, 0.0)
    dimples: tuple[Dimple, ...] = ()

    @cached_property
    def name(self) -> str:
        """Its own name in the frame."""
        return self.role.tube(self.side, self.number)

    @property
    def label(self) -> str:
        """The name of the row that stands for it: a pair has one."""
        return self.role.label(self.number)

    @property
    def ends(self) -> tuple[str, str]:
        """What its first and second end are called."""
        return self.role.end_words

    @property
    def listed(self) -> bool:
        """Whether it has a row of its own: of a pair the drive side's stands for both."""
        return self.side in (None, DRAWN)

    def quarter(self, phi: float) -> str:
        """The word for its side at a quarter mark, `phi` in degrees."""
        return self.role.quarter(phi, self.side)

    @property
    def length(self) -> float:
        """Developed length of the axis from end point to end point, mm."""
        return self.path.length

    def end(self, which: int) -> TubeEnd:
        """The first (0) or second (1) end."""
        pieces = self.path.pieces
        piece = pieces[0] if which == FIRST else pieces[-1]
        t = 0.0 if which == FIRST else self.length
        clear = piece.high - piece.low if piece.straight else 0.0
        return TubeEnd(self, which, t, self.path.at(t), clear=clear)

    def diameter_at(self, station: float) -> tuple[float, float]:
        """Height and width of the section, mm, before it is turned."""
        height, width = self.profile.halves(station)
        return 2.0 * float(height), 2.0 * float(width)

    def half_extent(self, station: float, direction: Array) -> float:
        """How far the section at a station reaches from the axis along a unit vector, mm.

        It is the half height of the tube over anything flat that lies square to `direction`, where that
        is square to the axis.
        """
        here = self.path.at(station)
        return self.profile.half_extent(
            station, float(direction @ here.reference), float(direction @ here.across)
        )

    def reach(self, station: float, direction: Array) -> float:
        """As `half_extent`, with what dimples press away on that side."""
        if not self.dimples:
            return self.half_extent(station, direction)
        here, phi = self.path.at(station), np.radians(np.arange(0.0, 360.0, 0.25))
        r = self.profile.radius(np.degrees(phi), station)
        up, over = r * np.cos(phi), r * np.sin(phi)
        for dimple in self.dimples:
            up, over = dimple.pressed(self.profile, np.asarray(station, dtype=np.float64), up, over)
        return float((up * float(direction @ here.reference) + over * float(direction @ here.across)).max())

    def outside(self, points: Array, low: float = -math.inf, high: float = math.inf) -> Array:
        """Below 0 inside the tube, 0 on its outside, above 0 beyond, for points (..., 3).

        The tube is taken as endless but where stations `low` and `high` end it. Not a distance:
        it grows with distance over radius.
        """
        pieces = self.path.pieces
        found = np.full(points.shape[:-1], FAR_OUTSIDE)
        for k, piece in enumerate(pieces):
            station, up, over = local(piece, points)
            level = np.ones(station.shape, dtype=bool)
            level &= station >= (piece.low if k > 0 else low)
            level &= station <= (piece.high if k < len(pieces) - 1 else high)
            height, width = self.profile.halves(station)
            up, over = _unturn(up, over, self.profile.turned)
            measure = np.sqrt((up / height) ** 2 + (over / width) ** 2) - 1.0
            found = np.where(level, np.minimum(found, measure), found)
        return found


class TubeEnd(NamedTuple):
    """An end of a tube: its station `t` and triad, and how much straight tube there is behind it."""

    tube: Tube
    which: int
    t: float
    triad: Triad
    clear: float

    @property
    def name(self) -> str:
        """The end's name."""
        return self.tube.ends[self.which]

    @property
    def inward(self) -> float:
        """+1 where stations grow into the tube, else -1."""
        return 1.0 if self.which == FIRST else -1.0


def surface_on(
    piece: PathPiece,
    profile: Profile,
    station: Array | float,
    phi: Array | float,
    *,
    dimples: Sequence[Dimple] = (),
) -> Array:
    """Points (..., 3) of the outside over one piece of axis; `station` and `phi` broadcast."""
    t, f = np.asarray(station, dtype=np.float64), np.asarray(phi, dtype=np.float64)
    r = profile.radius(f, t)
    up, over = r * np.cos(np.radians(f)), r * np.sin(np.radians(f))
    for dimple in dimples:
        up, over = dimple.pressed(profile, t, up, over)
    ahead = t - piece.low
    start = piece.start
    if piece.straight:
        found: Array = (
            start.at
            + ahead[..., None] * start.along
            + up[..., None] * start.reference
            + over[..., None] * start.across
        )
        return found
    return _on_bend(piece, ahead, up, over)


def local(piece: PathPiece, points: Array) -> tuple[Array, Array, Array]:
    """Points (..., 3) as (station, up the reference, across) of a piece, each of shape (...)."""
    if piece.straight:
        there = piece.start.local(points)
        return piece.low + there[..., 0], there[..., 1], there[..., 2]
    start, axis, centre = piece.start, piece.bend_axis, piece.centre
    radius = 1.0 / piece.curvature
    off = points - centre
    beside = off @ axis
    outward, forward = off @ ((start.at - centre) / radius), off @ start.along
    towards = radius - np.hypot(outward, forward)
    station = piece.low + radius * np.arctan2(forward, outward)
    c, s = np.cos(np.radians(piece.towards)), np.sin(np.radians(piece.towards))
    return station, towards * c - beside * s, towards * s + beside * c


def _on_bend(piece: PathPiece, ahead: Array, up: Array, over: Array) -> Array:
    start, axis, centre = piece.start, piece.bend_axis, piece.centre
    radius = 1.0 / piece.curvature
    c, s = np.cos(np.radians(piece.towards)), np.sin(np.radians(piece.towards))
    towards, beside = up * c + over * s, over * c - up * s
    angle = ahead * piece.curvature
    outward = (start.at - centre) / radius
    reach = radius - towards
    found: Array = (
        centre
        + (reach * np.cos(angle))[..., None] * outward
        + (reach * np.sin(angle))[..., None] * start.along
        + beside[..., None] * axis
    )
    return found


def _unturn(up: Array, over: Array, turned: float) -> tuple[Array, Array]:
    """Coordinates along a section's own height and width."""
    if turned == 0.0:
        return up, over
    c, s = np.cos(np.radians(turned)), np.sin(np.radians(turned))
    return up * c + over * s, over * c - up * s

r"""Where a hand marks a tube: each distance from what a tape can hook, with its side.

    long point ____________________________
              /              o             |     distance: from the long point, along the tube
             /   axis - - - -|- - - - - - -|     s: along the axis from the joint's origin
            /________________|_____________|     phi: of the mark, and of the point that is hooked
            |<-- distance -->|

Drawing, cutting table, setup page and templates all take their distances from here. An end without a mitre
is hooked square, on the side that the mark is on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from layout.bench.fitted import BRIDGE, fitted_station, fitted_tubes, fitting_of
from layout.bench.vents import Vent, opens_into, vents
from layout.drafting.numbers import format_number
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.assembly import Assembly
from layout.geometry.space.roles import BACK, DOWN, FRONT, INNER, LEFT, RIGHT, UP
from layout.geometry.space.tube import FIRST, Tube
from layout.geometry.space.vectors import Array, X, Y, Z

LONG_POINT, SQUARE_END = "long_point", "square_end"
BEND, VENT, PORT, DIMPLE = "bend", "vent", "port", "dimple"
HOLED = ("boss", "brake_mount")
"""What is put into a hole of its own, whose diameter a spec may give."""
ON_QUARTER = 3.0
"""A place this near a quarter line of the tube, degrees, is on it to the eye; common practice."""
DIRECTIONS: dict[str, Array] = {UP: Y, DOWN: -Y, FRONT: X, BACK: -X, RIGHT: Z, LEFT: -Z}
"""What the sides of a fitting mean on the bicycle."""


class Mark(NamedTuple):
    """A place to mark on a tube, mm and degrees; see the module.

    `feature` is the key of the spec that it comes from, or for a vent that was worked out, what it joins.
    `end` is 0 for the tube's first end, 1 for its second. `into` is the tube that a vent opens into, None
    for the air. `what` is the feature in words, with its size.
    """

    feature: str
    kind: str
    tube: Tube
    end: int
    datum: str
    datum_phi: float
    phi: float
    distance: float
    s: float
    what: str
    into: str | None = None
    diameter: float | None = None

    @property
    def hooked(self) -> str:
        """The distance and what it is hooked on: "212.4 from the long point at BB, down"."""
        return f"{format_number(abs(self.distance), 1)} {self.way} {self.hook}"

    @property
    def way(self) -> str:
        """Whether it lies from the hook into the tube, or beyond it: no tape shows a distance below 0."""
        return "past" if self.distance < 0.0 else "from"

    @property
    def short_hook(self) -> str:
        """The same for a narrow column, without "long point", its side the nearest quarter: "BB, down"."""
        end = words(self.tube.ends[self.end])
        return end if self.datum == SQUARE_END else f"{end}, {self.tube.quarter(self.datum_phi)}"

    @property
    def hook(self) -> str:
        """What a tape is hooked on, and on which side."""
        end = words(self.tube.ends[self.end])
        if self.datum == SQUARE_END:
            return f"the square end at {end}"
        return f"the long point at {end}, {side_words(self.tube, self.datum_phi)}"

    @property
    def side(self) -> str:
        """The side of the tube that it is on."""
        return side_words(self.tube, self.phi)


def marks(frame: Frame) -> tuple[Mark, ...]:
    """Every fitting, vent, port, bridge and bend; of a pair's bends, vents and bridges one on each tube."""
    return (
        *(m for fitting in frame.fittings for m in fitting_marks(frame, fitting)),
        *(m for tube in frame.space.tubes.values() for m in _own_bend_marks(frame, tube)),
        *(_vent_mark(frame, vent) for vent in vents(frame)),
    )


def fitting_marks(frame: Frame, fitting: Fitting) -> Iterator[Mark]:
    """Where one fitting is marked: what a pair has on both is marked on both."""
    end = fitting.role.end(fitting.origin) or FIRST
    for tube in fitted_tubes(frame, fitting):
        station = fitted_station(frame, fitting)
        bridge = fitting.kind == BRIDGE
        phi = _quarter(tube, INNER) if bridge else _side_phi(tube, station, fitting.side)
        into = opens_into(frame, tube, station, phi) if fitting.kind == VENT else None
        yield _mark(
            frame.space, tube, end, station, phi=phi, feature=fitting.key, kind=fitting.kind,
            what=what_words(fitting), diameter=fitting.diameter, into=None if into is None else into.name,
        )  # fmt: skip


def _own_bend_marks(frame: Frame, tube: Tube) -> Iterator[Mark]:
    """The bends of a tube; that of a curved bridge comes from its fitting."""
    own = fitting_of(frame, tube)
    for mark in bend_marks(frame.space, tube):
        yield mark if own is None else mark._replace(feature=own.key)


def bend_marks(space: Assembly, tube: Tube) -> Iterator[Mark]:
    """The middle of each bend of a tube, from its first end; phi is where it turns to."""
    count = 0
    for piece in tube.path.pieces:
        if piece.straight:
            continue
        turn = math.degrees((piece.high - piece.low) * piece.curvature)
        what = f"bend {format_number(turn, 1)}°, radius {format_number(1.0 / piece.curvature, 0)}"
        middle = (piece.low + piece.high) / 2
        key = f"tubes.{tube.role.name}.bends.{count}"
        yield _mark(
            space, tube, FIRST, middle, phi=piece.towards % 360.0, feature=key, kind=BEND, what=what
        )
        count += 1


def dimple_marks(frame: Frame) -> Iterator[Mark]:
    """The middle of each dimple, of both of a pair; phi is the side that it is pressed in from."""
    for tube in frame.space.tubes.values():
        for k, dimple in enumerate(tube.dimples):
            size = f"{format_number(dimple.depth, 1)} deep, {format_number(dimple.length, 0)} long"
            yield _mark(
                frame.space, tube, FIRST, dimple.at, phi=dimple.plane % 360.0, kind=DIMPLE,
                feature=f"tubes.{tube.role.name}.dimples.{k}", what=f"dimple {size}",
            )  # fmt: skip


def what_words(fitting: Fitting) -> str:
    """What a fitting is, with its size where it has one."""
    said = words(fitting.kind)
    if fitting.size is not None:
        return f"{said} {' x '.join(format_number(v, 1) for v in fitting.size)}"
    if fitting.diameter is not None:
        hole = ", hole" if fitting.kind in HOLED else ""
        said = f"{said}{hole} Ø{format_number(fitting.diameter, 1)}"
    return said if fitting.radius is None else f"{said}, radius {format_number(fitting.radius, 1)}"


def side_words(tube: Tube, phi: float) -> str:
    """The side of a tube at `phi`, degrees: a quarter's word, and how far round from it towards which other.

    "back", "back, 14° to right"
    """
    off = (phi + 45.0) % 90.0 - 45.0
    near = tube.quarter(phi - off)
    if abs(off) < ON_QUARTER:
        return near
    return f"{near}, {abs(off):.0f}° to {tube.quarter(phi - off + (90.0 if off > 0.0 else -90.0))}"


def _vent_mark(frame: Frame, vent: Vent) -> Mark:
    into = None if vent.into is None else vent.into.name
    said = f"vent Ø{format_number(vent.diameter, 1)}"
    return _mark(
        frame.space, vent.tube, vent.end, vent.station, phi=vent.phi, kind=VENT,
        feature=f"vent.{vent.tube.name}.{into or 'own'}", into=into, diameter=vent.diameter,
        what=said if vent.into is None else f"{said} into {words(vent.into.name)}",
    )  # fmt: skip


def _mark(
    space: Assembly,
    tube: Tube,
    end: int,
    station: float,
    *,
    phi: float,
    feature: str,
    kind: str,
    what: str,
    into: str | None = None,
    diameter: float | None = None,
) -> Mark:
    """A mark at a station and phi of a tube, from one of its ends."""
    cut, inward = space.cut_of(tube.name, end), tube.end(end).inward
    origin = (0.0 if end == FIRST else tube.length) if cut is None else cut.origin
    s = inward * (station - origin)
    return Mark(
        feature,
        kind,
        tube,
        end,
        datum=SQUARE_END if cut is None else LONG_POINT,
        datum_phi=phi if cut is None else cut.least.phi,
        phi=phi % 360.0,
        distance=s if cut is None else s - cut.least.s,
        s=s,
        what=what,
        into=into,
        diameter=diameter,
    )


def _side_phi(tube: Tube, station: float, side: str) -> float:
    """The phi nearest a side of the bicycle, on the tube at a station."""
    here, direction = tube.path.at(station), DIRECTIONS[side]
    across, up = float(direction @ here.across), float(direction @ here.reference)
    return math.degrees(math.atan2(across, up)) % 360.0


def _quarter(tube: Tube, word: str) -> float:
    return next(90.0 * k for k in range(4) if tube.quarter(90.0 * k) == word)

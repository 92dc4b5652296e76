"""What a brake, a rack or a mudguard needs to know of the stays where its mounts are.

            | over |                  apart    between the stays' axes
          ( o )  ( o )  stays         over     over their outer sides
            |apart|                   radius   from the axle, square to it
                                      rim      from the rim's bead seat in to the mount
                                      rotor    from the rotor's middle plane out to the stay's axis

Where a maker's drawing puts the mount is the builder's to compare: no maker's numbers are known here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from layout.bench.fitted import fitted_station, fitted_tubes
from layout.drafting.numbers import format_number
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.geometry.space.roles import LEFT, RIGHT, Side
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Z

BOSS, BRAKE = "boss", "brake_mount"


class Mount(NamedTuple):
    """A mount on the stays, mm: see the module. `rim` and `rotor` are None where they mean nothing to it."""

    fitting: Fitting
    tubes: tuple[Tube, ...]
    radius: float
    apart: float
    over: float
    rim: float | None = None
    rotor: float | None = None

    @property
    def words(self) -> str:
        """What a maker's drawing is compared with, parts divided by semicolons."""
        if self.rotor is not None:
            way = "outside" if self.rotor > 0.0 else "inside"
            far = format_number(abs(self.rotor), 1)
            return f"{_mm(self.radius)} straight from the axle; stay's axis {far} {way} the rotor's middle"
        if self.rim is not None:
            way = "inside" if self.rim > 0.0 else "outside"
            return f"stays {_mm(self.apart)} apart, axes; {_mm(abs(self.rim))} {way} the rim's bead seat"
        return f"{_mm(self.over)} over both stays"


def mounts(frame: Frame) -> Iterator[Mount]:
    """Every brake mount on the stays, and every boss on the outer or inner side of one."""
    for fitting in frame.fittings:
        if fitting.role.paired and (
            fitting.kind == BRAKE or (fitting.kind == BOSS and fitting.side in (LEFT, RIGHT))
        ):
            yield _mount(frame, fitting)


def mount_of(frame: Frame, fitting: Fitting) -> Mount | None:
    """What a fitting's maker needs to know, None where it is no mount."""
    return next((m for m in mounts(frame) if m.fitting is fitting), None)


def twin_of(frame: Frame, fitting: Fitting) -> Fitting | None:
    """The same fitting on the other stay of a pair, None where there is none."""
    if fitting.side not in (LEFT, RIGHT):
        return None
    twin = replace(fitting, side=RIGHT if fitting.side == LEFT else LEFT)
    return next((f for f in frame.fittings if f.role.paired and f == twin), None)


def _mount(frame: Frame, fitting: Fitting) -> Mount:
    tubes, station = fitted_tubes(frame, fitting), fitted_station(frame, fitting)
    x, y, z = (float(v) for v in tubes[-1].path.at(station).at)
    radius = math.dist((x, y), frame.space.rear_axle)
    over = 2.0 * (abs(z) + tubes[-1].half_extent(station, Z))
    bead, disc, rim, rotor = frame.around.bead_seat_radius, frame.around.rotor, None, None
    if fitting.kind == BRAKE and disc is not None and tubes[-1].side is Side.LEFT:
        rotor = (disc.near + disc.far) / 2 - z
    elif fitting.kind == BRAKE and bead is not None:
        rim = bead - radius
    return Mount(fitting, tubes, radius, 2.0 * abs(z), over=over, rim=rim, rotor=rotor)


def _mm(value: float) -> str:
    return format_number(value, 1)

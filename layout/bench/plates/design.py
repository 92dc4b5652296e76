"""The fixture of a frame: heights, posts, cradles and base, each part engraved.

    height  ---------------  centreline of all tubes, the frame's middle plane
                 |           cradles hold the tubes from below; two posts hold the shell by its
                 |           lower end; the axle stands on a table on two posts
         0  ===============  base, the frame's true positions; bolts from below

The common height is the least at which all parts have room, rounded up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from layout.bench.plates.fixture import Standing
from layout.bench.plates.settings import Settings
from layout.errors import Fault, PlateError
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.plates.contour import Point, unit
from layout.geometry.plates.convex import Polygon, box
from layout.geometry.plates.foot import Foot
from layout.geometry.plates.ground import Footing
from layout.geometry.plates.plate import Plate
from layout.geometry.plates.process import WASHER
from layout.geometry.plates.seats import TUBE_GAP, Seat, Site, balls
from layout.geometry.plates.table import (
    axle_post_offset,
    axle_table,
    clamp,
    shell_pocket_half,
    shell_post_offset,
)
from layout.geometry.plates.uprights import (
    Bed,
    Pocket,
    cradle,
    horn,
    least_height,
    post,
    post_half,
    table_leg,
)
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, TOP_TUBE, Role
from layout.geometry.space.tube import Tube

HEIGHT_STEP = 5.0
"""The common height is rounded up to this, mm, so that it is easy to set out and to check."""
AXLE_NUT_OVER_DIAMETER = 1.0 + WASHER
"""Nut and washer under the lower dropout over the axle's diameter, common practice."""
SHORTEST_LEG = 20.0
"""Of the posts under the axle's table, mm: lower ones do not steady the axle."""
SHELL_GRIP = 6.0
"""How far the posts' horns reach up the shell, mm."""
LEAST_SHELL_GRIP = 2.0
POST_OVER_TABS = 3.0
"""Least height of a seat on a post, over the plate's thickness."""


class CradlePair(NamedTuple):
    """The two cradles of a tube: the group they are chosen by, and their names from its first end on."""

    group: str
    role: Role
    names: tuple[str, str]


CRADLES = (
    CradlePair("head_cradles", HEAD_TUBE, ("head_cradle_lower", "head_cradle_upper")),
    CradlePair("seat_cradles", SEAT_TUBE, ("seat_cradle_lower", "seat_cradle_upper")),
    CradlePair("down_cradles", DOWN_TUBE, ("down_cradle_lower", "down_cradle_upper")),
    CradlePair("top_cradles", TOP_TUBE, ("top_cradle_rear", "top_cradle_front")),
)
"""In the order in which their places are sought: the shortest tube has the fewest."""


class Upright(NamedTuple):
    """An upright part before it stands: where its foot is, which way its engraved face looks."""

    part: str
    group: str
    at: Point
    facing: Point
    half: float
    bolted: bool

    @property
    def along(self) -> Point:
        """The foot's direction, to the right as its engraved face is looked at."""
        return -self.facing[1], self.facing[0]

    def footing(self, foot: Foot) -> Footing:
        """What it takes of the base."""
        half_thick = max(foot.slot_half, foot.process.thickness / 2)
        place = box(self.at, self.along, max(self.half, foot.slot_reach), half_thick)
        return Footing(
            self.part, self.group, place, foot.cutouts(words(self.part), self.at, self.along, self.bolted)
        )

    def standing(self, thickness: float) -> Standing:
        """Its place in the fixture."""
        (x, y), (nx, ny) = self.at, self.facing
        origin = (x + nx * thickness / 2, y + ny * thickness / 2, 0.0)
        return Standing(self.part, origin, (*self.along, 0.0), (0.0, 0.0, 1.0))


class Design(NamedTuple):
    """Everything that stands, before the base is drawn under it."""

    settings: Settings
    foot: Foot
    height: float
    plates: Mapping[str, Plate]
    uprights: tuple[Upright, ...]
    standing: tuple[Standing, ...]
    seats: Mapping[str, Seat]
    points: Mapping[str, Point]
    forward: float


def design(frame: Frame, settings: Settings) -> Design:
    """Place every upright part of the frame's fixture.

    Raises PlateError where the process leaves no room for a foot, a tube leaves none for its cradles,
    or the height given is too small.
    """
    faults = tuple(Foot(settings.process).faults())
    if faults:
        raise PlateError(*faults)
    return _Designer(frame, settings).design()


class _Designer:
    """Works out one fixture; holds what the steps share."""

    def __init__(self, frame: Frame, settings: Settings) -> None:
        self.frame, self.space, self.settings = frame, frame.space, settings
        self.foot = Foot(settings.process)
        self.forward = frame.forward
        self.points = {n: (self.forward * x + 0.0, y) for n, (x, y) in frame.plane.points.items()}
        self.stay = unit(self.points["bb"], self.points["rear_axle"])

    def design(self) -> Design:
        posts = [*self._shell_posts(), *self._axle_posts()]
        taken = [u.footing(self.foot).footprint for u in posts]
        seats: dict[str, Seat] = {}
        for pair in CRADLES:
            for seat, name in zip(self._pair(self.space.of(pair.role), taken), pair.names, strict=True):
                seats[name] = seat
                taken.append(seat.footprint(self.foot))
        height = self._height(seats)
        uprights = [*posts, *(self._cradle_upright(n, s, seats) for n, s in seats.items())]
        plates = {p.name: p for p in (*self._post_plates(height), *self._cradles(seats, height))}
        standing = (*(u.standing(self.settings.process.thickness) for u in uprights), *self._flat(height))
        return Design(
            self.settings,
            self.foot,
            height,
            plates,
            uprights=tuple(uprights),
            standing=standing,
            seats=seats,
            points=self.points,
            forward=self.forward,
        )

    @property
    def axle_hole(self) -> float:
        """The dummy axle's hole: its diameter and the fit."""
        return self.settings.axle + self.settings.process.fit

    @property
    def shell_offset(self) -> float:
        return shell_post_offset(self.space.shell.diameter / 2, self.foot)

    @property
    def pocket_half(self) -> float:
        return shell_pocket_half(self.space.shell.diameter / 2, self.shell_offset, self.foot)

    def _shell_posts(self) -> Iterator[Upright]:
        """Two posts before and behind the shell's axis, square to the chain stays, looking outwards."""
        try:
            half = post_half(self.pocket_half, self.foot)
        except ValueError:
            raise self._too_thick(f"a shell of {self.space.shell.diameter:g} mm") from None
        yield from self._either_side("bb_post", self.points["bb"], self.shell_offset, half)

    def _axle_posts(self) -> Iterator[Upright]:
        offset = axle_post_offset(self.axle_hole, self.foot)
        yield from self._either_side("axle_post", self.points["rear_axle"], offset, self.foot.half)

    def _either_side(self, part: str, middle: Point, offset: float, half: float) -> Iterator[Upright]:
        for side in (-1.0, 1.0):
            facing = (side * self.stay[0], side * self.stay[1])
            at = (middle[0] + offset * facing[0], middle[1] + offset * facing[1])
            yield Upright(part, part, at, facing, half=half, bolted=False)

    def _pair(self, own: Tube, taken: Sequence[Polygon]) -> tuple[Seat, Seat]:
        others = balls([t for t in self.space.tubes.values() if t is not own], self.forward)
        avoided = [_station(f, own.length, own.ends[0]) for f in self.frame.fittings if f.role == own.role]
        found = Site(own, others, taken, avoided, forward=self.forward, foot=self.foot).pair()
        if found is None:
            raise self._too_thick(f"the {own.role.words}, {own.length:.0f} mm long,")
        return found

    def _too_thick(self, what: str) -> PlateError:
        p = self.settings.process
        message = (
            f"{what} leaves no room for its supports of {p.thickness:g} mm plate with "
            f"M{p.bolt.diameter:g} bolts. Take thinner plate and smaller bolts."
        )
        return PlateError(Fault(message, "range", "plates.thickness"))

    def _height(self, seats: Mapping[str, Seat]) -> float:
        needs = dict(self._least_heights(seats))
        what = max(needs, key=lambda name: needs[name])
        given = self.settings.process.height
        if given is None:
            return math.ceil(needs[what] / HEIGHT_STEP - 1e-9) * HEIGHT_STEP
        if given < needs[what]:
            least = math.ceil(needs[what] * 10) / 10
            message = f"is {given:g} mm; expected at least {least:g} mm for {what}."
            raise PlateError(Fault(message, "range", "plates.height"))
        return given

    def _least_heights(self, seats: Mapping[str, Seat]) -> Iterator[tuple[str, float]]:
        """What each part asks of the height."""
        t = self.settings.process.thickness
        yield "the table under the rear axle", self._under_axle + t + SHORTEST_LEG
        yield "the post under the bottom bracket", self.space.shell.width / 2 + POST_OVER_TABS * t
        for name, seat in seats.items():
            yield f"the {name.replace('_', ' ')}", least_height(seat.bed, self.foot)

    @property
    def _under_axle(self) -> float:
        """From the middle plane down to the table: half the hub, the dropout, nut and washer."""
        rear = self.space.rear
        return rear.spacing / 2 + rear.thickness + AXLE_NUT_OVER_DIAMETER * self.settings.axle

    def _post_plates(self, height: float) -> Iterator[Plate]:
        t, shell = self.settings.process.thickness, self.space.shell
        floor = height - shell.width / 2
        pocket = Pocket(self.pocket_half, floor, min(floor + SHELL_GRIP, height + self._lowest_tube()))
        if pocket.top < floor + LEAST_SHELL_GRIP:
            raise self._too_thick(f"a shell {shell.width:g} mm wide, under its tubes,")
        yield _twice(post("bb_post", pocket, self.foot))
        yield clamp("bb_clamp", shell.diameter, self.foot)
        yield _twice(table_leg("axle_post", height - self._under_axle - t, self.foot))
        yield axle_table("axle_table", self.axle_hole, self.foot)

    def _lowest_tube(self) -> float:
        """How low the tubes come over the horns of the shell's posts, from the middle plane, less a gap."""
        found = balls([t for t in self.space.tubes.values() if t.role.cut], self.forward)
        lowest = math.inf
        a, p = self.shell_offset, self.pocket_half
        half_thick = self.settings.process.thickness / 2
        for x, y, z, r in found.tolist():
            v, u = x * self.stay[0] + y * self.stay[1], abs(x * self.stay[1] - y * self.stay[0])
            away = math.hypot(
                max(abs(abs(v) - a) - half_thick, 0.0), max(p - u, u - p - horn(self.foot), 0.0)
            )
            if away < r + TUBE_GAP:
                lowest = min(lowest, z - math.sqrt((r + TUBE_GAP) ** 2 - away**2))
        return lowest

    def _cradle_upright(self, name: str, seat: Seat, seats: Mapping[str, Seat]) -> Upright:
        """A cradle looks towards the other one of its tube, where its name is engraved on the base."""
        other = next(s for n, s in seats.items() if s.tube == seat.tube and n != name)
        sign = 1.0 if other.station > seat.station else -1.0
        facing = (sign * seat.along[0], sign * seat.along[1])
        group = next(pair.group for pair in CRADLES if name in pair.names)
        place = seat.footprint(self.foot)
        half = math.dist(place[0], place[1]) / 2
        return Upright(name, group, seat.at, facing, half=half, bolted=True)

    def _cradles(self, seats: Mapping[str, Seat], height: float) -> Iterator[Plate]:
        for name, seat in seats.items():
            upright = self._cradle_upright(name, seat, seats)
            same = upright.facing[0] * seat.along[0] + upright.facing[1] * seat.along[1] > 0.0
            bed = seat.bed
            seen = Bed(bed.across, bed.below, bed.right, bed.left) if same else bed
            yield cradle(name, seen, height, self.foot)

    def _flat(self, height: float) -> Iterator[Standing]:
        """Table and clamp; the table's x runs across its posts."""
        across = (-self.stay[1], self.stay[0], 0.0)
        up = (-self.stay[0], -self.stay[1], 0.0)
        x, y = self.points["rear_axle"]
        yield Standing("axle_table", (x, y, height - self._under_axle), across, up)
        x, y = self.points["bb"]
        top = height + self.space.shell.width / 2 + self.settings.process.thickness
        yield Standing("bb_clamp", (x, y, top), across, up)


def _twice(plate: Plate) -> Plate:
    return replace(plate, quantity=2)


def _station(fitting: Fitting, length: float, first_end: str) -> float:
    """A fitting's place from its tube's first end, mm."""
    return fitting.at if fitting.origin == first_end else length - fitting.at

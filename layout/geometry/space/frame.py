"""The bicycle's frame in space, from the plane frame's points, the tubes' forms and the rear end.

Each tube runs from its role's first end to its second; right is the drive side, +z. The tubes of the
middle plane span their roles' points; stays go out to the dropouts; bridges run from left to right.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from layout.geometry.space.assembly import Assembly, Joint
from layout.geometry.space.form import BridgePlace, Form, RearEnd, Shell, round_form
from layout.geometry.space.path import straight_path
from layout.geometry.space.placing import place_tube, placed_pair, reference
from layout.geometry.space.profile import constant_profile
from layout.geometry.space.roles import (
    CHAIN_STAY,
    ROLES,
    SEAT_STAY,
    SEAT_TUBE,
    SHELL,
    SINGLE_STAY,
    WRITTEN,
    Role,
    Side,
)
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.geometry.space.vectors import Array, Y, Z, length, triad, unit, vector

BACK_MARGIN = 1.04
"""Over a stay's half width: as it leans in, it reaches this much further out where the cut is."""
SINGLE_PARTS = (1.0, 0.75, 0.5)
"""Of the usual length of a single tube: nearer the seat tube its weld has no room."""
ROOM_ROUNDING = 1e-9
Points = Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class SpaceFrame(Assembly):
    """A frame's tubes, the shell among them, and what its rear end is made to."""

    shell: Shell
    rear: RearEnd
    rear_axle: tuple[float, float]

    def bridges(self, pair: Role) -> tuple[Tube, ...]:
        """The bridges between a pair of stays."""
        return tuple(t for t in self.tubes.values() if t.role == ROLES[pair.bridge])


def assemble(
    points: Points,
    forms: Mapping[str, Form],
    shell: Shell,
    rear: RearEnd,
    bridges: Sequence[BridgePlace] = (),
) -> SpaceFrame:
    """The frame in space from named points of the plane (mm, BB at the origin) and the tubes' forms.

    `forms` has every role that a spec sizes, by its name; a stay's is the drive side's. Raises MisfitError,
    with the role's name, where a stay's bends do not fit between its ends.
    """
    tubes = {t.name: t for t in _middle_tubes(points, forms)}
    tubes[SHELL.name] = _shell_tube(shell)
    tubes.update((t.name, t) for t in _chain_stays(points, forms[CHAIN_STAY.name], rear))
    if rear.mount == "single":
        tubes[SINGLE_STAY.name] = _single(points, forms[SEAT_STAY.name], rear)
    tubes.update((t.name, t) for t in _seat_stays(points, forms[SEAT_STAY.name], rear, tubes))
    joints = list(_joints(tubes.values(), rear))
    for bridge, joint_pair in _bridges(tubes, bridges):
        tubes[bridge.name] = bridge
        joints.extend(joint_pair)
    return SpaceFrame(tubes, tuple(joints), shell, rear, rear_axle=points["rear_axle"])


def _joints(tubes: Iterable[Tube], rear: RearEnd) -> Iterator[Joint]:
    """Every end that its role mitres. Seat stays on a single tube meet that first."""
    for tube in tubes:
        for which, end in enumerate(tube.role.ends):
            hosts = end.hosts
            if rear.mount == "single" and tube.role == SEAT_STAY:
                hosts = (SINGLE_STAY.name, *hosts[:1])
            if end.hosts:
                yield Joint(tube.name, which, hosts, end.always)


def _middle_tubes(points: Points, forms: Mapping[str, Form]) -> Iterator[Tube]:
    for role in WRITTEN:
        if not role.paired:
            start, end = (vector(*points[name]) for name in role.points)
            yield place_tube(role, start, end, forms[role.name])


def _shell_tube(shell: Shell) -> Tube:
    start = vector(0.0, 0.0, -shell.width / 2)
    return Tube(SHELL, straight_path(triad(start, Z, Y), shell.width), constant_profile(shell.diameter / 2))


def _stay_end(points: Points, towards: str, rear: RearEnd) -> Array:
    """Where a stay ends at the drive-side dropout: `inset` from the axle, centred on the plate."""
    axle, other = vector(*points["rear_axle"]), vector(*points[towards])
    return axle + rear.inset * unit(other - axle) + rear.dropout_plane * Z


def _chain_stays(points: Points, form: Form, rear: RearEnd) -> Iterator[Tube]:
    start = vector(0.0, 0.0, rear.stay_spacing / 2)
    yield from placed_pair(CHAIN_STAY, start, _stay_end(points, "bb", rear), form)


def _seat_stays(points: Points, form: Form, rear: RearEnd, tubes: Mapping[str, Tube]) -> Iterator[Tube]:
    start = _stay_end(points, "top_tube_at_seat", rear)
    yield from placed_pair(SEAT_STAY, start, _seat_stay_top(points, form, rear, tubes), form)


def _seat_stay_top(points: Points, form: Form, rear: RearEnd, tubes: Mapping[str, Tube]) -> Array:
    """Where the drive side's axis ends, level with the seat tube's axis in the side view.

    Back: as far out as the whole end still meets the seat tube, but not so far in that the two
    stays overlap. Side: the axis passes on the seat tube's skin, so that the inner half of the end
    is cut to it and the outer half stands beside it, under a cap. Single: on the single tube's axis.
    """
    cluster = vector(*points["top_tube_at_seat"])
    if rear.mount == "single":
        meet, aside, _ = _single_lay(points, form, rear)
        return tubes[SINGLE_STAY.name].path.at(meet).at + aside * Z
    seat = tubes[SEAT_TUBE.name]
    foot = vector(*points["seat_tube_foot"])
    across = seat.half_extent(length(cluster - foot), Z)
    if rear.mount == "side":
        return cluster + across * Z
    half = form.across(SECOND) / 2
    return cluster + max(across - BACK_MARGIN * half, half) * Z


def _single(points: Points, stay: Form, rear: RearEnd) -> Tube:
    """The single tube: from the seat tube's axis past where the stays' axes end, as far as they lap it."""
    start, axle = vector(*points["top_tube_at_seat"]), vector(*points["rear_axle"])
    _, _, end = _single_lay(points, stay, rear)
    return place_tube(
        SINGLE_STAY, start, start + end * unit(axle - start), round_form(rear.single_diameter)
    )


def _single_lay(points: Points, stay: Form, rear: RearEnd) -> tuple[float, float, float]:
    """Where the stays' axes end along the single tube and how far aside of its axis, and its length, mm.

    A straight stay whose axis ends `aside` laps the tube by (R + r - aside) / tan t, t its angle. The
    axes meet where that leaves the tyre clear; else they end on the tube's skin, where the inner half of
    each stay is cut to it, and if that does not do, nearer the seat tube.
    """
    start, axle = vector(*points["top_tube_at_seat"]), vector(*points["rear_axle"])
    whole = length(axle - start)
    room = whole - rear.tyre_reach if rear.tyre_reach else math.inf
    skin, both = rear.single_diameter / 2, (rear.single_diameter + stay.across(SECOND)) / 2
    found = (0.0, 0.0, 0.0)
    for part in SINGLE_PARTS:
        meet = part * rear.single_length
        along, most = whole - rear.inset - meet, max(room - meet, 0.0)
        aside = 0.0
        if both * along / rear.dropout_plane > most:
            aside = skin
        lap = (both - aside) * along / (rear.dropout_plane - aside)
        found = (meet, aside, meet + lap)
        if meet + lap <= room + ROOM_ROUNDING:
            break
    return found


def bridge_room(frame: SpaceFrame, place: BridgePlace) -> float:
    """The length of a bridge between the skins of its stays, mm; 0 or less where they have met."""
    right = frame.drawn(place.stay)
    half = right.profile.half_extent(place.at, 0.0, 1.0)
    return 2.0 * (float(right.path.at(place.at).at[2]) - half)


def _bridges(
    tubes: Mapping[str, Tube], places: Sequence[BridgePlace]
) -> Iterator[tuple[Tube, tuple[Joint, Joint]]]:
    """Each bridge with its two joints; a second bridge of a pair of stays is numbered."""
    count: dict[str, int] = {}
    for place in places:
        role = ROLES[place.stay.bridge]
        number = count[role.name] = count.get(role.name, 0) + 1
        left, right = (tubes[place.stay.tube(side)] for side in Side)
        path = stay_path(left.path.at(place.at).at, right.path.at(place.at).at, reference(role))
        tube = Tube(role, path, round_form(place.diameter).profile(path.length), number=number)
        yield tube, (Joint(tube.name, FIRST, (left.name,)), Joint(tube.name, SECOND, (right.name,)))

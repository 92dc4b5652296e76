"""The bicycle's frame in space, from the plane frame's points, the tubes' forms and the rear end.

Each tube runs from its role's first end to its second; right is the drive side, +z. The tubes of the
middle plane span their roles' points; stays go out to the dropouts; bridges run from left to right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from layout.geometry.space.assembly import Assembly, Joint
from layout.geometry.space.bridges import bridge_path
from layout.geometry.space.form import BridgePlace, Form, RearEnd, Shell, round_form
from layout.geometry.space.path import straight_path
from layout.geometry.space.placing import place_tube
from layout.geometry.space.profile import constant_profile
from layout.geometry.space.rear import Points, chain_stays, seat_stays
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
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.geometry.space.vectors import Y, Z, triad, vector


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
    with the role's name, where a stay's bends do not fit between its ends; MisfitError where a curved bridge
    does not fit between its stays.
    """
    tubes = {t.name: t for t in _middle_tubes(points, forms)}
    tubes[SHELL.name] = _shell_tube(shell)
    tubes.update((t.name, t) for t in chain_stays(points, forms[CHAIN_STAY.name], rear))
    tubes.update((t.name, t) for t in seat_stays(points, forms[SEAT_STAY.name], rear, tubes[SEAT_TUBE.name]))
    joints = list(_joints(tubes.values(), rear))
    for bridge, joint_pair in _bridges(tubes, bridges, points["rear_axle"]):
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


def bridge_room(frame: SpaceFrame, place: BridgePlace) -> float:
    """The length of a bridge between the skins of its stays, mm; 0 or less where they have met."""
    right = frame.drawn(place.stay)
    half = right.profile.half_extent(place.at, 0.0, 1.0)
    return 2.0 * (float(right.path.at(place.at).at[2]) - half)


def _bridges(
    tubes: Mapping[str, Tube], places: Sequence[BridgePlace], axle: tuple[float, float]
) -> Iterator[tuple[Tube, tuple[Joint, Joint]]]:
    """Each bridge with its two joints; a second bridge of a pair of stays is numbered."""
    count: dict[str, int] = {}
    for place in places:
        role = ROLES[place.stay.bridge]
        number = count[role.name] = count.get(role.name, 0) + 1
        left, right = (tubes[place.stay.tube(side)] for side in Side)
        path = bridge_path(place, left, right, axle)
        tube = Tube(role, path, round_form(place.diameter).profile(path.length), number=number)
        yield tube, (Joint(tube.name, FIRST, (left.name,)), Joint(tube.name, SECOND, (right.name,)))

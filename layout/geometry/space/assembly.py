"""The whole frame in space, and which end is cut against what.

From the plane frame's points, the tubes' forms and the rear end. Each tube runs from its first to
its second end: seat_tube bb-top, top_tube seat-head, down_tube bb-head, head_tube bottom-top,
chain_stay_left|right bb-axle, seat_stay_left|right axle-top (right is the drive side, +z); bridges
left-right.

The reference line (phi = 0) is the generator on a tube's up side (top tube, down tube, chain stays,
bridges) or forward side (seat tube, head tube, seat stays), as near as the axis allows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from layout.geometry.space.ends import TUBE_ENDS
from layout.geometry.space.form import BridgePlace, Form, RearEnd, Shell, round_form
from layout.geometry.space.meeting import Host
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.mitre import Cut, cut
from layout.geometry.space.path import straight
from layout.geometry.space.profile import constant
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.geometry.space.vectors import Array, X, Y, Z, length, triad, unit, vector

SHELL = "bottom_bracket"
SINGLE = "single_stay"
ENDS = {**TUBE_ENDS, SINGLE: ("seat", "stays")}
BACK_MARGIN = 1.04
"""Over a stay's half width: as it leans in, it reaches this much further out where the cut is."""
SIDES = {"left": -1.0, "right": 1.0}
Points = Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class Joint:
    """An end of a tube and the tubes it is cut against, in order.

    The first of them is taken as endless, every other from its own first end to its second: a seat tube
    ends on the shell, so nothing of it is met below. The first `always` are listed even where they do not
    shape the cut.
    """

    tube: str
    which: int
    hosts: tuple[str, ...]
    always: int = 1


@dataclass(frozen=True)
class SpaceFrame:
    """Every tube by name, the shell among them, and every joint in the order it is cut."""

    tubes: Mapping[str, Tube]
    joints: tuple[Joint, ...]
    shell: Shell
    rear: RearEnd
    rear_axle: tuple[float, float]

    @cached_property
    def cuts(self) -> tuple[Cut, ...]:
        """The mitre of every joint that has one."""
        found = ((j, self.cut(j)) for j in self.joints)
        return tuple(c for _, c in found if c is not None)

    @cached_property
    def missed(self) -> tuple[Joint, ...]:
        """Joints without a mitre: the tube passes wholly beside, or runs parallel."""
        have = {(c.tube, c.end.which) for c in self.cuts}
        return tuple(j for j in self.joints if (j.tube, j.which) not in have)

    def cut(self, joint: Joint) -> Cut | None:
        """One joint's mitre."""
        hosts = [
            Host(t) if k == 0 else Host(t, 0.0, t.length)
            for k, t in enumerate(self.tubes[h] for h in joint.hosts)
        ]
        return cut(self.tubes[joint.tube], joint.which, hosts, always=joint.always)

    def cut_of(self, tube: str, which: int) -> Cut | None:
        """The mitre of a tube's first (0) or second (1) end, None where it is square."""
        return next((c for c in self.cuts if c.tube == tube and c.end.which == which), None)


def assemble(
    points: Points,
    forms: Mapping[str, Form],
    shell: Shell,
    rear: RearEnd,
    bridges: Sequence[BridgePlace] = (),
) -> SpaceFrame:
    """The frame in space from named points of the plane (mm, BB at the origin) and the tubes' forms.

    `forms` has seat_tube, top_tube, down_tube, head_tube, chain_stay (drive side) and seat_stay.
    Raises MisfitError, with the tube's name, where a stay's bends do not fit between its ends.
    """
    tubes = {t.name: t for t in _middle_tubes(points, forms)}
    tubes[SHELL] = _shell_tube(shell)
    tubes.update((t.name, t) for t in _chain_stays(points, forms["chain_stay"], rear))
    if rear.mount == "single":
        tubes[SINGLE] = _single(points, forms["seat_stay"], rear)
    tubes.update((t.name, t) for t in _seat_stays(points, forms["seat_stay"], rear, tubes))
    joints = list(_joints(rear))
    for bridge, joint_pair in _bridges(tubes, bridges):
        tubes[bridge.name] = bridge
        joints.extend(joint_pair)
    return SpaceFrame(tubes, tuple(joints), shell, rear, points["rear_axle"])


def _joints(rear: RearEnd) -> Iterator[Joint]:
    yield Joint("seat_tube", FIRST, (SHELL,))
    yield Joint("top_tube", FIRST, ("seat_tube",))
    yield Joint("top_tube", SECOND, ("head_tube",))
    yield Joint("down_tube", FIRST, (SHELL, "seat_tube"), always=2)
    yield Joint("down_tube", SECOND, ("head_tube", "top_tube"))
    for side in SIDES:
        yield Joint(f"chain_stay_{side}", FIRST, (SHELL, "seat_tube"))
    if rear.mount == "single":
        yield Joint(SINGLE, FIRST, ("seat_tube", "top_tube"))
    hosts = (SINGLE, "seat_tube") if rear.mount == "single" else ("seat_tube", "top_tube")
    for side in SIDES:
        yield Joint(f"seat_stay_{side}", SECOND, hosts)


def _middle_tubes(points: Points, forms: Mapping[str, Form]) -> Iterator[Tube]:
    spans = {
        "seat_tube": ("seat_tube_foot", "seat_tube_top", X),
        "top_tube": ("top_tube_at_seat", "top_tube_at_head", Y),
        "down_tube": ("down_tube_at_bb", "down_tube_at_head", Y),
        "head_tube": ("head_tube_bottom", "head_tube_top", X),
    }
    for name, (start, end, up) in spans.items():
        a, b = vector(*points[start]), vector(*points[end])
        yield _placed(name, a, b, up, forms[name])


def _placed(name: str, start: Array, end: Array, up: Array, form: Form, kind: str = "") -> Tube:
    try:
        path = stay_path(start, end, up, form.bends)
    except MisfitError as e:
        raise e.of(kind or name) from e
    return Tube(name, path, form.profile(path.length), ENDS[kind or name], form.walls, form.facing)


def _shell_tube(shell: Shell) -> Tube:
    start = vector(0.0, 0.0, -shell.width / 2)
    return Tube(
        SHELL, straight(triad(start, Z, Y), shell.width), constant(shell.diameter / 2), ("left", "right")
    )


def _stay_end(points: Points, towards: str, rear: RearEnd) -> Array:
    """Where a stay ends at the drive-side dropout: `inset` from the axle, centred on the plate."""
    axle, other = vector(*points["rear_axle"]), vector(*points[towards])
    return axle + rear.inset * unit(other - axle) + rear.dropout_plane * Z


def _mirrored(p: Array, side: float) -> Array:
    return p * vector(1.0, 1.0, side)


def _chain_stays(points: Points, form: Form, rear: RearEnd) -> Iterator[Tube]:
    start, end = vector(0.0, 0.0, rear.stay_spacing / 2), _stay_end(points, "bb", rear)
    for side, sign in SIDES.items():
        own = form if sign > 0 else form.mirrored
        a, b = _mirrored(start, sign), _mirrored(end, sign)
        yield _placed(f"chain_stay_{side}", a, b, Y, own, "chain_stay")


def _seat_stays(points: Points, form: Form, rear: RearEnd, tubes: Mapping[str, Tube]) -> Iterator[Tube]:
    start = _stay_end(points, "top_tube_at_seat", rear)
    end = _seat_stay_top(points, form, rear, tubes)
    for side, sign in SIDES.items():
        own = form if sign > 0 else form.mirrored
        a, b = _mirrored(start, sign), _mirrored(end, sign)
        yield _placed(f"seat_stay_{side}", a, b, X, own, "seat_stay")


def _seat_stay_top(points: Points, form: Form, rear: RearEnd, tubes: Mapping[str, Tube]) -> Array:
    """Where the drive side's axis ends, level with the seat tube's axis in the side view.

    Back: as far out as the whole end still meets the seat tube, but not so far in that the two
    stays overlap. Side: the axis passes on the seat tube's skin, so that the inner half of the end
    is cut to it and the outer half stands beside it, under a cap. Single: on the single tube's axis.
    """
    cluster = vector(*points["top_tube_at_seat"])
    if rear.mount == "single":
        return tubes[SINGLE].path.at(rear.single_length).at
    seat = tubes["seat_tube"]
    foot = vector(*points["seat_tube_foot"])
    across = seat.half_extent(length(cluster - foot), Z)
    if rear.mount == "side":
        return cluster + across * Z
    half = form.across(SECOND) / 2
    return cluster + max(across - BACK_MARGIN * half, half) * Z


def _single(points: Points, stay: Form, rear: RearEnd) -> Tube:
    """The single tube: from the seat tube's axis past where the stays' axes meet it, as far as they lap it.

    A straight stay that comes in at the angle t laps it by (R + r) / tan t before their axes meet.
    """
    start, axle = vector(*points["top_tube_at_seat"]), vector(*points["rear_axle"])
    along = length(axle - start) - rear.inset - rear.single_length
    lap = (rear.single_diameter + stay.across(SECOND)) / 2 * along / rear.dropout_plane
    end = start + (rear.single_length + lap) * unit(axle - start)
    return _placed(SINGLE, start, end, Y, round_form(rear.single_diameter))


def bridge_room(frame: SpaceFrame, place: BridgePlace) -> float:
    """The length of a bridge between the skins of its stays, mm; 0 or less where they have met."""
    right = frame.tubes[f"{place.stay}_right"]
    half = right.profile.half_extent(place.at, 0.0, 1.0)
    return 2.0 * (float(right.path.at(place.at).at[2]) - half)


def _bridges(
    tubes: Mapping[str, Tube], places: Sequence[BridgePlace]
) -> Iterator[tuple[Tube, tuple[Joint, Joint]]]:
    """Each bridge with its two joints; a second bridge of a pair of stays is numbered."""
    count: dict[str, int] = {}
    for place in places:
        number = count[place.stay] = count.get(place.stay, 0) + 1
        name = f"{place.stay}_bridge" + (f"_{number}" if number > 1 else "")
        left, right = (tubes[f"{place.stay}_{side}"] for side in SIDES)
        path = stay_path(left.path.at(place.at).at, right.path.at(place.at).at, Y)
        form = round_form(place.diameter)
        tube = Tube(name, path, form.profile(path.length), ("left", "right"))
        yield tube, (Joint(name, FIRST, (left.name,)), Joint(name, SECOND, (right.name,)))

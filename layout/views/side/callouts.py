"""Which callouts the side view carries, and where each would like to be: one row each.

Every jig setting and every tape check has one. A row names a dimension; the registry says
between which points it is measured. `lies` is where on paper its line likes to lie, `clear` how
far beside its points the first rank is; the placer has the last word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from enum import Enum
from typing import NamedTuple

from layout.bench.tape import TapeCheck
from layout.drafting.calls import AngleCall, Call, LengthCall
from layout.drafting.style import TEXT_CALLOUT
from layout.drafting.vector import bearing, distance, unit
from layout.frame.words import words
from layout.geometry.dimensions.spans import PlacedAngle, PlacedLength
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, TOP_TUBE, Role
from layout.views.checks import letter_calls
from layout.views.side.plan import Plan

TEXT_JIG_ANGLE = 10.0
"""The two angles the jig is set to are found first."""
JIG_RADII = tuple(70.0 + 10.0 * k for k in range(16))
JOINT_RADII = tuple(44.0 + 6.0 * k for k in range(22))
NOTHING = 0.05
"""A length that may be missing is not drawn where it is less than this, mm: it shows as 0.0."""
NEGATIVE = {"bb_drop": "BB above axle", "lower_stack": "crown race above head tube end"}
"""What a negative dimension is called where only its size is drawn."""
BELOW_SHELL = 24.0
"""The level dimensions under the BB start here, clear of the shell and of the centre distances."""
BESIDE = 7.0
"""Nearest a dimension line comes to a tube's edge."""


class Lies(Enum):
    """Where on paper a dimension line likes to lie of what it measures."""

    ABOVE = "above"
    BELOW = "below"
    AHEAD = "ahead"
    BEHIND = "behind"
    EITHER = "either"


Clear = float | Callable[[Plan, PlacedLength], float]


class LengthRow(NamedTuple):
    """A length's callout; one that `may_be_missing` is left out where there is nothing to show."""

    name: str
    lies: Lies
    clear: Clear
    label: str = ""
    may_be_missing: bool = False


class AngleRow(NamedTuple):
    """An angle's callout; those of the `jig` are large and named."""

    name: str
    jig: bool = False


def _beside(tube: Role, whole: bool = False) -> Clear:
    """Clear of a tube as thick as at its first end, or as at its thicker one where it is followed `whole`."""

    def clear(p: Plan, _: PlacedLength) -> float:
        bar = p.bars[tube.name]
        return (max(bar.start_radius, bar.end_radius) if whole else bar.start_radius) + BESIDE

    return clear


def _beside_fork(p: Plan, _: PlacedLength) -> float:
    """Clear of the head tube, and of the axle that the fork holds ahead of its axis."""
    return max(p.bars[HEAD_TUBE.name].start_radius, distance(p["fork_foot"], p["front_axle"])) + BESIDE


def _under_shell(p: Plan, lies: PlacedLength) -> float:
    """Clear of the shell and of what lies under it, however low the points are."""
    return min(lies.start[1], lies.end[1]) + (p.frame.plane.shell_diameter / 2 + BELOW_SHELL)


ANGLES = (
    AngleRow("head_angle", jig=True),
    AngleRow("seat_angle", jig=True),
    AngleRow("angle_top_head"),
    AngleRow("angle_seat_top"),
    AngleRow("angle_down_head"),
    AngleRow("angle_seat_down"),
    AngleRow("angle_seat_chain"),
)
LENGTHS = (
    LengthRow("bb_drop", Lies.AHEAD, 70.0),
    LengthRow("rear_centre", Lies.BELOW, 22.0),
    LengthRow("front_centre", Lies.BELOW, 24.0),
    LengthRow("rear_centre_horizontal", Lies.BELOW, _under_shell),
    LengthRow("front_centre_horizontal", Lies.BELOW, _under_shell),
    LengthRow("wheelbase", Lies.BELOW, _under_shell),
    LengthRow("reach", Lies.ABOVE, 30.0),
    LengthRow("stack", Lies.AHEAD, 40.0),
    LengthRow("top_tube_effective", Lies.ABOVE, 30.0),
    LengthRow("seat_tube_length", Lies.BEHIND, _beside(SEAT_TUBE)),
    LengthRow("seat_tube_cc", Lies.BEHIND, _beside(SEAT_TUBE)),
    LengthRow("top_tube_at_seat", Lies.BEHIND, _beside(SEAT_TUBE)),
    LengthRow("top_tube_length", Lies.ABOVE, _beside(TOP_TUBE)),
    LengthRow("down_tube_length", Lies.BELOW, _beside(DOWN_TUBE)),
    LengthRow("head_tube_length", Lies.AHEAD, _beside(HEAD_TUBE, whole=True)),
    LengthRow("top_tube_at_head", Lies.AHEAD, _beside(HEAD_TUBE, whole=True)),
    LengthRow("down_tube_at_head", Lies.AHEAD, _beside(HEAD_TUBE, whole=True)),
    LengthRow("fork_length_on_axis", Lies.AHEAD, _beside_fork),
    LengthRow("axle_to_crown", Lies.AHEAD, 14.0),
    LengthRow("lower_stack", Lies.AHEAD, _beside(HEAD_TUBE), may_be_missing=True),
    LengthRow("fork_offset", Lies.BELOW, 30.0, may_be_missing=True),
)
"""What the bench sets and checks. Of two as long as each other the first takes the inner rank."""
GROUND = (
    LengthRow("trail", Lies.BELOW, 16.0),
    LengthRow("bb_height", Lies.EITHER, 60.0),
    LengthRow("front_radius", Lies.AHEAD, 24.0, label="wheel radius"),
    LengthRow("rear_radius", Lies.BEHIND, 24.0, label="wheel radius"),
)
"""What reaches the ground; shown where the sheet has room for it."""


def angle_calls(p: Plan) -> list[Call]:
    """Head and seat angle from the level lines, then the included angles at the joints."""
    calls: list[Call] = []
    for row in ANGLES:
        lies = p.placed(row.name)
        if isinstance(lies, PlacedAngle):
            calls.append(_angle(row, lies))
    return calls


def _angle(row: AngleRow, lies: PlacedAngle) -> AngleCall:
    """Arms in the order that makes the angle counter-clockwise whichever way the bicycle heads."""
    start, end = lies.first, lies.second
    turn = (bearing(lies.vertex, end) - bearing(lies.vertex, start)) % 360.0
    if turn > 180.0:
        start, end = end, start
    return AngleCall(
        row.name,
        words(row.name) if row.jig else "",
        vertex=lies.vertex,
        start=start,
        end=end,
        radii=JIG_RADII if row.jig else JOINT_RADII,
        height=TEXT_JIG_ANGLE if row.jig else TEXT_CALLOUT,
    )


def length_calls(p: Plan, checks: tuple[TapeCheck, ...]) -> list[Call]:
    """Every length the bench sets and every tape check, short ones first: they take the inner ranks.

    A check that a dimension shows already lends it its letter; the others are lettered on
    the line they run along.
    """
    calls = [_with_words(p, call) for call in _lengths(p, LENGTHS)]
    calls.sort(key=lambda c: distance(c.start, c.end))
    return letter_calls(calls, checks, p.points)


def ground_calls(p: Plan) -> list[Call]:
    """What reaches the ground."""
    return [_with_words(p, call) for call in _lengths(p, GROUND)]


def _lengths(p: Plan, rows: Sequence[LengthRow]) -> Iterator[LengthCall]:
    """The rows that this frame has, each where the registry measures it."""
    for row in rows:
        lies = p.placed(row.name)
        if not isinstance(lies, PlacedLength) or (row.may_be_missing and abs(lies.value) <= NOTHING):
            continue
        yield LengthCall(
            row.name,
            row.label or words(row.name),
            lies.start,
            lies.end,
            direction=lies.direction,
            side=_side(p, lies.direction, row.lies),
            clear=row.clear if isinstance(row.clear, float) else row.clear(p, lies),
        )


def _with_words(p: Plan, call: LengthCall) -> LengthCall:
    """A length drawn has no sign: one that is negative says in words which way it lies."""
    value = p.frame.plane.dimensions.get(call.name)
    if value is None or value >= 0.0:
        return call
    return replace(call, label=NEGATIVE.get(call.name, f"minus {call.label}"))


def _side(p: Plan, direction: float, lies: Lies) -> int:
    """+1 where a line likes to lie left of `direction`, -1 right, 0 either."""
    if lies is Lies.EITHER:
        return 0
    hint = {Lies.ABOVE: 90.0, Lies.BELOW: -90.0, Lies.AHEAD: p.ahead, Lies.BEHIND: p.ahead + 180.0}[lies]
    n, h = unit(direction + 90.0), unit(hint)
    return 1 if n[0] * h[0] + n[1] * h[1] >= 0 else -1

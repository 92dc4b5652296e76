"""Which callouts the side view carries, and where each would like to be.

Every jig setting and every tape check has one. Hints are directions on paper in which a
dimension line likes to lie; the placer has the last word.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from layout.bench.tape import Check
from layout.drafting.calls import AngleCall, Call, LengthCall
from layout.drafting.style import TEXT_CALLOUT
from layout.drafting.vector import Point, along, bearing, crossing, distance, unit
from layout.frame.words import words
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, TOP_TUBE
from layout.views.checks import lettered
from layout.views.side.plan import Plan, on_level

TEXT_JIG_ANGLE = 10.0
"""The two angles the jig is set to are found first."""
UP, DOWN = 90.0, -90.0
JIG_RADII = tuple(70.0 + 10.0 * k for k in range(16))
JOINT_RADII = tuple(44.0 + 6.0 * k for k in range(22))
NEGATIVE = {"bb_drop": "BB above axle", "lower_stack": "crown race above head tube end"}
"""What a negative dimension is called where only its size is drawn."""
BELOW_SHELL = 24.0
"""The level dimensions under the BB start here, clear of the shell and of the centre distances."""
BESIDE = 7.0
"""Nearest a dimension line comes to a tube's edge."""


def angle_calls(p: Plan) -> list[Call]:
    """Head and seat angle from the level lines, then the included angles at the joints."""
    seat, head = p["seat_tube_foot"], p["fork_foot"]
    seat_axis = bearing(seat, p["seat_tube_top"])
    head_axis = bearing(p["head_tube_bottom"], p["head_tube_top"])
    rear = p.ahead + 180.0
    seat_vertex = on_level(seat, seat_axis, p["bb"][1])
    head_vertex = on_level(head, head_axis, p["rear_axle"][1])
    down_axis = bearing(p["down_tube_at_bb"], p["down_tube_at_head"])
    stay_axis = bearing(p["bb"], p["rear_axle"])
    calls = [
        _angle(p, "head_angle", head_vertex, p["head_tube_top"], along(head_vertex, rear, 100.0), True),
        _angle(p, "seat_angle", seat_vertex, p["seat_tube_top"], along(seat_vertex, rear, 100.0), True),
        _angle(p, "angle_top_head", p["top_tube_at_head"], p["head_tube_top"], p["top_tube_at_seat"]),
        _angle(p, "angle_seat_top", p["top_tube_at_seat"], p["seat_tube_foot"], p["top_tube_at_head"]),
        _angle(p, "angle_down_head", p["down_tube_at_head"], p["down_tube_at_bb"], p["head_tube_bottom"]),
    ]
    seat_down = crossing(seat, seat_axis, p["down_tube_at_bb"], down_axis)
    if seat_down is not None:
        calls.append(_angle(p, "angle_seat_down", seat_down, p["down_tube_at_head"], p["seat_tube_top"]))
    seat_chain = crossing(seat, seat_axis, p["bb"], stay_axis)
    if seat_chain is not None:
        calls.append(_angle(p, "angle_seat_chain", seat_chain, p["seat_tube_top"], p["rear_axle"]))
    return calls


def _angle(p: Plan, name: str, vertex: Point, start: Point, end: Point, jig: bool = False) -> Call:
    """Arms in the order that makes the angle counter-clockwise whichever way the bicycle heads."""
    turn = (bearing(vertex, end) - bearing(vertex, start)) % 360.0
    if turn > 180.0:
        start, end = end, start
    height, radii = (TEXT_JIG_ANGLE, JIG_RADII) if jig else (TEXT_CALLOUT, JOINT_RADII)
    label = words(name) if jig else ""
    return AngleCall(name, label, vertex, start, end, radii, height)


def length_calls(p: Plan, checks: tuple[Check, ...]) -> list[Call]:
    """Every length the bench sets and every tape check, short ones first: they take the inner ranks.

    A check that a dimension shows already lends it its letter; the others are lettered on
    the line they run along.
    """
    calls = [_worded(p, call) for call in (*_levels(p), *_along_tubes(p), *_fork(p))]
    calls.sort(key=lambda c: distance(c.start, c.end))
    return lettered(calls, checks, p.points)


def _worded(p: Plan, call: LengthCall) -> LengthCall:
    """A length drawn has no sign: one that is negative says in words which way it lies."""
    value = p.frame.plane.dimensions.get(call.name)
    if value is None or value >= 0.0:
        return call
    return replace(call, label=NEGATIVE.get(call.name, f"minus {call.label}"))


def _levels(p: Plan) -> Iterator[LengthCall]:
    """What is measured level or plumb."""
    ahead, bb, rear, front, top = p.ahead, p["bb"], p["rear_axle"], p["front_axle"], p["head_tube_top"]
    rank = -(p.frame.plane.shell_diameter / 2 + BELOW_SHELL)
    seat = on_level(p["seat_tube_foot"], p.bars[SEAT_TUBE.name].axis, top[1])
    yield LengthCall("bb_drop", "BB drop", bb, (bb[0], rear[1]), UP, _side(UP, ahead), 70.0)
    yield LengthCall("rear_centre", "rear centre", rear, bb, bearing(rear, bb),
                     _side(bearing(rear, bb), DOWN), 22.0)  # fmt: skip
    yield LengthCall("front_centre", "front centre", bb, front, bearing(bb, front),
                     _side(bearing(bb, front), DOWN), 24.0)  # fmt: skip
    for name, a, b in (
        ("rear_centre_horizontal", rear, bb),
        ("front_centre_horizontal", bb, front),
        ("wheelbase", rear, front),
    ):
        yield LengthCall(name, words(name), a, b, 0.0, _side(0.0, DOWN), min(a[1], b[1]) - rank)
    yield LengthCall("reach", "reach", bb, top, 0.0, _side(0.0, UP), 30.0)
    yield LengthCall("stack", "stack", bb, top, UP, _side(UP, ahead), 40.0)
    yield LengthCall("top_tube_effective", words("top_tube_effective"), seat, top, 0.0, _side(0.0, UP), 30.0)


def _along_tubes(p: Plan) -> Iterator[LengthCall]:
    """What is measured along the tubes."""
    ahead, rear = p.ahead, p.ahead + 180.0
    seat, top, down, head = (p.bars[r.name] for r in (SEAT_TUBE, TOP_TUBE, DOWN_TUBE, HEAD_TUBE))
    seat_clear = seat.start_radius + BESIDE
    head_clear = max(head.start_radius, head.end_radius) + BESIDE
    rows = (
        ("seat_tube_length", p["seat_tube_foot"], p["seat_tube_top"], rear, seat_clear),
        ("seat_tube_cc", p["seat_tube_foot"], p["top_tube_at_seat"], rear, seat_clear),
        ("top_tube_at_seat", p["top_tube_at_seat"], p["seat_tube_top"], rear, seat_clear),
        ("top_tube_length", p["top_tube_at_seat"], p["top_tube_at_head"], UP, top.start_radius + BESIDE),
        ("down_tube_length", p["down_tube_at_bb"], p["down_tube_at_head"], DOWN, down.start_radius + BESIDE),
        ("head_tube_length", p["head_tube_bottom"], p["head_tube_top"], ahead, head_clear),
        ("top_tube_at_head", p["top_tube_at_head"], p["head_tube_top"], ahead, head_clear),
        ("down_tube_at_head", p["head_tube_bottom"], p["down_tube_at_head"], ahead, head_clear),
    )
    for name, a, b, hint, clear in rows:
        axis = bearing(a, b)
        yield LengthCall(name, words(name), a, b, axis, _side(axis, hint), clear)


def _fork(p: Plan) -> Iterator[LengthCall]:
    """Where the head tube stands on the dummy axle."""
    foot, crown, axle = p["fork_foot"], p["crown_race"], p["front_axle"]
    axis = bearing(foot, crown)
    clear = max(p.bars[HEAD_TUBE.name].start_radius, distance(foot, axle)) + BESIDE
    yield LengthCall("fork_length_on_axis", "fork length on axis", foot, crown, axis,
                     _side(axis, p.ahead), clear)  # fmt: skip
    yield LengthCall("axle_to_crown", "axle to crown", axle, crown, bearing(axle, crown),
                     _side(bearing(axle, crown), p.ahead), 14.0)  # fmt: skip
    if distance(crown, p["head_tube_bottom"]) > 0.05:
        yield LengthCall("lower_stack", "lower stack", crown, p["head_tube_bottom"], axis,
                         _side(axis, p.ahead), p.bars[HEAD_TUBE.name].start_radius + BESIDE)  # fmt: skip
    if distance(foot, axle) > 0.05:
        across = bearing(foot, axle)
        yield LengthCall("fork_offset", "fork offset", foot, axle, across, _side(across, DOWN), 30.0)


def ground_calls(p: Plan) -> list[Call]:
    """What reaches the ground; shown where the sheet has room for it."""
    contact, front, top = p["rear_contact"], p["front_contact"], p["front_axle"]
    axis = bearing(p["head_tube_bottom"], p["head_tube_top"])
    ground = on_level(p["fork_foot"], axis, front[1])
    side = _side(0.0, DOWN)
    return [
        LengthCall("trail", "trail", front, ground, 0.0, side, 16.0),
        LengthCall("bb_height", "BB height", (p["bb"][0], contact[1]), p["bb"], UP, 0, 60.0),
        LengthCall("front_radius", "wheel radius", front, top, UP, _side(UP, p.ahead), 24.0),
        LengthCall("rear_radius", "wheel radius", contact, p["rear_axle"], UP,
                   _side(UP, p.ahead + 180.0), 24.0),
    ]  # fmt: skip


def _side(direction: float, hint: float) -> int:
    """+1 where `hint` (degrees) lies left of `direction`, else -1."""
    n, h = unit(direction + 90.0), unit(hint)
    return 1 if n[0] * h[0] + n[1] * h[1] >= 0 else -1

"""The tape checks of the rear end's sheet: which crosses, what they are called, their letters on the views.

A point is called the same on the drawing and in the table beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from layout.bench.tape import Check
from layout.drafting.calls import Call, CheckCall, LengthCall, NoteCall
from layout.drafting.entities import Point
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE

PAIRS = (
    ("plan_rear_axle", "plan_bb"),
    ("plan_chain_stay_left_axle", "plan_chain_stay_right_axle"),
    ("plan_chain_stay_left_axle", "plan_chain_stay_right_bb"),
    ("stays_rear_axle", "stays_top_tube_at_seat"),
)
"""Along, across and diagonal in the plan, along in the other view."""
SAID = {
    "plan_bb": "BB",
    "plan_rear_axle": "rear axle, plan",
    "plan_chain_stay_left_bb": "left chain stay, BB",
    "plan_chain_stay_right_bb": "right chain stay, BB",
    "plan_chain_stay_left_axle": "left chain stay, axle",
    "plan_chain_stay_right_axle": "right chain stay, axle",
    "stays_rear_axle": "rear axle, seat stays",
    "stays_top_tube_at_seat": "seat cluster",
    "stays_seat_stay_left_axle": "left seat stay, axle",
    "stays_seat_stay_right_axle": "right seat stay, axle",
    "stays_seat_stay_left_top": "left seat stay, top",
    "stays_seat_stay_right_top": "right seat stay, top",
}
SAME = 1e-6
"""A dimension between the points of a check is that check within this, mm."""


def checks(points: Mapping[str, Point]) -> tuple[Check, ...]:
    """The distances to tape that lie between these points, lettered A to D over both views."""
    return tuple(
        Check(letter, a, b, math.dist(points[a], points[b]))
        for letter, (a, b) in zip("ABCD", PAIRS, strict=True)
        if a in points and b in points
    )


def worded(check: Check) -> Check:
    """The check as it is written: its points by the names that stand beside their crosses."""
    return replace(check, start=SAID[check.start], end=SAID[check.end])


def lettered(calls: Iterable[Call], points: Mapping[str, Point]) -> list[Call]:
    """The calls of a view with the letters of its checks.

    A dimension that shows a check takes its letter; the others are lettered on the line between
    their crosses.
    """
    left = {c.letter: c for c in checks(points)}
    found: list[Call] = []
    for call in calls:
        if isinstance(call, LengthCall):
            for check in list(left.values()):
                if _shows(call, points[check.start], points[check.end]):
                    call = replace(call, label=f"{check.letter}  {call.label}")
                    del left[check.letter]
        found.append(call)
    found.extend(
        CheckCall(c.name, c.letter, points[c.start], points[c.end], TEXT_TABLE) for c in left.values()
    )
    return found


def _shows(call: LengthCall, a: Point, b: Point) -> bool:
    ends = (call.start, call.end)
    return any(math.dist(p, a) < SAME and math.dist(q, b) < SAME for p, q in (ends, ends[::-1]))


def named(points: Mapping[str, Point]) -> Iterator[Call]:
    """The name beside each cross; points that coincide share the first's."""
    seen: list[Point] = []
    for name, at in points.items():
        if all(math.dist(at, other) > SAME for other in seen):
            seen.append(at)
            yield NoteCall(SAID[name], at, TEXT_NOTE)

"""The tape checks of the rear end's sheet: which crosses, what they are called, their letters on the views.

A point is called the same on the drawing and in the table beside it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from layout.bench.tape import TapeCheck
from layout.drafting.calls import Call
from layout.drafting.entities import Point
from layout.frame.words import words
from layout.geometry.space.roles import CHAIN_STAY, DRAWN, SEAT_STAY
from layout.views.crosses import name_calls

PAIRS = (
    ("plan_rear_axle", "plan_bb"),
    ("plan_chain_stay_left_axle", "plan_chain_stay_right_axle"),
    ("plan_chain_stay_left_axle", "plan_chain_stay_right_bb"),
    ("stays_rear_axle", "stays_top_tube_at_seat"),
)
"""Along, across and diagonal in the plan, along in the other view."""
BENDS, SQUARE = "bends", "square"
"""What the names of points on the lines of bent tubes begin with."""
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
    **{
        f"{view}_{role.tube(DRAWN)}_{end}": f"{role.words}, {words(end)}"
        for view in (BENDS, SQUARE)
        for role in (CHAIN_STAY, SEAT_STAY)
        for end in role.end_words
    },
}
SAME = 1e-6
"""Points this near to each other, mm, share a name."""


def checks(points: Mapping[str, Point]) -> tuple[TapeCheck, ...]:
    """The distances to tape that lie between these points, lettered A to D over both views."""
    return tuple(
        TapeCheck(letter, a, b, math.dist(points[a], points[b]))
        for letter, (a, b) in zip("ABCD", PAIRS, strict=True)
        if a in points and b in points
    )


def with_point_words(check: TapeCheck) -> TapeCheck:
    """The check as it is written: its points by the names that stand beside their crosses."""
    return replace(check, start=point_words(check.start), end=point_words(check.end))


def point_words(name: str) -> str:
    """What a point is called on the sheet; an end of a bridge by its own name."""
    return SAID[name] if name in SAID else words(name.removeprefix(f"{BENDS}_").removeprefix(f"{SQUARE}_"))


def named(points: Mapping[str, Point]) -> list[Call]:
    """The name beside each cross."""
    return name_calls(points, point_words, SAME)

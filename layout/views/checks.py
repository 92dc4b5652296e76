"""The letters of tape checks on a view: on the dimension that shows a check, else on a line of its own."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from layout.bench.tape import TapeCheck
from layout.drafting.calls import Call, CheckCall, LengthCall
from layout.drafting.numbers import format_number
from layout.drafting.style import TEXT_CALLOUT
from layout.drafting.vector import Point, unit
from layout.frame.words import words

SAME = 1e-6
"""A dimension between the points of a check shows that check where both are as long within this, mm."""


def letter_calls(
    calls: Iterable[Call],
    checks: Iterable[TapeCheck],
    points: Mapping[str, Point],
    height: float = TEXT_CALLOUT,
) -> list[Call]:
    """The calls of a view with the letters of its checks.

    A dimension that shows a check takes its letter; the others are lettered, `height` high, on the line
    between their crosses.
    """
    left = list(checks)
    found: list[Call] = []
    for call in calls:
        if isinstance(call, LengthCall):
            check = next((c for c in left if _shows(call, c, points)), None)
            if check is not None:
                call = replace(call, label=f"{check.letter}  {call.label}")
                left.remove(check)
        found.append(call)
    found += (CheckCall(c.name, c.letter, points[c.start], points[c.end], height=height) for c in left)
    return found


def check_rows(checks: Iterable[TapeCheck]) -> list[tuple[str, str]]:
    """Each check in words, and its length as shown: for a sheet that lists them."""
    return [
        (f"{c.letter}  {words(c.start)} to {words(c.end)}", format_number(c.value, 1)) for c in checks
    ]


def _shows(call: LengthCall, check: TapeCheck, points: Mapping[str, Point]) -> bool:
    """Whether a dimension is between the check's points, either way round, and along the line of both."""
    a, b = points[check.start], points[check.end]
    ways = ((call.start, call.end), (call.end, call.start))
    between = any(math.dist(p, a) < SAME and math.dist(q, b) < SAME for p, q in ways)
    return between and abs(_length(call) - check.value) < SAME


def _length(call: LengthCall) -> float:
    u = unit(call.direction)
    return abs((call.end[0] - call.start[0]) * u[0] + (call.end[1] - call.start[1]) * u[1])

"""What has changed since an earlier inspection of the same frame: tacked, then finished."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from layout.checks.fit import HALF_WIDTH_95
from layout.checks.inspect import Inspection
from layout.drafting.numbers import format_number
from layout.frame.words import words
from layout.report.advice import DECIMALS, SMALLEST

_UNITS = {"mm": " mm", "deg": "°"}


def changes(found: Inspection, before: Mapping[str, Any], name: str) -> Iterator[str]:
    """Lines on what moved since the record `before`, as its JSON has it; `name` is that record's file.

    A change within what both inspections can tell (95 %) is none.
    """
    earlier: Mapping[str, Any] = before.get("dimensions", {})
    same, moved = 0, []
    for key, judged in found.dimensions.items():
        then, sigma = (earlier.get(key, {}).get(field) for field in ("estimate", "uncertainty"))
        if then is None or sigma is None or judged.estimate is None or judged.uncertainty is None:
            continue
        change, decimals, unit = judged.estimate - then, DECIMALS[judged.unit], _UNITS[judged.unit]
        told = HALF_WIDTH_95 * math.hypot(sigma, judged.uncertainty)
        if abs(change) < max(told, SMALLEST[judged.unit]):
            same += 1
            continue
        was, now, by = (format_number(v, decimals) for v in (then, judged.estimate, change))
        moved.append(f"{words(key)}: {was}{unit} then, {now}{unit} now, change {by}{unit}.")
    yield from moved
    if same:
        yield f"{same} other dimensions are as in {name}, within measuring error."
    elif not moved:
        yield f"No dimension was measured both now and in {name}."

"""The numbers beside the drawing, as plain data: dimensions, what the last save changed, gaps, warnings."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from layout.bench.settings import value_text
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.pipeline.setup import frame_clearances
from layout.spec.load import FrameSpec
from layout.spec.registered import key_of
from layout.views.compare import Difference

GIVEN, DEFAULT, CALCULATED, MISSING = "given", "default", "", "missing"


def rows(frame: Frame, before: Frame | None) -> list[dict[str, Any]]:
    """One row for each dimension, those that have a value first, in the registry's order.

    `before` is the frame of the save before this one: a row has its old value and the change only where
    they show.
    """
    found = list(_rows(frame, before))
    return [row for row in found if row["value"] is not None] + [row for row in found if row["value"] is None]


def _rows(frame: Frame, before: Frame | None) -> Iterator[dict[str, Any]]:
    for name, dimension in REGISTRY.items():
        value = frame.plane.dimensions.get(name)
        old = None if before is None else before.plane.dimensions.get(name)
        was, now, change = Difference(name, dimension.unit, old, value).cells
        changed = before is not None and was != now
        yield {
            "name": name,
            "words": words(name),
            "meaning": dimension.meaning,
            "unit": "°" if dimension.unit == "deg" else dimension.unit,
            "value": value,
            "shown": now,
            "origin": _origin(frame, name, value),
            "was": was if changed else "",
            "change": change if changed else "",
            "changed": changed,
        }


def _origin(frame: Frame, name: str, value: float | None) -> str:
    if value is None:
        return MISSING
    if name in frame.plane.given:
        return GIVEN
    return DEFAULT if key_of(name) in frame.plane.defaults else CALCULATED


def clearances(frame: Frame) -> list[dict[str, Any]]:
    """What must be clear: what it has, the least, and whether it is enough."""
    return [
        {
            "words": gap.name,
            "is": value_text(gap.value, gap.unit),
            "least": value_text(gap.wanted, gap.unit),
            "short": gap.short,
            "reason": gap.reason,
        }
        for gap in frame_clearances(frame)
    ]


def warnings(frame: Frame) -> list[str]:
    """What the builder should know, one text each, with the line of the number it names first."""
    said = (*frame.plane.warnings, *frame.placed.notices("tubes", "rear_end"))
    return [_with_line(message, frame.spec) for message in dict.fromkeys(notice.message for notice in said)]


def _with_line(message: str, spec: FrameSpec) -> str:
    named = [name for name in re.findall(r"\w+", message) if name in spec.givens]
    return f"line {spec.place(spec.givens[named[0]].key)[1]}: {message}" if named else message

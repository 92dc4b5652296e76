"""Slips of the pen: how a number that was written may come from the one that was meant."""

from __future__ import annotations

from collections.abc import Iterator
from enum import IntEnum
from itertools import pairwise
from typing import NamedTuple

from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane

INCH = 25.4

KIN = {
    "top_tube_length": "top_tube_effective",
    "top_tube_effective": "top_tube_length",
    "seat_tube_length": "seat_tube_cc",
    "seat_tube_cc": "seat_tube_length",
    "head_angle": "seat_angle",
    "seat_angle": "head_angle",
    "stack": "reach",
    "reach": "stack",
}
"""Dimensions that are easily taken for one another."""


class PenSlip(IntEnum):
    """How a number was written wrong, the plainer first."""

    SIGN = 0
    INCHES = 1
    SWAPPED = 2
    ANOTHER = 3
    DIGIT = 4


class Meant(NamedTuple):
    """A number that may have been meant, and the slip that made another of it."""

    kind: PenSlip
    value: float


def meant_numbers(name: str, written: float, step: float) -> Iterator[Meant]:
    """Every number that a slip may have made `written` of.

    Of changed digits only those whose place is more than `step`: else any digit would do.
    """
    yield from (Meant(kind, value) for kind, value in _meant(name, written))
    yield from (Meant(PenSlip.DIGIT, v) for v, place in digits_changed(written) if place > step)


def slip(name: str, written: float, needed: float, reach: float, frame: Plane) -> PenSlip | None:
    """The plainest slip that made `written` of a number within `reach` of `needed`; None where none did.

    A digit is only looked at where its steps are wider than the reach: else any would do.

    `frame` is the one that has the needed value.

    >>> slip("trail", 52.0, 25.3, 0.5, Plane({})), slip("trail", 72.0, 44.0, 0.5, Plane({}))
    (<PenSlip.SWAPPED: 2>, None)
    """
    for kind, meant in _meant(name, written):
        if abs(meant - needed) <= reach:
            return kind
    if name in KIN and abs(float(REGISTRY[KIN[name]].function(frame)) - written) <= reach:
        return PenSlip.ANOTHER
    if any(abs(meant - needed) <= reach for meant, place in digits_changed(written) if place > 2.0 * reach):
        return PenSlip.DIGIT
    return None


def _meant(name: str, written: float) -> Iterator[tuple[PenSlip, float]]:
    yield PenSlip.SIGN, -written
    yield PenSlip.INCHES, written * INCH
    yield from ((PenSlip.SWAPPED, meant) for meant in digits_swapped(written))


def digits_swapped(written: float) -> Iterator[float]:
    """Every number that two neighbouring digits of `written`, swapped, make.

    >>> list(digits_swapped(71.4))
    [17.4, 74.1]
    """
    text = f"{written:.10g}"
    places = [i for i, c in enumerate(text) if c.isdigit()]
    for a, b in pairwise(places):
        swapped = list(text)
        swapped[a], swapped[b] = text[b], text[a]
        yield float("".join(swapped))


def digits_changed(written: float) -> Iterator[tuple[float, float]]:
    """Every number that differs from `written` in one digit, and the value of that digit's place.

    >>> [meant for meant, place in digits_changed(40.0) if place == 10.0]
    [0.0, 10.0, 20.0, 30.0, 50.0, 60.0, 70.0, 80.0, 90.0]
    """
    text = f"{written:.10g}"
    whole = text.find(".") if "." in text else len(text)
    for i, c in enumerate(text):
        if c.isdigit():
            place = 10.0 ** (whole - i - 1 if i < whole else whole - i)
            yield from ((float(text[:i] + d + text[i + 1 :]), place) for d in "0123456789" if d != c)

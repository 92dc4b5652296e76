"""Alignment: what is measured out of the frame's plane, on a flat plate or between the dropouts.

Heights are above (+, towards the drive side) or below the plate's centre plane, which the faces
of the bottom-bracket shell set. Each quantity stands for itself: readings of one quantity are
averaged by their weights, and where they contradict each other they are suspects.

    head_twist        degrees, the head tube against the seat tube seen along the bicycle; + : its top
                      leans to the drive side
    dropout_height    mm, the drive-side dropout above the other with the frame upright
    wheel_centring    mm, the rim off the middle plane, + : to the drive side
    dropout_spacing   mm, between the dropouts' inner faces
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from layout.checks.fit import fitted, linear
from layout.spec.readings import Reading, ReadingKind

HEIGHT = "height_"
TWIST, SPACING = "head_twist", "dropout_spacing"
DEGREES = frozenset((TWIST,))
HEAD = ("head_tube_bottom", "head_tube_top")
SEAT = (("seat_tube_foot", "bb"), ("seat_tube_top",))


class Aligned(NamedTuple):
    """One quantity as read: mm or degrees, one standard deviation; which of its readings are suspects."""

    name: str
    estimate: float | None
    uncertainty: float | None
    suspects: tuple[int, ...] = ()


def is_angle(name: str) -> bool:
    """Whether a quantity is in degrees."""
    return name in DEGREES


def name_of(reading: Reading) -> str:
    """The quantity's name: the alignment's own, or height_ and the point's."""
    return reading.names[0] if reading.kind is ReadingKind.ALIGNMENT else HEIGHT + reading.names[0]


def align(
    readings: Sequence[Reading], sigmas: Sequence[float], lengths: Mapping[str, float]
) -> list[Aligned]:
    """Every quantity that the readings are of, in their order; the twist also from heights.

    `sigmas` are the readings' standard deviations; `lengths` has head_tube_length and
    seat_tube_length, mm.
    """
    groups: dict[str, list[int]] = {}
    for i, reading in enumerate(readings):
        groups.setdefault(name_of(reading), []).append(i)
    found = [_mean_reading(name, rows, readings, sigmas) for name, rows in groups.items()]
    if TWIST not in groups:
        found.extend(_twist({a.name: a for a in found}, lengths))
    return found


def _mean_reading(
    name: str, rows: Sequence[int], readings: Sequence[Reading], sigmas: Sequence[float]
) -> Aligned:
    observed = np.array([readings[i].measured for i in rows], dtype=float)
    sigma = np.array([sigmas[i] for i in rows], dtype=float)
    fit = fitted(linear(np.ones((len(rows), 1)), observed, sigma))
    suspects = tuple(rows[i] for i in fit.suspects)
    if not fit.used.any():
        return Aligned(name, None, None, suspects)
    return Aligned(name, float(fit.parameters[0]), float(fit.deviations(np.ones((1, 1)))[0]), suspects)


def _twist(heights: Mapping[str, Aligned], lengths: Mapping[str, float]) -> Iterator[Aligned]:
    """The head tube's lean less the seat tube's, from the heights of their ends; one lean without the other.

    Without heights on the seat tube the head tube's lean is against the plate, that is
    against the shell's faces.
    """
    head = _lean(heights, (HEAD[:1], HEAD[1:]), lengths["head_tube_length"])
    if head is None:
        return
    seat = _lean(heights, SEAT, lengths["seat_tube_length"]) or (0.0, 0.0)
    yield Aligned(TWIST, head[0] - seat[0], math.hypot(head[1], seat[1]))


def _lean(
    heights: Mapping[str, Aligned], ends: Sequence[Sequence[str]], length: float
) -> tuple[float, float] | None:
    """Lean in degrees towards the drive side with its deviation, from the heights of a tube's two ends."""
    known = [_known_value(heights, names) for names in ends]
    if known[0] is None or known[1] is None:
        return None
    (low, a), (high, b) = known[0], known[1]
    rise = (high - low) / length
    return math.degrees(math.atan(rise)), math.degrees(math.hypot(a, b) / length / (1.0 + rise * rise))


def _known_value(heights: Mapping[str, Aligned], names: Sequence[str]) -> tuple[float, float] | None:
    for name in names:
        found = heights.get(HEIGHT + name)
        if found is not None and found.estimate is not None and found.uncertainty is not None:
            return found.estimate, found.uncertainty
    return None

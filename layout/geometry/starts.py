"""Where roots are looked for: the search range of each unknown, and the frames to start from."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from layout.geometry.derivative import GENERIC, Floats
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import UNKNOWNS

START_COUNT = 48
MANY_STARTS = 240
"""Tried where the first few reach nothing: one hard system in some hundreds."""

_RANGES = {
    "saddle_rise": (250.0, 1000.0),
    "seat_tube_length": (0.0, 1000.0),
    "top_tube_at_head": (-150.0, 400.0),
    "top_tube_at_seat": (-150.0, 400.0),
    "down_tube_at_head": (-150.0, 400.0),
}
"""Where it is not the possible range. Places of tubes are wide: a default may put them anywhere."""

_STARTS = {"saddle_rise": (520.0, 820.0), "bb_drop": (-80.0, 100.0)}
"""Where starts are spread, if not over usual practice; a drop and its mirror image are often both roots."""

_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73)


@cache
def search_range(column: str) -> tuple[float, float]:
    """Where a parameter is looked for, a little widened so that the ends of a range are inside."""
    low, high = _RANGES.get(column) or REGISTRY[column].possible
    edge = 0.02 * (high - low)
    return low - edge, high + edge


@cache
def start_frames(count: int = START_COUNT) -> dict[str, Floats]:
    """Sane frames to start from: one plain, the rest spread evenly over usual practice.

    A Kronecker sequence (multiples of irrational numbers, modulo 1) fills the box evenly.
    """
    n = np.arange(count, dtype=float)
    starts = {}
    for name, prime in zip(UNKNOWNS, _PRIMES, strict=True):
        low, high = _STARTS.get(name) or REGISTRY[name].usual or search_range(name)
        starts[name] = low + (high - low) * np.modf(0.5 + n * math.sqrt(prime))[0]
        starts[name][0] = GENERIC[name]
    return starts

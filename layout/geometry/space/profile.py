"""A tube's outside along its axis: an ellipse at each station, changing in a straight line between.

A round tube is an ellipse of equal halves; a cone is two stations; a step is two stations at one
place. Beyond its ends a profile goes on unchanged. An oval is taken as an ellipse: tubes are
ovalled from round ones and their perimeter agrees with it to about 1 % (common practice).

    height  |  half of it lies along the tube's reference line (phi = 0), or `turned` from it
    ( | )   |
     w i d t h
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from layout.geometry.space.vectors import Array

ROUND = 1e-12
"""Relative difference under which two half axes are one radius."""


class TaperSpan(NamedTuple):
    """A length of profile whose half axes change in a straight line.

    Stations from `low` to `high` mm (may be endless); at station t the half axes are
    height + height_slope * t and width + width_slope * t.
    """

    low: float
    high: float
    height: float
    width: float
    height_slope: float = 0.0
    width_slope: float = 0.0

    @property
    def ratio(self) -> float | None:
        """Width over height where it is the same all along, else None: only then are generators straight."""
        if abs(self.height * self.width_slope - self.width * self.height_slope) > ROUND * self.height:
            return None
        return self.width / self.height

    @property
    def is_round(self) -> bool:
        """Whether every section is a circle."""
        return (
            abs(self.height - self.width) <= ROUND * self.height
            and abs(self.height_slope - self.width_slope) <= ROUND
        )

    def halves(self, station: Array | float) -> tuple[Array, Array]:
        """Half height and half width at stations of any shape, the span continued as a formula."""
        t = np.asarray(station, dtype=np.float64)
        return self.height + self.height_slope * t, self.width + self.width_slope * t


@dataclass(frozen=True)
class Profile:
    """Half heights and half widths (mm) at rising stations; `turned` degrees about the axis."""

    stations: tuple[float, ...]
    heights: tuple[float, ...]
    widths: tuple[float, ...]
    turned: float = 0.0

    def __post_init__(self) -> None:
        count = len(self.stations)
        if count == 0 or len(self.heights) != count or len(self.widths) != count:
            raise ValueError("a profile needs one height and one width for each station, and a station")
        if any(b < a for a, b in pairwise(self.stations)):
            raise ValueError(f"a profile's stations must rise: {self.stations}")
        if min((*self.heights, *self.widths)) <= 0.0:
            raise ValueError("a profile's half axes must be greater than 0")

    @property
    def is_round(self) -> bool:
        """Whether every section is a circle."""
        return all(abs(h - w) <= ROUND * h for h, w in zip(self.heights, self.widths, strict=True))

    @property
    def constant(self) -> bool:
        """Whether the section is the same all along."""
        return len(set(self.heights)) == len(set(self.widths)) == 1

    @property
    def greatest(self) -> float:
        """The greatest half axis, mm."""
        return max((*self.heights, *self.widths))

    @property
    def least(self) -> float:
        """The least half axis, mm."""
        return min((*self.heights, *self.widths))

    @cached_property
    def steepest(self) -> float:
        """How fast a half axis changes at most, mm in a mm along the axis, steps apart."""
        return max(abs(k) for s in self._spans for k in (s.height_slope, s.width_slope))

    def spans(self) -> tuple[TaperSpan, ...]:
        """The whole axis in spans, from -inf to inf; steps have none."""
        return self._spans

    @cached_property
    def _spans(self) -> tuple[TaperSpan, ...]:
        first, last = self.stations[0], self.stations[-1]
        found = [TaperSpan(-math.inf, first, self.heights[0], self.widths[0])]
        rows = list(zip(self.stations, self.heights, self.widths, strict=True))
        for (t0, h0, w0), (t1, h1, w1) in pairwise(rows):
            if t1 > t0:
                kh, kw = (h1 - h0) / (t1 - t0), (w1 - w0) / (t1 - t0)
                found.append(TaperSpan(t0, t1, h0 - kh * t0, w0 - kw * t0, height_slope=kh, width_slope=kw))
        found.append(TaperSpan(last, math.inf, self.heights[-1], self.widths[-1]))
        return tuple(_merge_spans(found))

    def steps(self) -> tuple[tuple[float, tuple[float, float], tuple[float, float]], ...]:
        """Each step: its station, (half height, half width) before it and after it."""
        rows = list(zip(self.stations, self.heights, self.widths, strict=True))
        return tuple(
            (t0, (h0, w0), (h1, w1))
            for (t0, h0, w0), (t1, h1, w1) in pairwise(rows)
            if t0 == t1 and (h0, w0) != (h1, w1)
        )

    def halves(self, station: Array | float) -> tuple[Array, Array]:
        """Half height and half width at stations of any shape; at a step, those before it."""
        t = np.asarray(station, dtype=np.float64)
        if not self.steps():
            return np.interp(t, self.stations, self.heights), np.interp(t, self.stations, self.widths)
        height, width = np.empty(t.shape), np.empty(t.shape)
        for span in reversed(self.spans()):
            inside = t <= span.high
            h, w = span.halves(t[inside])
            height[inside], width[inside] = h, w
        return height, width

    def radius(self, phi: Array | float, station: Array | float) -> Array:
        """Distance of the surface from the axis at `phi` degrees from the reference line; both broadcast."""
        height, width = self.halves(station)
        if self.is_round:
            return np.broadcast_to(height, np.broadcast_shapes(np.shape(phi), np.shape(height)))
        return polar_radius(height, width, np.asarray(phi, dtype=np.float64) - self.turned)

    def half_extent(self, station: float, up: float, over: float) -> float:
        """How far the section reaches from the axis along a direction square to it, mm.

        The direction is `up` the reference line and `over` towards phi = 90, together of length 1. It
        is the distance of the ellipse's tangent square to it: what a straight edge laid on it measures.

        >>> round(Profile((0.0,), (15.0,), (8.0,), 30.0).half_extent(0.0, 0.0, 1.0), 6)
        10.210289
        """
        height, width = (float(v) for v in self.halves(station))
        c, s = math.cos(math.radians(self.turned)), math.sin(math.radians(self.turned))
        return math.hypot(height * (up * c + over * s), width * (over * c - up * s))


def polar_radius(height: Array, width: Array, phi: Array) -> Array:
    """Distance from the centre to an ellipse at polar angle `phi` degrees from its height.

    >>> float(polar_radius(np.array(15.0), np.array(8.0), np.array(90.0)))
    8.0
    """
    c, s = np.cos(np.radians(phi)), np.sin(np.radians(phi))
    found: Array = height * width / np.hypot(width * c, height * s)
    return found


def constant_profile(radius: float) -> Profile:
    """A round tube of one radius, mm."""
    return Profile((0.0,), (radius,), (radius,))


def _merge_spans(spans: Sequence[TaperSpan]) -> list[TaperSpan]:
    """Spans that go on in one straight line become one."""
    merged = [spans[0]]
    for span in spans[1:]:
        last = merged[-1]
        shape = (span.height, span.width, span.height_slope, span.width_slope)
        if last.high == span.low and shape == (last.height, last.width, last.height_slope, last.width_slope):
            merged[-1] = TaperSpan(last.low, span.high, *shape)
        else:
            merged.append(span)
    return merged

"""What lies over the sheet in the side view, tubes as bars, round parts as discs: how far it covers a line.

How tubes are drawn, with their mitres, is in `tubes.py`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from layout.drafting.vector import Point, bearing, distance, unit


@dataclass(frozen=True, slots=True)
class BarCover:
    """A tube in the side view, uncut: what it covers of the sheet."""

    name: str
    start: Point
    end: Point
    start_radius: float
    end_radius: float

    @property
    def axis(self) -> float:
        """Direction start to end, degrees."""
        return bearing(self.start, self.end)

    @property
    def length(self) -> float:
        """Start to end along the axis."""
        return distance(self.start, self.end)

    def radius_at(self, s: float) -> float:
        """Outside radius at `s` mm from the start, held constant beyond the ends."""
        part = min(max(s / self.length, 0.0), 1.0)
        return self.start_radius + part * (self.end_radius - self.start_radius)

    def corners(self) -> tuple[Point, ...]:
        """The tube uncut, as a quadrilateral."""
        u = unit(self.axis)
        n = (-u[1], u[0])
        (a, ra), (b, rb) = (self.start, self.start_radius), (self.end, self.end_radius)
        return tuple(
            (p[0] + k * r * n[0], p[1] + k * r * n[1])
            for p, r, k in ((a, ra, -1.0), (b, rb, -1.0), (b, rb, 1.0), (a, ra, 1.0))
        )


@dataclass(frozen=True, slots=True)
class RoundCover:
    """A round part seen end on: the shell, a hub's axle."""

    at: Point
    radius: float


def covered_length(at: Point, direction: float, parts: Sequence[BarCover | RoundCover]) -> float:
    """How far from `at` along `direction` (degrees) the parts lie over the sheet, mm; 0 if not at all."""
    spans = sorted(s for part in parts if (s := _span(at, direction, part)) is not None)
    reach = 0.0
    for low, high in spans:
        if low <= reach + 1e-6:
            reach = max(reach, high)
    return reach


def _span(at: Point, direction: float, part: BarCover | RoundCover) -> tuple[float, float] | None:
    """Where a ray enters and leaves a part; None if it misses or lies behind."""
    u = unit(direction)
    if isinstance(part, RoundCover):
        along_ray = (part.at[0] - at[0]) * u[0] + (part.at[1] - at[1]) * u[1]
        beside = (part.at[0] - at[0]) * u[1] - (part.at[1] - at[1]) * u[0]
        if abs(beside) > part.radius:
            return None
        half = math.sqrt(part.radius**2 - beside**2)
        low, high = along_ray - half, along_ray + half
    else:
        low, high = -math.inf, math.inf
        corners = part.corners()
        for a, b in pairwise((*corners, corners[0])):
            nx, ny = b[1] - a[1], a[0] - b[0]
            rate = u[0] * nx + u[1] * ny
            gap = (a[0] - at[0]) * nx + (a[1] - at[1]) * ny
            if abs(rate) < 1e-12:
                if gap < 0:
                    return None
            elif rate > 0:
                high = min(high, gap / rate)
            else:
                low = max(low, gap / rate)
    return (low, high) if high > max(low, 0.0) else None

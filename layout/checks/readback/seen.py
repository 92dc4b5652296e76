"""What a reader finds on one page of a written file, in mm from the lower left corner."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

Point = tuple[float, float]
Window = tuple[float, float, float, float]
"""Left, bottom, right, top of what is not clipped away."""


class UnreadableError(Exception):
    """The file is not what it should be; the message says where it fails."""


class Segment(NamedTuple):
    """A straight stroke on layer POINT, and the clips it is drawn through."""

    start: Point
    end: Point
    windows: tuple[Window, ...] = ()


@dataclass
class SeenInFile:
    """One page: its size (None for DXF, which has none), control points and strokes on layer POINT."""

    width: float | None = None
    height: float | None = None
    points: list[tuple[str, Point]] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)

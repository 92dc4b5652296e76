"""An upright rectangle: what fits where, on drawings and on paper alike."""

from __future__ import annotations

from typing import NamedTuple

from layout.drafting.vector import Point


class Rect(NamedTuple):
    """An upright rectangle, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The corners, counter-clockwise from the lower left."""
        return (
            (self.left, self.bottom),
            (self.right, self.bottom),
            (self.right, self.top),
            (self.left, self.top),
        )

    def holds(self, p: Point, slack: float = 0.0) -> bool:
        """Whether `p` lies inside, or outside by no more than `slack`."""
        return (
            self.left - slack <= p[0] <= self.right + slack
            and self.bottom - slack <= p[1] <= self.top + slack
        )

    def contains(self, other: Rect, slack: float = 0.0) -> bool:
        """Whether `other` lies wholly inside, or outside by no more than `slack`."""
        return (
            self.left - slack <= other.left
            and self.bottom - slack <= other.bottom
            and other.right <= self.right + slack
            and other.top <= self.top + slack
        )

    def overlaps(self, other: Rect) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def grown(self, by: float) -> Rect:
        """The rectangle with every side moved out by `by` (in, where negative)."""
        return Rect(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, dx: float, dy: float) -> Rect:
        """The rectangle moved by (dx, dy)."""
        return Rect(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def united(self, other: Rect) -> Rect:
        """The least rectangle that holds both."""
        return Rect(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

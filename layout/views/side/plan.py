"""The frame laid out for drawing: its points as drawn, its tubes as bars, what covers what.

With the bicycle heading left x is minus forward; names are unchanged. Everything the view
draws starts from here, so nothing downstream knows which way the bicycle heads.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.vector import Point, along, bearing
from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import PlacedSpan
from layout.geometry.space.roles import WRITTEN, Role, Seen
from layout.geometry.space.tube import FIRST
from layout.views.side.coverage import BarCover, RoundCover

AXLE_COVER = 10.0
"""Radius of a dropout's eye or a dummy axle's shoulder over the axle point, common practice."""
STAY_SHORT_OF_AXLE = 25.0
"""Stays are drawn up to the dropout, this far from the axle, unless the spec tells more."""
SURROUNDING_POINTS = ("rear_contact", "front_contact", "saddle", "bar")


@dataclass(frozen=True)
class Plan:
    """A frame's points and tubes as drawn. `forward` is +1 heading right, -1 heading left."""

    frame: Frame
    forward: float
    points: dict[str, Point]
    bars: dict[str, BarCover]
    discs: tuple[RoundCover, ...]

    def __getitem__(self, name: str) -> Point:
        return self.points[name]

    def has(self, *names: str) -> bool:
        """Whether all these points are known."""
        return all(n in self.points for n in names)

    def placed(self, dimension: str) -> PlacedSpan | None:
        """Where a dimension is measured on the sheet; None where it has no place or a point is missing."""
        span = REGISTRY[dimension].span
        return None if span is None else span.placed(self.points)

    @property
    def parts(self) -> tuple[BarCover | RoundCover, ...]:
        """Everything that lies over the sheet."""
        return (*self.bars.values(), *self.discs)

    @property
    def ahead(self) -> float:
        """The forward direction on paper, degrees."""
        return 0.0 if self.forward > 0 else 180.0


def plan(frame: Frame) -> Plan:
    """Lay a frame out for drawing."""
    forward = frame.forward
    points = {n: (forward * x + 0.0, y) for n, (x, y) in frame.plane.points.items()}
    discs = (
        RoundCover(points["bb"], frame.plane.shell_diameter / 2),
        RoundCover(points["rear_axle"], AXLE_COVER),
        RoundCover(points["front_axle"], AXLE_COVER),
    )
    return Plan(frame, forward, points, _bars(frame, points), discs=discs)


def _bars(frame: Frame, p: dict[str, Point]) -> dict[str, BarCover]:
    sizes = frame.plane.sizes
    return {
        r.name: BarCover(r.name, *_bar_ends(r, p), sizes[r.name].first / 2, sizes[r.name].second / 2)
        for r in _in_side_view()
    }


def _in_side_view() -> list[Role]:
    """The roles that are drawn, those that fewest ends are cut at first, pairs last."""
    shown = (role for role in WRITTEN if Seen.SIDE in role.seen)
    return sorted(shown, key=lambda role: (role.paired, sum(bool(end.hosts) for end in role.ends)))


def _bar_ends(role: Role, p: dict[str, Point]) -> tuple[Point, Point]:
    """Where a tube's bar begins and ends: at its points, but short of an axle."""
    ends = start, end = p[role.points[0]], p[role.points[1]]
    if role.dropout is None:
        return ends
    axle, other = ends[role.dropout], ends[1 - role.dropout]
    short = along(axle, bearing(axle, other), STAY_SHORT_OF_AXLE)
    return (short, end) if role.dropout == FIRST else (start, short)

"""The frame laid out for drawing: its points as drawn, its tubes as bars, what covers what.

With the bicycle heading left x is minus forward; names are unchanged. Everything the view
draws starts from here, so nothing downstream knows which way the bicycle heads.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.vector import Point, along, bearing, crossing
from layout.frame import Frame
from layout.geometry.space.assembly import SpaceFrame
from layout.views.outline import Bar, Disc, Post

AXLE_COVER = 10.0
"""Radius of a dropout's eye or a dummy axle's shoulder over the axle point, common practice."""
STAY_SHORT_OF_AXLE = 25.0
"""Stays are drawn up to the dropout, this far from the axle, unless the spec tells more."""
SURROUNDING_POINTS = ("rear_contact", "front_contact", "saddle", "bar")


@dataclass(frozen=True)
class Plan:
    """A frame's points and tubes as drawn. `forward` is +1 heading right, -1 heading left.

    `space` has the stays as they lean out of the plane; without it they are drawn as if they lay in it.
    """

    frame: Frame
    forward: float
    points: dict[str, Point]
    bars: dict[str, Bar]
    discs: tuple[Disc, ...]
    space: SpaceFrame | None = None

    def __getitem__(self, name: str) -> Point:
        return self.points[name]

    def has(self, *names: str) -> bool:
        """Whether all these points are known."""
        return all(n in self.points for n in names)

    @property
    def parts(self) -> tuple[Bar | Disc, ...]:
        """Everything that lies over the sheet."""
        return (*self.bars.values(), *self.discs)

    @property
    def ahead(self) -> float:
        """The forward direction on paper, degrees."""
        return 0.0 if self.forward > 0 else 180.0


def plan(frame: Frame, space: SpaceFrame | None = None) -> Plan:
    """Lay a frame out for drawing."""
    forward = -1.0 if frame.heading == "left" else 1.0
    points = {n: (forward * x + 0.0, y) for n, (x, y) in frame.points.items()}
    discs = (
        Disc(points["bb"], frame.shell_diameter / 2),
        Disc(points["rear_axle"], AXLE_COVER),
        Disc(points["front_axle"], AXLE_COVER),
    )
    return Plan(frame, forward, points, _bars(frame, points), discs, space)


def _bars(frame: Frame, p: dict[str, Point]) -> dict[str, Bar]:
    t = frame.tubes
    head_axis = bearing(p["head_tube_bottom"], p["head_tube_top"])
    seat_axis = bearing(p["seat_tube_foot"], p["seat_tube_top"])
    shell = Post(p["bb"], frame.shell_diameter / 2)
    seat = Post(p["seat_tube_foot"], t["seat_tube"].first / 2, seat_axis)
    head_low = Post(p["head_tube_top"], t["head_tube"].first / 2, head_axis)
    head_high = Post(p["head_tube_top"], t["head_tube"].second / 2, head_axis)

    def bar(name: str, a: Point, b: Point, start: tuple[Post, ...], end: tuple[Post, ...]) -> Bar:
        return Bar(name, a, b, t[name].first / 2, t[name].second / 2, start, end)

    cluster = p["top_tube_at_seat"]
    axle = p["rear_axle"]
    bars = [
        bar("head_tube", p["head_tube_bottom"], p["head_tube_top"], (), ()),
        bar("seat_tube", p["seat_tube_foot"], p["seat_tube_top"], (shell,), ()),
        bar("top_tube", p["top_tube_at_seat"], p["top_tube_at_head"], (seat,), (head_high,)),
        bar("down_tube", p["down_tube_at_bb"], p["down_tube_at_head"], (shell, seat), (head_low,)),
        bar("chain_stay", p["bb"], along(axle, bearing(axle, p["bb"]), STAY_SHORT_OF_AXLE), (shell,), ()),
        bar("seat_stay", along(axle, bearing(axle, cluster), STAY_SHORT_OF_AXLE), cluster, (), (seat,)),
    ]
    return {b.name: b for b in bars}


def on_level(at: Point, axis: float, level: float) -> Point:
    """Where an axis through `at` crosses the horizontal at height `level`."""
    met = crossing(at, axis, (0.0, level), 0.0)
    if met is None:
        raise ValueError("a level axis crosses no level line")
    return met

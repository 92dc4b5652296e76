"""A frame drawn as a sketch of points and constraints for python-solvespace, from the trade's definitions.

A general geometric constraint solver (SolveSpace's library). Nothing of our formulas is
used: axes are lines, lengths are distances, known angles are parallels to fixed lines,
a right angle is a mirror image, and the ground is a level line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from python_solvespace import ResultFlag, SolverSystem

MOVABLE = (
    "rear_axle",
    "front_axle",
    "fork_foot",
    "mirror",
    "crown_race",
    "head_tube_bottom",
    "head_tube_top",
    "rear_contact",
    "front_contact",
    "axis_at_ground",
    "seat_at_stack",
    "seat_tube_top",
    "top_tube_at_seat",
    "top_tube_at_head",
    "down_tube_at_head",
)
FIXED = 1
MOVING = 2


class Sketch:
    """One frame as a sketch; `near` are points to start from, by name."""

    def __init__(self, near: Mapping[str, tuple[float, float]], points: tuple[str, ...] = MOVABLE) -> None:
        self.near = near
        self.sys = SolverSystem()
        self.sys.set_group(FIXED)
        self.wp = self.sys.create_2d_base()
        self.bb = self.sys.add_point_2d(0.0, 0.0, self.wp)
        self.level = self._fixed_line(1000.0, 0.0)
        self.plumb = self._fixed_line(0.0, 1000.0)
        self.sys.set_group(MOVING)
        self.at = {n: self.sys.add_point_2d(*near[n], self.wp) for n in points}
        self.axis = self.line("head_tube_bottom", "head_tube_top")

    def _fixed_line(self, x: float, y: float):
        group = self.sys.group()
        self.sys.set_group(FIXED)
        line = self.sys.add_line_2d(self.bb, self.sys.add_point_2d(x, y, self.wp), self.wp)
        self.sys.set_group(group)
        return line

    def line(self, a: str, b: str):
        return self.sys.add_line_2d(self.at[a], self.at[b], self.wp)

    def apart(self, a: str, b: str, value: float) -> None:
        first = self.bb if a == "bb" else self.at[a]
        self.sys.distance(first, self.at[b], value, self.wp)

    def from_line(self, point: str, line, value: float) -> None:
        """Signed distance: a point to the right of the line's direction is at a positive one."""
        self.sys.distance(self.at[point], line, value, self.wp)

    def fork(self, *on_axis: str) -> None:
        """The front axle square to its foot on the steering axis, and points on that axis."""
        self.sys.symmetric(self.at["front_axle"], self.at["mirror"], self.axis, self.wp)
        self.sys.midpoint(self.at["fork_foot"], self.line("front_axle", "mirror"), self.wp)
        for name in on_axis:
            self.sys.coincident(self.at[name], self.axis, self.wp)

    def leaning(self, degrees: float):
        """A fixed line through the bottom bracket that leans back by an angle from the horizontal."""
        a = math.radians(degrees)
        return self._fixed_line(-1000.0 * math.cos(a), 1000.0 * math.sin(a))

    def head_angle(self, degrees: float) -> None:
        self.sys.parallel(self.axis, self.leaning(degrees), self.wp)

    def ground(self, rear_radius: float, front_radius: float) -> None:
        """Both wheels, of these radii, on level ground."""
        for axle, contact, radius in (
            ("rear_axle", "rear_contact", rear_radius),
            ("front_axle", "front_contact", front_radius),
        ):
            self.sys.vertical(self.line(axle, contact), self.wp)
            self.apart(axle, contact, radius)
        self.sys.horizontal(self.line("rear_contact", "front_contact"), self.wp)

    def trail(self, value: float) -> None:
        self.sys.coincident(self.at["axis_at_ground"], self.axis, self.wp)
        self.sys.horizontal(self.line("axis_at_ground", "front_contact"), self.wp)
        self.apart("axis_at_ground", "front_contact", value)

    def top_tube_effective(self, value: float, seat) -> None:
        self.sys.coincident(self.at["seat_at_stack"], seat, self.wp)
        self.sys.horizontal(self.line("seat_at_stack", "head_tube_top"), self.wp)
        self.apart("seat_at_stack", "head_tube_top", value)

    def solve(self) -> dict[str, tuple[float, float]]:
        """The points found; raises RuntimeError where the solver does not arrive."""
        result = self.sys.solve()
        if result != ResultFlag.OKAY:
            raise RuntimeError(f"python-solvespace: {result}, {self.sys.dof()} free")
        return {n: tuple(self.sys.params(p.params)) for n, p in self.at.items()}

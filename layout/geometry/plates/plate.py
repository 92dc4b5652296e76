"""A part to be cut: one outline, what is cut out of it, what is engraved on it.

Every cut has a name that a person understands, so that a message can say which one is wrong.
Coordinates are the part's own until `in_corner` puts it in the positive quadrant.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from layout.geometry.plates.contour import Box, Point, Round, Shape, placed_point

Stroke = tuple[Point, ...]
"""What is engraved without a lift: straight from point to point."""

LEAST_CUT = 1e-6
"""Coordinates in files are no finer than this, mm."""


class Cutout(NamedTuple):
    """One hole, slot or window; its name says what goes into it, for people."""

    name: str
    shape: Shape


@dataclass(frozen=True)
class Plate:
    """One part, `quantity` of it. `marks` are named places: hole centres, tube axes.

    `thickness` in mm. The engraved face is the one seen.
    """

    name: str
    thickness: float
    outline: Shape
    cutouts: tuple[Cutout, ...] = ()
    engraving: tuple[Stroke, ...] = ()
    quantity: int = 1
    marks: Mapping[str, Point] = field(default_factory=dict)

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """The outline and every cut-out."""
        return (self.outline, *(c.shape for c in self.cutouts))

    @property
    def area(self) -> float:
        """Area of one face, mm2."""
        return abs(self.outline.area) - sum(abs(c.shape.area) for c in self.cutouts)

    @property
    def cut_length(self) -> float:
        """Length of all cuts, mm."""
        return sum(s.length for s in self.shapes)

    @property
    def bounds(self) -> Box:
        """The least upright box that holds the part."""
        return self.outline.bounds

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of that box, mm."""
        left, bottom, right, top = self.bounds
        return right - left, top - bottom

    def weight(self, density: float) -> float:
        """Weight of one, kg, for a density in kg/dm3."""
        return self.area * self.thickness * density * 1e-6

    def placed(self, at: Point, along: Point) -> Plate:
        """The part with its origin at `at` and its x along the unit vector `along`."""
        return replace(
            self,
            outline=self.outline.placed(at, along),
            cutouts=tuple(Cutout(c.name, c.shape.placed(at, along)) for c in self.cutouts),
            engraving=tuple(tuple(placed_point(p, at, along) for p in s) for s in self.engraving),
            marks={name: placed_point(p, at, along) for name, p in self.marks.items()},
        )

    def in_corner(self) -> tuple[Plate, Point]:
        """The part moved into the positive quadrant by whole millimetres, and by how much."""
        left, bottom, _, _ = self.bounds
        by = (float(math.ceil(-left - LEAST_CUT)), float(math.ceil(-bottom - LEAST_CUT)))
        return self.placed(by, (1.0, 0.0)), by


def circle(name: str, centre: Point, diameter: float) -> Cutout:
    """A round hole."""
    return Cutout(name, Round(centre, diameter / 2))

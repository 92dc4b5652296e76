"""What `lay` hands to the writers: a page of paper and what lies on it.

Sheet coordinates: millimetres from the paper's lower left corner, x right, y up.
A placement turns its drawing by quarter turns about the drawing's origin, then
moves it; there is no scale. `stretch` undoes what the printer does, last of all:

    page = centre + stretch * (sheet - centre),   centre = middle of the paper
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.entities import Drawing, Point
from layout.drafting.rect import Rect

__all__ = ["TILES", "Placement", "Rect", "Sheet"]

TILES = "tiles"
"""The kind of sheets that are joined to one drawing."""


@dataclass(frozen=True)
class Placement:
    """A drawing on a sheet: `turn` quarter turns counter-clockwise, then moved by (dx, dy).

    `clip`, in sheet coordinates, cuts what lies outside; None cuts nothing. Within `window`, in the
    drawing's own coordinates, lies nothing but the view that a CAD model holds at the same place.
    """

    drawing: Drawing
    dx: float
    dy: float
    turn: int = 0
    clip: Rect | None = None
    window: Rect | None = None

    def to_sheet(self, p: Point) -> Point:
        """Where a point of the drawing lies on the sheet.

        >>> Placement(Drawing("d"), 10.0, 20.0, turn=1).to_sheet((3.0, 1.0))
        (9.0, 23.0)
        """
        x, y = p
        for _ in range(self.turn % 4):
            x, y = -y, x
        return x + self.dx, y + self.dy


@dataclass(frozen=True)
class Sheet:
    """One page. `medium` is its name ("a4", "roll-914"); `kind` drawing, tiles, ...

    `furniture` (border, marks, names) is in sheet coordinates. `stretch` is the
    printer compensation along the page's x and y.
    """

    name: str
    medium: str
    kind: str
    width: float
    height: float
    placements: tuple[Placement, ...]
    furniture: Drawing
    stretch: tuple[float, float] = (1.0, 1.0)

    def to_page(self, p: Point) -> Point:
        """Apply the printer compensation to a point in sheet coordinates."""
        cx, cy = self.width / 2, self.height / 2
        return cx + self.stretch[0] * (p[0] - cx), cy + self.stretch[1] * (p[1] - cy)

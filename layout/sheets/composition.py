"""What lies on a sheet before it has a border: the view and its panels, arranged, true scale.

Coordinates stay the drawing's own: the view's origin is (0, 0), whatever the paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.entities import Drawing
from layout.sheets.sheet import Rect


@dataclass(frozen=True)
class Composition:
    """An arranged drawing: every entity lies within `bounds`; datum lines end on its edges.

    `core` holds everything a builder must have (the view without its surroundings, and
    the panels): a tile that touches no `core` entity may be left out. `left_out` names
    the control points that had no room.
    """

    drawing: Drawing
    bounds: Rect
    core: Drawing
    left_out: tuple[str, ...] = ()

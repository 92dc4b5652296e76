"""A block of a sheet that is not the view: a table, the title block, the cautions, a ruled cross.

Its drawing has the origin at the panel's lower left corner and fills width x height.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from layout.drafting.entities import Drawing, Entity
from layout.drafting.transform import move


class Panel(NamedTuple):
    """A named block, `width` x `height` mm, drawn from its lower left corner."""

    name: str
    drawing: Drawing
    width: float
    height: float


def stack_panels(name: str, panels: Sequence[Panel]) -> Panel:
    """Panels of one width, one under the other, edges shared, as one panel."""
    height = sum(p.height for p in panels)
    entities: list[Entity] = []
    top = height
    for panel in panels:
        top -= panel.height
        entities.extend(move(panel.drawing, 0.0, top))
    return Panel(name, Drawing(name, tuple(entities)), max(p.width for p in panels), height)

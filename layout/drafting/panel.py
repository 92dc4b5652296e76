"""A block of a sheet that is not the view: a table, the title block, the cautions, a ruled cross.

Its drawing has the origin at the panel's lower left corner and fills width x height.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.entities import Drawing


@dataclass(frozen=True)
class Panel:
    """A named block, `width` x `height` mm, drawn from its lower left corner."""

    name: str
    drawing: Drawing
    width: float
    height: float

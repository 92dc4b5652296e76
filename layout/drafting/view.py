"""A view before it is laid on a sheet: what must be shown whole, and what gives way.

`core` must fit. `surroundings` are groups that are shown as far as there is room: a group of
strokes is cut at the window; one that holds lettering, a point or a dimension is whole or not there.
"""

from __future__ import annotations

from dataclasses import dataclass

from layout.drafting.entities import Drawing, Entity


@dataclass(frozen=True)
class View:
    """A drawing of what must fit, with the groups round it."""

    core: Drawing
    surroundings: tuple[tuple[Entity, ...], ...] = ()

    def whole(self) -> Drawing:
        """Everything, as one drawing."""
        return Drawing(self.core.title, (*(e for g in self.surroundings for e in g), *self.core.entities))

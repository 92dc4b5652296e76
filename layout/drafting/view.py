"""A view before it is laid on a sheet: what must be shown whole, and what gives way.

`core` must fit. `surroundings` are groups that are shown as far as there is room: a group of
strokes is cut at the window; one that holds lettering, a point or a dimension is whole or not there.

On pages that join, callouts are placed again among the lines where pages meet.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from layout.drafting.entities import Drawing, Entity
from layout.drafting.rooms import Rooms


class View(NamedTuple):
    """A drawing of what must fit, with the groups round it.

    `frame` is what pages that join must hold: outlines and points (None: all of the core). `on_pages`
    places the callouts for such pages (None: they stay where they are).
    """

    core: Drawing
    surroundings: tuple[tuple[Entity, ...], ...] = ()
    frame: tuple[Entity, ...] | None = None
    on_pages: Callable[[Rooms], PagedView] | None = None

    def paged(self, rooms: Rooms) -> PagedView:
        """The view for pages that join."""
        return PagedView(self) if self.on_pages is None else self.on_pages(rooms)

    @property
    def held(self) -> tuple[Entity, ...]:
        """What pages that join must hold."""
        return self.core.entities if self.frame is None else self.frame

    def whole(self) -> Drawing:
        """Everything, as one drawing."""
        return Drawing(self.core.title, (*(e for g in self.surroundings for e in g), *self.core.entities))


class PagedView(NamedTuple):
    """A view with its callouts placed for pages that join; `lost` names those that found no place."""

    view: View
    lost: tuple[str, ...] = ()

"""What lies on a sheet before it has a border: the view and its panels, arranged, true scale.

Coordinates stay the drawing's own: the view's origin is (0, 0), whatever the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from layout.drafting.entities import Drawing
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms


@dataclass(frozen=True)
class Composition:
    """An arranged drawing: every entity lies within `bounds`; datum lines end on its edges.

    `core` holds everything a builder must have (the view without its surroundings, and
    the panels): a tile that touches no `core` entity may be left out. `left_out` names
    the control points that had no room. Within `window` lies the view, with nothing of the
    panels: a CAD layout shows it through a viewport on the model. `mark` tells which frame it is,
    as pages say it.
    """

    drawing: Drawing
    bounds: Rect
    core: Drawing
    left_out: tuple[str, ...] = ()
    window: Rect | None = None
    mark: str = ""


@dataclass(frozen=True)
class PagedComposition:
    """The view alone on pages that join; `lost` names the callouts that found no place on them.

    `mark` tells which frame it is, as pages say it.
    """

    drawing: Drawing
    lost: tuple[str, ...] = ()
    mark: str = ""


class Arrangement(Protocol):
    """A view and its panels that can be arranged for the room there is."""

    @property
    def least_size(self) -> tuple[float, float]:
        """Width and height (mm) of the smallest composition."""
        ...

    def composed(self, width: float | None, height: float | None) -> Composition:
        """The view and its panels arranged within at most that room (mm); None is no limit."""
        ...

    @property
    def held(self) -> Drawing:
        """What pages that join must hold: outlines and points."""
        ...

    @property
    def axes(self) -> Drawing:
        """The lines that a page shows which only joins others, where it can."""
        ...

    def paged(self, rooms: Rooms) -> PagedComposition:
        """The view alone, its callouts placed for pages that join."""
        ...

    def table_pages(
        self, width: float, height: float, lost: tuple[str, ...], taken: float = 0.0
    ) -> tuple[Drawing, ...]:
        """The panels on pages of their own within `width` x `height` mm; `lost` callouts are listed there.

        Where `taken` mm at the left of the first page are another's, that page is there whatever is on it.
        """
        ...

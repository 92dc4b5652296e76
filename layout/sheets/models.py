"""What a CAD model shows through the viewports of sheets: no more than each of them shows itself.

Sheets differ: a wheel is cut at each one's own window, a callout that has no room on one stands on
another. The shared view is what all of them have alike; the rest of a sheet is drawn on its paper.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.drafting.bounds import entity_bounds
from layout.drafting.entities import ControlPoint, Drawing, Entity
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.sheet import Placement, Sheet

ON_PAPER = (Layer.DATUM, Layer.SHEET)
"""Layers that belong to the paper: viewports on a view do not show them."""


def shared_view(sheets: Sequence[Sheet], whole: Drawing) -> Drawing:
    """What a viewport on the model may show on each of `sheets`; all in the drawing's own coordinates.

    The control points, which nothing draws, are all of `whole`.
    """
    views = [list(in_window(p)) for s in sheets for p in s.placements if p.window is not None]
    others = [set(view) for view in views[1:]]
    shared = [e for e in views[0] if all(e in other for other in others)] if views else []
    points = [e for e in whole if isinstance(e, ControlPoint)]
    return Drawing(whole.title, (*(e for e in shared if not isinstance(e, ControlPoint)), *points))


def in_window(placement: Placement) -> Iterator[Entity]:
    """What of a placement's drawing is seen in its window, but for layers that belong to the paper."""
    for e in placement.drawing:
        if e.layer not in ON_PAPER and placement.window is not None and _touches(e, placement.window):
            yield e


def _touches(entity: Entity, window: Rect) -> bool:
    """Whether an entity has anything in a window; a level or upright line has no area to overlap with."""
    box = entity_bounds(entity)
    return box is not None and (
        box.left <= window.right
        and window.left <= box.right
        and box.bottom <= window.top
        and window.bottom <= box.top
    )

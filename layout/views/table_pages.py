"""The side view's panels on pages of their own: title block, cautions, checks, tables.

Where a drawing takes several pages that are joined, these are not joined to it. Panels flow down the
pages, each as wide as a page at most; what found no place among the seams is listed last.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from layout.bench.tape import TapeCheck
from layout.drafting.cautions import CAUTION_WIDTH, cautions_panel
from layout.drafting.entities import Drawing
from layout.drafting.panel_pages import PanelPages
from layout.frame.solve import Frame
from layout.views.panels import dimension_panel, dimensions_shown, tape_panel, title_panels, tubes_panel
from layout.views.title import TITLE_WIDTH

TABLES_WIDTH = 190.0
"""The most that a table takes of a page: wider, its numbers stand far from their names."""
LIST_WIDTH = 140.0
"""The same of the list of dimensions, whose names stay whole in it."""
HALVES_WIDTH = 250.0
"""A page as wide as this has the list in two halves side by side."""


def side_table_pages(
    frame: Frame,
    checks: Sequence[TapeCheck],
    width: float,
    height: float,
    *,
    lost: Sequence[str],
    taken: float = 0.0,
) -> tuple[Drawing, ...]:
    """The side view's panels on pages of `width` x `height` mm, with the callouts that are not drawn.

    `taken` mm at the left of the first page are another's.
    """
    pages = PanelPages(width, height, taken)
    room, flow = pages.column, pages.flow
    across = min(TABLES_WIDTH, room)
    for panel in title_panels(frame, min(TITLE_WIDTH, room), across).values():
        flow.add(panel)
    flow.add(cautions_panel(min(CAUTION_WIDTH, room)))
    flow.add(tape_panel(checks, across))
    halves = room >= HALVES_WIDTH
    listed = partial(dimension_panel, frame, width=room if halves else min(LIST_WIDTH, room), halves=halves)
    flow.add_rows(dimensions_shown(frame), listed)
    flow.add(tubes_panel(frame, across))
    pages.add_lost(lost)
    return pages.drawings()

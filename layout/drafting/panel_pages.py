"""Panels on pages of their own, where the drawing they belong to takes several pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import repeat

from layout.drafting.entities import Drawing
from layout.drafting.flow import Flow
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import text_block

ORDER = ("title", "continued", "cautions", "checks", "dimensions", "tubes")
"""What is read first comes first. The ruled cross stays out: each page that is joined has its own bars."""
GUTTER = 6.0
LOST_WIDTH = 180.0
TITLE = "tables"


def panel_pages(
    panels: Mapping[str, Panel], width: float, height: float, lost: Sequence[str]
) -> tuple[Drawing, ...]:
    """Panels one under the other on pages of `width` x `height` mm, with the callouts that are not drawn."""
    flow = empty_pages(width, height)
    for name in ORDER:
        if name in panels:
            flow.add(panels[name])
    add_lost(flow, lost, width)
    return drawn_pages(flow)


def empty_pages(width: float, height: float) -> Flow:
    """The room of one page after another."""
    return Flow(repeat(Rect(0.0, 0.0, width, height)), GUTTER)


def add_lost(flow: Flow, lost: Iterable[str], width: float) -> None:
    """What is not written on the drawing, each by its name."""
    names = ", ".join(lost)
    if names:
        said = (f"No clear place on the drawing for: {names}.",)
        block = text_block("lost", "Not on the drawing", said, min(LOST_WIDTH, width), text_height=TEXT_NOTE)
        flow.add(block)


def drawn_pages(flow: Flow) -> tuple[Drawing, ...]:
    """A drawing for each page that has something on it."""
    return tuple(
        Drawing(f"{TITLE} {number}", tuple(e for placed in column for e in placed.drawing()))
        for number, column in enumerate((c for c in flow.columns if c), 1)
    )

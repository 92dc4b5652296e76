"""Arranging a view and its panels on one sheet of whatever size, at true scale.

    +---------+------------------------------------+-----------------------+
    | ruled   |                                    |   dimension table     |
    | cross   |    window: the view, and of its    |                       |
    |         |    surroundings what fits          |                       |
    | check   |                                    +-----------+-----------+
    | distan- |                                    | cautions  |  title    |
    | ces     |                                    |           |  block    |
    +---------+------------------------------------+-----------+-----------+

The window holds the view's core and WINDOW_MARGIN round it; where the sheet is higher, it grows
to show more of the surroundings, and where all of them fit it shows them whole. Panels lie outside
the window, where a jig does not cover them. Coordinates stay the view's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import Protocol

from layout.drafting.bounds import box_of
from layout.drafting.breaks import broken_at_words
from layout.drafting.entities import ControlPoint, DatumLine, Drawing, Entity
from layout.drafting.panel import Panel
from layout.drafting.panel_pages import panel_pages
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.drafting.style import Layer
from layout.drafting.transform import move
from layout.drafting.view import View
from layout.sheets.composition import Composition, PagedComposition
from layout.sheets.datums import datum_lines, shown_part
from layout.sheets.paged import compose_paged

WINDOW_MARGIN = 40.0
"""Free paper round the view, so that tubes' centrelines and the jig's feet have room."""
SURROUNDING_MARGIN = 12.0
GUTTER = 12.0

LEFT = ("calibration", "checks")
RIGHT_TOP = ("continued", "dimensions", "tubes")
RIGHT_BOTTOM = ("cautions", "title")


class Tables(Protocol):
    """What draws the panels on pages of a width and height, mm.

    `lost` names the callouts that found no place; `taken` mm at the left of the first page are another's.
    """

    def __call__(
        self, width: float, height: float, *, lost: tuple[str, ...], taken: float = 0.0
    ) -> tuple[Drawing, ...]:
        """The pages."""
        ...


@dataclass(frozen=True)
class SheetArrangement:
    """A view and its panels by name, ready to be composed for any room.

    `wheels` is "whole" where the surroundings must fit, "arcs" where they are always cut to the
    window, None where the room decides. `yielding` gives the one that never asks for more than the
    core: where no sheet holds the wheels whole, they are cut after all. `mark` tells which frame it is, as
    pages say it. `tables` draws what lies beside the view on pages of its own, where there are several.
    """

    view: View
    panels: Mapping[str, Panel]
    wheels: str | None = None
    mark: str = ""
    tables: Tables | None = None
    _known: dict[tuple[float | None, float | None], Composition] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    @cached_property
    def core_window(self) -> Rect:
        """What must fit, with its margin."""
        box = box_of(e for e in self.view.core if not isinstance(e, DatumLine))
        return box.grown(WINDOW_MARGIN)

    @cached_property
    def full_window(self) -> Rect:
        """The view with all its surroundings."""
        groups = [e for g in self.view.surroundings for e in g]
        if not groups:
            return self.core_window
        return self.core_window.united(box_of(groups).grown(SURROUNDING_MARGIN))

    @property
    def held(self) -> Drawing:
        """What pages that join must hold."""
        return Drawing(self.view.core.title, self.view.held)

    @property
    def axes(self) -> Drawing:
        """The axes of tubes and fork; see the protocol."""
        return Drawing(self.view.core.title, tuple(e for e in self.view.core if e.layer is Layer.CENTRE))

    def paged(self, rooms: Rooms) -> PagedComposition:
        """The view alone on pages that join; see the protocol."""
        return replace(compose_paged(self.view.paged(rooms), rooms), mark=self.mark)

    def table_pages(
        self, width: float, height: float, lost: tuple[str, ...], taken: float = 0.0
    ) -> tuple[Drawing, ...]:
        """The panels on pages of their own; see the protocol."""
        made: Tables = self.tables or partial(panel_pages, self.panels)
        return made(width, height, lost=lost, taken=taken)

    def yielding(self) -> SheetArrangement:
        """The same, with surroundings that give way."""
        return self.loose() if self.wheels == "whole" else self

    def loose(self) -> SheetArrangement:
        """The same, where the room decides whether the surroundings are whole."""
        return self if self.wheels is None else replace(self, wheels=None)

    @cached_property
    def least_size(self) -> tuple[float, float]:
        """Width and height of the smallest composition, mm."""
        window = self.full_window if self.wheels == "whole" else self.core_window
        return self._width(window), max(window.height, self._column_height)

    def composed(self, width: float | None = None, height: float | None = None) -> Composition:
        """Arrange within `width` x `height` mm; None is as much as it takes.

        The result is as high as `height` where that is given, so that a roll is used to its edges.
        The same room gives the same Composition, so that a roll and its tiles share one drawing.
        """
        room = (width, height)
        if room not in self._known:
            self._known[room] = self._arranged(width, height)
        return self._known[room]

    def _arranged(self, width: float | None, height: float | None) -> Composition:
        window = self._window(width, height)
        bottom, top = window.bottom, window.top
        need = max(self._column_height, height or 0.0)
        if top - bottom < need:
            bottom, top = _stretch_window(window, self.full_window, need)
            window = window._replace(bottom=bottom, top=top)
        panels = list(self._placed(window))
        outer = Rect(window.left - self._left_width, bottom, window.right + self._right_width, top)
        return replace(_compose(self.view, window, outer, panels), mark=self.mark)

    def _window(self, width: float | None, height: float | None) -> Rect:
        full = self.full_window
        fits = (width is None or self._width(full) <= width) and (height is None or full.height <= height)
        if self.wheels == "whole" or (self.wheels != "arcs" and fits):
            return full
        return self.core_window

    def _width(self, window: Rect) -> float:
        return self._left_width + window.width + self._right_width

    def _some(self, names: Sequence[str]) -> list[Panel]:
        return [self.panels[n] for n in names if n in self.panels]

    @cached_property
    def _left_width(self) -> float:
        return max((p.width + GUTTER for p in self._some(LEFT)), default=0.0)

    @cached_property
    def _right_width(self) -> float:
        table = max((p.width + GUTTER for p in self._some(RIGHT_TOP)), default=0.0)
        return max(table, sum(p.width + GUTTER for p in self._some(RIGHT_BOTTOM)))

    @cached_property
    def _column_height(self) -> float:
        left = sum(p.height + GUTTER for p in self._some(LEFT)) - GUTTER
        foot = max((p.height for p in self._some(RIGHT_BOTTOM)), default=0.0)
        right = sum(p.height + GUTTER for p in self._some(RIGHT_TOP)) + foot
        return max(left, right, 0.0)

    def _placed(self, window: Rect) -> Iterator[tuple[Panel, float, float]]:
        """Each panel with the lower left corner it gets."""
        left = window.left - self._left_width
        levels = [window.top - (self._some(LEFT)[0].height if self._some(LEFT) else 0.0), window.bottom]
        for panel, y in zip(self._some(LEFT), levels, strict=False):
            yield panel, left, y
        x = right = window.right + self._right_width
        foot = 0.0
        for panel in reversed(self._some(RIGHT_BOTTOM)):
            x -= panel.width
            yield panel, x, window.bottom
            x -= GUTTER
            foot = max(foot, panel.height)
        y = window.bottom + foot + GUTTER
        for panel in self._some(RIGHT_TOP):
            yield panel, right - panel.width, y
            y += panel.height + GUTTER


def _compose(
    view: View, window: Rect, outer: Rect, placed: Sequence[tuple[Panel, float, float]]
) -> Composition:
    """The flat drawing: surroundings cut to the window, datum lines to the edges, panels in place."""
    shown: list[Entity] = []
    left_out: list[str] = []
    for group in view.surroundings:
        kept = shown_part(group, window)
        shown.extend(kept)
        if not kept:
            left_out.extend(e.name for e in group if isinstance(e, ControlPoint))
    core = [e for e in view.core if not isinstance(e, DatumLine)]
    holes = [Rect(x, y, x + p.width, y + p.height) for p, x, y in placed]
    datums = list(datum_lines(view.core, [outer], holes, drawn=[*shown, *core], rooms=[window]))
    panels = [e for p, x, y in placed for e in move(p.drawing, x, y)]
    title = view.core.title
    return Composition(
        Drawing(title, (*broken_at_words((*shown, *datums, *core)), *panels)),
        outer,
        Drawing(title, (*core, *panels)),
        tuple(left_out),
        window=window,
    )


def _stretch_window(window: Rect, full: Rect, need: float) -> tuple[float, float]:
    """Bottom and top of a window grown to `need`: first over hidden surroundings, then evenly."""
    spare = need - window.height
    down = min(spare, max(window.bottom - full.bottom, 0.0))
    up = min(spare - down, max(full.top - window.top, 0.0))
    rest = (spare - down - up) / 2
    return window.bottom - down - rest, window.top + up + rest

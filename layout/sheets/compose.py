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
from functools import cached_property

from layout.drafting.bounds import box_of
from layout.drafting.clip import break_lines, clip
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.lettering import text_width
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import LETTERING, TEXT_NOTE, Pen
from layout.drafting.transform import move
from layout.drafting.vector import along
from layout.drafting.view import View
from layout.sheets.composition import Composition

WINDOW_MARGIN = 40.0
"""Free paper round the view, so that tubes' centrelines and the jig's feet have room."""
SURROUNDING_MARGIN = 12.0
GUTTER = 12.0
TICK = 8.0
"""Ticks where a datum line meets the sheet's edge, to square the sheet by."""
LABEL_STEP = 8.0

LEFT = ("calibration", "checks")
RIGHT_TOP = ("dimensions", "tubes")
RIGHT_BOTTOM = ("cautions", "title")


@dataclass(frozen=True)
class SheetArrangement:
    """A view and its panels by name, ready to be composed for any room.

    `wheels` is "whole" where the surroundings must fit, "arcs" where they are always cut to the
    window, None where the room decides. `yielding` gives the one that never asks for more than the
    core: where no sheet holds the wheels whole, they are cut after all. `mark` tells which frame it is, as
    pages say it.
    """

    view: View
    panels: Mapping[str, Panel]
    wheels: str | None = None
    mark: str = ""
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

    def yielding(self) -> SheetArrangement:
        """The same, with surroundings that give way."""
        return replace(self, wheels=None) if self.wheels == "whole" else self

    @property
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
            window = replace(window, bottom=bottom, top=top)
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

    @property
    def _left_width(self) -> float:
        return max((p.width + GUTTER for p in self._some(LEFT)), default=0.0)

    @property
    def _right_width(self) -> float:
        table = max((p.width + GUTTER for p in self._some(RIGHT_TOP)), default=0.0)
        return max(table, sum(p.width + GUTTER for p in self._some(RIGHT_BOTTOM)))

    @property
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
        kept = _shown_part(group, window)
        shown.extend(kept)
        if not kept:
            left_out.extend(e.name for e in group if isinstance(e, ControlPoint))
    core = [e for e in view.core if not isinstance(e, DatumLine)]
    holes = [Rect(x, y, x + p.width, y + p.height) for p, x, y in placed]
    boxes = [b for e in (*shown, *core) for b in _lettering_boxes(e)]
    datums: list[Entity] = []
    for line in (e for e in view.core if isinstance(e, DatumLine)):
        named = list(_datum(line, window, outer, holes, boxes=boxes))
        boxes += [b for e in named for b in _lettering_boxes(e)]
        datums += named
    panels = [e for p, x, y in placed for e in move(p.drawing, x, y)]
    title = view.core.title
    return Composition(
        Drawing(title, (*shown, *datums, *core, *panels)),
        outer,
        Drawing(title, (*core, *panels)),
        tuple(left_out),
        window=window,
    )


def _shown_part(group: Sequence[Entity], window: Rect) -> list[Entity]:
    """What of a group the window shows: strokes cut, anything that means more whole or not at all."""
    if all(isinstance(e, Line | Arc | Circle | Polyline) for e in group):
        return [piece for e in group for piece in clip(e, window)]
    return list(group) if window.contains(box_of(group)) else []


def _datum(
    datum: DatumLine, window: Rect, outer: Rect, holes: Sequence[Rect], boxes: Sequence[Rect]
) -> Iterator[Entity]:
    """A datum line to the sheet's edges, broken at panels, ticked at both ends and named once."""
    for whole in clip(datum, outer):
        if not isinstance(whole, Line):
            continue
        for end in (whole.start, whole.end):
            yield Line(along(end, datum.angle + 90.0, TICK / 2), along(end, datum.angle - 90.0, TICK / 2),
                       datum.layer, Pen(LETTERING))  # fmt: skip
        yield from break_lines(whole, holes)
    if datum.label:
        yield from _datum_label(datum, window, boxes)


def _datum_label(datum: DatumLine, window: Rect, boxes: Sequence[Rect]) -> Iterator[Text]:
    """The line's name beside it, at the first free place from the window's far end inwards."""
    width = text_width(datum.label, TEXT_NOTE)
    for line in clip(datum, window):
        if not isinstance(line, Line):
            continue
        far = max(line.start, line.end)
        count = int(max(window.width, window.height) / LABEL_STEP)
        for k in range(count):
            at = along(along(far, datum.angle + 180.0, 3.0 + width + k * LABEL_STEP), datum.angle + 90.0, 1.5)
            text = Text(at, datum.label, TEXT_NOTE, datum.layer, angle=datum.angle)
            box = box_of([text])
            if not any(box.overlaps(b) for b in boxes):
                yield text
                return


def _lettering_boxes(e: Entity) -> list[Rect]:
    """Upright bounds of what lettering must keep off: words and dimensions' words."""
    return [box_of([e])] if isinstance(e, Text | LengthDimension | AngleDimension) else []


def _stretch_window(window: Rect, full: Rect, need: float) -> tuple[float, float]:
    """Bottom and top of a window grown to `need`: first over hidden surroundings, then evenly."""
    spare = need - window.height
    down = min(spare, max(window.bottom - full.bottom, 0.0))
    up = min(spare - down, max(full.top - window.top, 0.0))
    rest = (spare - down - up) / 2
    return window.bottom - down - rest, window.top + up + rest

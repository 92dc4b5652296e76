"""Paper-space layouts of a DXF through raw group codes: paper, plot settings, viewports on the model."""

from __future__ import annotations

import math
from typing import NamedTuple

from layout.checks.readback.dxf_tags import (
    Record,
    Tags,
    from_marker,
    number,
    point,
    records,
    to_marker,
    value,
)
from layout.checks.readback.seen import Point, UnreadableError

_POINT_LAYER = "POINT"
_LAYOUT_PLOTTED, _MILLIMETRES = "5", "1"
_LAYOUT_PART = "AcDbLayout"
"""Marks where a LAYOUT's plot settings end and what it says of itself begins."""


class Viewport(NamedTuple):
    """A window on paper (centre, width, height, mm) onto the model at `scale`, looking at `target`.

    `twist` turns the view, degrees counter-clockwise; `frozen` are layers not shown.
    """

    centre: Point
    width: float
    height: float
    scale: float
    target: Point
    twist: float
    frozen: tuple[str, ...]

    def shows(self, p: Point) -> Point | None:
        """Where a control point of the model appears on paper; None where it does not."""
        if _POINT_LAYER in self.frozen:
            return None
        a = math.radians(self.twist)
        dx, dy = p[0] - self.target[0], p[1] - self.target[1]
        x = self.scale * (dx * math.cos(a) - dy * math.sin(a))
        y = self.scale * (dx * math.sin(a) + dy * math.cos(a))
        if abs(x) > self.width / 2 + 1e-6 or abs(y) > self.height / 2 + 1e-6:
            return None
        return self.centre[0] + x, self.centre[1] + y


class PaperLayout(NamedTuple):
    """A layout: its name, paper in mm, whether it plots the layout 1:1 in mm, and its viewports."""

    name: str
    width: float
    height: float
    one_to_one: bool
    viewports: tuple[Viewport, ...]

    def shows(self, p: Point) -> list[Point]:
        """Every place on paper where a control point of the model appears."""
        return [at for v in self.viewports if (at := v.shows(p)) is not None]


def read_layouts(tags: Tags) -> dict[str, PaperLayout]:
    """The paper-space layouts by name, but for empty ones. Raises UnreadableError where one is broken."""
    layers = {value(r, 5): value(r, 2) for r in records(tags, "LAYER")}
    windows = list(records(tags, "VIEWPORT"))
    layouts: dict[str, PaperLayout] = {}
    for record in records(tags, "LAYOUT"):
        own = from_marker(record, _LAYOUT_PART)
        name, block = value(own, 1), value(own, 330)
        views = [_viewport(r, layers) for r in windows if _is_view(r, block)]
        if name != "Model" and views:
            layouts[name] = _layout(name, to_marker(record, _LAYOUT_PART), tuple(views))
    return layouts


def _is_view(record: Record, block: str) -> bool:
    """Whether a viewport is one of a layout's block, other than the one that stands for the paper itself."""
    return value(record, 330) == block and value(record, 69) != "1"


def _viewport(record: Record, layers: dict[str, str]) -> Viewport:
    width, height, view = number(record, 40), number(record, 41), number(record, 45)
    if point(record, 12, 22) != (0.0, 0.0) or view <= 0:
        raise UnreadableError("a viewport does not look at its target")
    frozen = [text for code, text in record if code == 331]
    if not layers.keys() >= set(frozen):
        raise UnreadableError("a viewport hides a layer that is not there")
    return Viewport(
        point(record, 10, 20),
        width,
        height,
        height / view,
        target=point(record, 17, 27),
        twist=number(record, 51),
        frozen=tuple(layers[handle] for handle in frozen),
    )


def _layout(name: str, plot: Record, viewports: tuple[Viewport, ...]) -> PaperLayout:
    """A layout from its plot settings, which stand before what it says of itself."""
    one_to_one = (
        number(plot, 142) == number(plot, 143)
        and number(plot, 147) == 1.0
        and value(plot, 72) == _MILLIMETRES
        and value(plot, 73) == "0"
        and value(plot, 74) == _LAYOUT_PLOTTED
    )
    return PaperLayout(name, number(plot, 44), number(plot, 45), one_to_one, viewports=viewports)

"""Paper-space layouts of a DXF through raw group codes: paper, plot settings, viewports on the model."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from layout.checks.readback_seen import Point, UnreadableError

_POINT_LAYER = "POINT"
_LAYOUT_PLOTTED, _MILLIMETRES = "5", "1"

Tag = tuple[int, str]


@dataclass(frozen=True)
class Viewport:
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


@dataclass(frozen=True)
class PaperLayout:
    """A layout: its name, paper in mm, whether it plots the layout 1:1 in mm, and its viewports."""

    name: str
    width: float
    height: float
    one_to_one: bool
    viewports: tuple[Viewport, ...]

    def shows(self, p: Point) -> list[Point]:
        """Every place on paper where a control point of the model appears."""
        return [at for v in self.viewports if (at := v.shows(p)) is not None]


def read_layouts(data: bytes) -> dict[str, PaperLayout]:
    """The paper-space layouts by name, but for empty ones. Raises UnreadableError where one is broken."""
    lines = data.decode("utf-8").splitlines()
    tags = [(int(code), value.strip()) for code, value in zip(lines[0::2], lines[1::2], strict=True)]
    records = list(_records(tags))
    layers = {_first(r, 5): _first(r, 2) for r in records if r[0] == (0, "LAYER")}
    layouts: dict[str, PaperLayout] = {}
    for record in records:
        if record[0] != (0, "LAYOUT"):
            continue
        name, block = _layout_name(record), _layout_block(record)
        views = [_viewport(r, layers) for r in records if _is_view(r, block)]
        if name != "Model" and views:
            layouts[name] = _layout(name, record, tuple(views))
    return layouts


def _records(tags: list[Tag]) -> Iterator[list[Tag]]:
    starts = [i for i, tag in enumerate(tags) if tag[0] == 0]
    for a, b in pairwise([*starts, len(tags)]):
        yield tags[a:b]


def _is_view(record: list[Tag], block: str) -> bool:
    """Whether it is a viewport of a layout's block, other than the one that stands for the paper itself."""
    return record[0] == (0, "VIEWPORT") and _first(record, 330) == block and _first(record, 69) != "1"


def _viewport(record: list[Tag], layers: dict[str, str]) -> Viewport:
    width, height = float(_first(record, 40)), float(_first(record, 41))
    centre, view = (float(_first(record, 12)), float(_first(record, 22))), float(_first(record, 45))
    if centre != (0.0, 0.0) or view <= 0:
        raise UnreadableError("a viewport looks beside its target")
    return Viewport(
        (float(_first(record, 10)), float(_first(record, 20))),
        width,
        height,
        height / view,
        (float(_first(record, 17)), float(_first(record, 27))),
        float(_first(record, 51)),
        tuple(layers[value] for code, value in record if code == 331),
    )


def _layout(name: str, record: list[Tag], viewports: tuple[Viewport, ...]) -> PaperLayout:
    plot = record[: record.index((100, "AcDbLayout"))]
    one_to_one = (
        float(_first(plot, 142)) == float(_first(plot, 143))
        and float(_first(plot, 147)) == 1.0
        and _first(plot, 72) == _MILLIMETRES
        and _first(plot, 73) == "0"
        and _first(plot, 74) == _LAYOUT_PLOTTED
    )
    return PaperLayout(name, float(_first(plot, 44)), float(_first(plot, 45)), one_to_one, viewports)


def _layout_name(record: list[Tag]) -> str:
    return _first(record[record.index((100, "AcDbLayout")) :], 1)


def _layout_block(record: list[Tag]) -> str:
    return _first(record[record.index((100, "AcDbLayout")) :], 330)


def _first(record: list[Tag], code: int) -> str:
    for found, value in record:
        if found == code:
            return value
    raise UnreadableError(f"a {record[0][1]} has no group {code}")

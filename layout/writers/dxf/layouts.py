"""Sheets as paper-space layouts: the paper at 1:1, the drawing seen through a viewport.

    paper    border, panels, datum lines to the sheet's edges
    window   viewports at 1:1 on the model's view, but for datum lines, which end elsewhere there

The model holds all of the view; a sheet may have had no room for some callouts. Where the
window's edge would cut their lettering to another number, there is a gap between viewports.

Layouts are added beside the empty active one, so that the ENTITIES section holds model
space alone: programs that know no layouts then see the drawing and nothing over it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import Any

from layout.drafting.bounds import bounds, entity_bounds
from layout.drafting.dimensions import explode
from layout.drafting.entities import AngleDimension, ControlPoint, Drawing, Entity, LengthDimension, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.drafting.transform import move, turn_quarters
from layout.sheets.sheet import Placement, Sheet

_FRAME_LAYER = "Defpoints"
"""Never plotted by any CAD program, so a viewport's frame does not print; its contents do."""
_LOCKED = 16384
_NO_ORIGIN_ICON = 32
_ON = 2
_ONE_TO_ONE = 16
"""The standard scale 1:1 of a layout's plot settings."""
_NO_DEVICE = "none_device"
"""The plotter is chosen where there is one; the paper and its scale are not."""
_ON_PAPER = (Layer.DATUM, Layer.SHEET)
"""Layers that belong to the paper: viewports on a view do not show them."""
_CLEAR = 0.5
"""Kept round lettering that a viewport leaves out, mm."""

Adder = Callable[[Any, Any, Entity], None]


def add_layout(doc: Any, sheet: Sheet, model: Drawing, add_entity: Adder) -> None:
    """Add a sheet as a layout.

    A placement of `model` is a viewport; of one with a window, that is a viewport and the rest
    is drawn on the paper; any other is drawn on the paper.
    """
    layout = doc.layouts.new(_free_name(doc, sheet.name))
    size = (round(sheet.width, 6), round(sheet.height, 6))
    layout.page_setup(
        size=size, margins=(0, 0, 0, 0), units="mm", scale=_ONE_TO_ONE, name=sheet.medium, device=_NO_DEVICE
    )
    layout.dxf.extmin, layout.dxf.extmax = (0.0, 0.0, 0.0), (sheet.width, sheet.height, 0.0)
    layout.dxf.limmin, layout.dxf.limmax = (0.0, 0.0), (sheet.width, sheet.height)
    for placement in sheet.placements:
        for entity in _on_paper(placement, model):
            add_entity(doc, layout, entity)
        for window, frozen in _windows(sheet, placement, model):
            _add_viewport(layout, placement, window, frozen)
    for entity in sheet.furniture:
        add_entity(doc, layout, entity)


def _on_paper(placement: Placement, model: Drawing) -> Iterator[Entity]:
    """What of a placement is drawn on the paper itself, in sheet coordinates."""
    if placement.drawing is model or placement.drawing == model:
        return
    window = placement.window
    for entity in move(turn_quarters(placement.drawing, placement.turn), placement.dx, placement.dy):
        if isinstance(entity, ControlPoint):
            continue
        if window is None or entity.layer in _ON_PAPER or not _touches(entity, _to_sheet(placement, window)):
            yield entity


def _windows(sheet: Sheet, placement: Placement, model: Drawing) -> Iterator[tuple[Rect, tuple[str, ...]]]:
    """The viewports of a placement, in sheet coordinates, with the layers frozen in each."""
    if placement.drawing is model or placement.drawing == model:
        yield placement.clip or Rect(0.0, 0.0, sheet.width, sheet.height), ()
    elif placement.window is not None:
        holes = [_to_sheet(placement, box) for box in _cut_words(placement, placement.window, model)]
        for window in without(_to_sheet(placement, placement.window), holes):
            yield window, tuple(layer.value for layer in _ON_PAPER)


def _cut_words(placement: Placement, window: Rect, model: Drawing) -> Iterator[Rect]:
    """Where the model has lettering across the window's edge that the sheet left out."""
    shown = set(placement.drawing)
    for entity in model:
        if not isinstance(entity, Text | LengthDimension | AngleDimension) or entity.layer in _ON_PAPER:
            continue
        box = bounds(part for part in explode(entity) if isinstance(part, Text))
        if box and window.overlaps(box) and not window.contains(box) and entity not in shown:
            yield box.grown(_CLEAR)


def without(window: Rect, holes: Iterable[Rect]) -> list[Rect]:
    """What is left of a window without some holes, as upright strips from left to right.

    >>> without(Rect(0.0, 0.0, 9.0, 9.0), [Rect(4.0, -1.0, 5.0, 2.0)])[1]
    Rect(left=4.0, bottom=2.0, right=5.0, top=9.0)
    """
    inside = [h for h in holes if h.overlaps(window)]
    edges = sorted({window.left, window.right, *(x for h in inside for x in (h.left, h.right))})
    stops = [x for x in edges if window.left <= x <= window.right]
    strips: list[Rect] = []
    for left, right in pairwise(stops):
        level = window.bottom
        over = sorted((h for h in inside if h.left < right and left < h.right), key=lambda h: h.bottom)
        for hole in over:
            if hole.bottom > level:
                strips.append(Rect(left, level, right, hole.bottom))
            level = max(level, hole.top)
        if level < window.top:
            strips.append(Rect(left, level, right, window.top))
    return strips


def _to_sheet(placement: Placement, r: Rect) -> Rect:
    (x0, y0), (x1, y1) = placement.to_sheet((r.left, r.bottom)), placement.to_sheet((r.right, r.top))
    return Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _touches(entity: Entity, window: Rect) -> bool:
    """Whether an entity has anything in a window; a level or upright line has no area to overlap with."""
    box = entity_bounds(entity)
    return box is not None and (
        box.left <= window.right
        and window.left <= box.right
        and box.bottom <= window.top
        and window.bottom <= box.top
    )


def _add_viewport(layout: Any, placement: Placement, window: Rect, frozen: tuple[str, ...]) -> None:
    """A window as large on paper as in the model, looking at what the placement puts there."""
    x, y = window.centre[0] - placement.dx, window.centre[1] - placement.dy
    for _ in range(-placement.turn % 4):
        x, y = -y, x
    viewport = layout.add_viewport(
        center=tuple(round(v, 6) for v in window.centre),
        size=(round(window.width, 6), round(window.height, 6)),
        view_center_point=(0.0, 0.0),
        view_height=round(window.height, 6),
        status=_ON,
        dxfattribs={
            "layer": _FRAME_LAYER,
            "view_target_point": (round(x, 6), round(y, 6), 0.0),
            "view_twist_angle": 90.0 * (placement.turn % 4),
            "flags": _LOCKED | _NO_ORIGIN_ICON,
        },
    )
    viewport.frozen_layers = frozen


def _free_name(doc: Any, wanted: str) -> str:
    """A layout name that is legal and not taken."""
    clean = "".join(" " if c in '<>/\\":;?*|=`,' else c for c in wanted).strip() or "Sheet"
    name, count = clean, 1
    taken = {n.lower() for n in doc.layouts.names()}
    while name.lower() in taken:
        count += 1
        name = f"{clean} {count}"
    return name

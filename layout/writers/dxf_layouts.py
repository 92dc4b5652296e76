"""Sheets as paper-space layouts: the paper at 1:1, the drawing seen through a viewport.

Layouts are added beside the empty active one, so that the ENTITIES section holds model
space alone: programs that know no layouts then see the drawing and nothing over it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from layout.drafting.entities import ControlPoint, Drawing, Entity
from layout.drafting.rect import Rect
from layout.drafting.transform import moved, turned
from layout.sheets.sheet import Placement, Sheet

_FRAME_LAYER = "Defpoints"
"""Never plotted by any CAD program, so a viewport's frame does not print; its contents do."""
_LOCKED = 16384
_NO_ORIGIN_ICON = 32
_ON = 2

Adder = Callable[[Any, Any, Entity], None]


def add_layout(doc: Any, sheet: Sheet, model: Drawing, add_entity: Adder) -> None:
    """Add a sheet as a layout; a placement of `model` is a viewport, any other is drawn on the paper."""
    layout = doc.layouts.new(_free_name(doc, sheet.name))
    layout.page_setup(size=(round(sheet.width, 6), round(sheet.height, 6)), margins=(0, 0, 0, 0), units="mm")
    layout.dxf.extmin, layout.dxf.extmax = (0.0, 0.0, 0.0), (sheet.width, sheet.height, 0.0)
    layout.dxf.limmin, layout.dxf.limmax = (0.0, 0.0), (sheet.width, sheet.height)
    for placement in sheet.placements:
        if placement.drawing is model or placement.drawing == model:
            _add_viewport(layout, sheet, placement)
        else:
            there = moved(turned(placement.drawing, placement.turn), placement.dx, placement.dy)
            for entity in there:
                if not isinstance(entity, ControlPoint):
                    add_entity(doc, layout, entity)
    for entity in sheet.furniture:
        add_entity(doc, layout, entity)


def _add_viewport(layout: Any, sheet: Sheet, placement: Placement) -> None:
    """A window as large on paper as in the model, looking at what the placement puts there."""
    window = placement.clip or Rect(0.0, 0.0, sheet.width, sheet.height)
    x, y = window.centre[0] - placement.dx, window.centre[1] - placement.dy
    for _ in range(-placement.turn % 4):
        x, y = -y, x
    layout.add_viewport(
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


def _free_name(doc: Any, wanted: str) -> str:
    """A layout name that is legal and not taken."""
    clean = "".join(" " if c in '<>/\\":;?*|=`,' else c for c in wanted).strip() or "Sheet"
    name, count = clean, 1
    taken = {n.lower() for n in doc.layouts.names()}
    while name.lower() in taken:
        count += 1
        name = f"{clean} {count}"
    return name

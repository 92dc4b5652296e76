"""Sheets as paper-space layouts: the paper at 1:1, the drawing seen through a viewport.

    window   a viewport at 1:1 on what of the view the model holds, but for datum lines, which end elsewhere
    paper    border, panels, datum lines to the sheet's edges, and what of the view the model does not hold

Who writes sheets hands over a model that has nothing in their windows which they do not show.

Layouts are added beside the empty active one, so that the ENTITIES section holds model
space alone. Programs that know no layouts still draw what lies on the paper into the
model, whichever block it is in: so sheets go into a file of their own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from layout.drafting.entities import ControlPoint, Drawing, Entity
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

Adder = Callable[[Any, Iterable[Entity]], None]


def add_layout(doc: Any, sheet: Sheet, model: Drawing, add_entities: Adder) -> None:
    """Add a sheet as a layout.

    A placement of `model` is a viewport; of one with a window, what the model holds is seen through
    a viewport and the rest is drawn on the paper; any other is drawn on the paper.
    """
    layout = doc.layouts.new(_free_name(doc, sheet.name))
    size = (round(sheet.width, 6), round(sheet.height, 6))
    layout.page_setup(
        size=size, margins=(0, 0, 0, 0), units="mm", scale=_ONE_TO_ONE, name=sheet.medium, device=_NO_DEVICE
    )
    layout.dxf.extmin, layout.dxf.extmax = (0.0, 0.0, 0.0), (sheet.width, sheet.height, 0.0)
    layout.dxf.limmin, layout.dxf.limmax = (0.0, 0.0), (sheet.width, sheet.height)
    held = set(model)
    for placement in sheet.placements:
        add_entities(layout, _on_paper(placement, model, held))
        for window, frozen in _window(sheet, placement, model):
            _add_viewport(layout, placement, window, frozen)
    add_entities(layout, sheet.furniture)


def _on_paper(placement: Placement, model: Drawing, held: set[Entity]) -> Drawing:
    """What of a placement is drawn on the paper itself, in sheet coordinates."""
    drawing = placement.drawing
    if drawing is model or drawing == model:
        return Drawing(drawing.title, ())
    seen = held if placement.window is not None else set()
    left = tuple(e for e in drawing if e.layer in _ON_PAPER or not (e in seen or isinstance(e, ControlPoint)))
    return move(turn_quarters(Drawing(drawing.title, left), placement.turn), placement.dx, placement.dy)


def _window(sheet: Sheet, placement: Placement, model: Drawing) -> Iterator[tuple[Rect, tuple[str, ...]]]:
    """The viewport of a placement, in sheet coordinates, with the layers frozen in it."""
    if placement.drawing is model or placement.drawing == model:
        yield placement.clip or Rect(0.0, 0.0, sheet.width, sheet.height), ()
    elif placement.window is not None:
        yield _to_sheet(placement, placement.window), tuple(layer.value for layer in _ON_PAPER)


def _to_sheet(placement: Placement, r: Rect) -> Rect:
    (x0, y0), (x1, y1) = placement.to_sheet((r.left, r.bottom)), placement.to_sheet((r.right, r.top))
    return Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


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

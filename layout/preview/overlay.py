"""What a page lays over or under a sheet: where each dimension is measured, and the frame at the start.

Both are in the page's own coordinates, by the writer that wrote the sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from layout.drafting.entities import Arc, Circle, Drawing, Entity, Line, Polyline
from layout.drafting.rect import Rect
from layout.drafting.style import THIN, Layer, Pattern, Pen
from layout.drafting.vector import Point, bearing
from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import PlacedAngle, PlacedSpan
from layout.preview.edition import ScreenPage
from layout.sheets.sheet import Placement
from layout.views.side.plan import Plan, plan
from layout.views.side.strokes import adjacent_parts, centrelines
from layout.views.side.tubes import tubes
from layout.writers.svg import strokes_path, svg_text

ADJACENT = Pen(THIN, Pattern.PHANTOM)
"""The line of adjacent parts: the frame as it was is one."""
SHORTEST_ARM = 30.0
"""Of a lit angle, mm: its arms end where the nearer of its points is, but no nearer than this."""


def spans(frame: Frame, page: ScreenPage) -> dict[str, str]:
    """Path data of each dimension that has a place on a page of the side view, by name."""
    placement = page.sheet.placements[0]
    p = plan(frame)
    found: dict[str, str] = {}
    for name in REGISTRY:
        placed = p.placed(name)
        if placed is not None:
            found[name] = strokes_path(page.sheet, placement, tuple(_strokes(placed)))
    return found


def _strokes(placed: PlacedSpan) -> Iterator[Line | Arc | Polyline]:
    """A length as the line between its points, an angle as its arms and an arc."""
    if not isinstance(placed, PlacedAngle):
        yield from _length(placed.start, placed.end, placed.direction)
        return
    reach = max(SHORTEST_ARM, min(math.dist(placed.vertex, p) for p in (placed.first, placed.second)))
    first, second = bearing(placed.vertex, placed.first), bearing(placed.vertex, placed.second)
    if placed.sense * placed.value < 0:
        first, second = second, first
    yield Polyline((placed.first, placed.vertex, placed.second), Layer.DIM)
    yield Arc(placed.vertex, 0.6 * reach, first, first + (second - first) % 360.0, layer=Layer.DIM)


def _length(start: Point, end: Point, direction: float) -> Iterator[Line]:
    """From the start along the direction, then square to it to the end."""
    ux, uy = math.cos(math.radians(direction)), math.sin(math.radians(direction))
    along = (end[0] - start[0]) * ux + (end[1] - start[1]) * uy
    foot = (start[0] + along * ux, start[1] + along * uy)
    yield Line(start, foot, Layer.DIM)
    if math.dist(foot, end) > THIN:
        yield Line(foot, end, Layer.DIM)


def start_svg(start: Frame, now: Frame, page: ScreenPage) -> str:
    """The frame as it was when the watch began, on the same page, bottom brackets together."""
    old = plan(replace(start, heading=now.heading))
    drawing = Drawing("start", tuple(_double_dotted(old)))
    placements = tuple(replace(p, drawing=drawing, clip=p.clip or _room(p)) for p in _views(page))
    sheet = replace(page.sheet, placements=placements, furniture=Drawing("start"))
    return svg_text(sheet, page.info)


def _views(page: ScreenPage) -> tuple[Placement, ...]:
    return page.sheet.placements if page.true else ()


def _room(placement: Placement) -> Rect | None:
    """Where on the sheet the view lies, clear of the panels; None where it is not known."""
    if placement.window is None:
        return None
    (x0, y0), (x1, y1) = (placement.to_sheet(corner) for corner in placement.window.corners[::2])
    return Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def _double_dotted(p: Plan) -> Iterator[Entity]:
    for entity in (*adjacent_parts(p), *centrelines(p), *tubes(p)):
        if isinstance(entity, Line | Arc | Circle | Polyline):
            yield replace(entity, pen=ADJACENT, layer=Layer.WHEEL)

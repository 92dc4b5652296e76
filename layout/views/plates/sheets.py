"""The assembly laid out for a sheet: as an arrangement at 1:1, and as one reduced drawing for A3.

+--------------------------+-----------+
| plan 1:5                 | parts     |
|                          |           |
+---------+---------+------+ hardware  |
| numbers | section | notes|-----------|
|         | 1:2     |      | title     |
+---------+---------+------+-----------+
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from layout.drafting.bounds import bounds
from layout.drafting.entities import Drawing, Entity
from layout.drafting.panel import Panel, stacked
from layout.drafting.rect import Rect
from layout.drafting.rulers import calibration_cross
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE
from layout.drafting.transform import moved
from layout.drafting.view import View
from layout.errors import Fault, SheetError
from layout.frame import Frame
from layout.views.panels import CAUTION_WIDTH, CROSS_LENGTH, GUTTER, TITLE_WIDTH
from layout.views.plates.assembly import control_points, numbered, section
from layout.views.plates.fixture import Fixture
from layout.views.plates.order import OrderRow
from layout.views.plates.tables import (
    ASSEMBLY,
    hardware_panel,
    notes_panel,
    numbers_of,
    numbers_panel,
    parts_panel,
    title_panel,
)

SCALES = (2, 5, 10, 20, 50)
"""Reductions of ISO 5455 (from memory), the largest first."""
SMALL = 2.5
"""Lettering of a reduced sheet's tables: read in the hand."""
COLUMN = 150.0
"""Width of a reduced sheet's right column, mm."""
MARGIN = 5.0
SECTION_SCALE = 2


@dataclass(frozen=True)
class OnePage:
    """A drawing for one sheet, as it is laid, and the scale of its views as lettered."""

    drawing: Drawing
    scale: str


def full_size(frame: Frame, fixture: Fixture, rows: Sequence[OrderRow]) -> tuple[View, dict[str, Panel]]:
    """The assembly at 1:1 and its panels by the name a sheet arranges them by."""
    plan = numbered(fixture, frame, numbers_of(rows), 1.0, TEXT_TABLE)
    core = plan.with_entities(control_points(fixture))
    detail = section(fixture, 1.0, TEXT_TABLE)
    if detail is not None:
        core = core.with_entities(_beside(core, detail, fixture.forward))
    width = TITLE_WIDTH + GUTTER + CAUTION_WIDTH
    tables = [parts_panel(rows, TEXT_NOTE, width)]
    bought = hardware_panel(fixture, TEXT_NOTE, width)
    tables += [] if bought is None else [bought]
    return View(core), {
        "calibration": calibration_cross(CROSS_LENGTH),
        "checks": numbers_panel(fixture, TEXT_NOTE),
        "dimensions": stacked("dimensions", tables),
        "cautions": notes_panel(fixture, TEXT_NOTE, CAUTION_WIDTH),
        "title": title_panel(frame, ASSEMBLY, "1:1, mm", TITLE_WIDTH),
    }


def _beside(core: Drawing, detail: Drawing, forward: float) -> Iterator[Entity]:
    """The section in the plan's free corner: below the down tube, at the front."""
    whole, own = _bounds(core), _bounds(detail)
    dx = whole.right - own.right if forward > 0 else whole.left - own.left
    yield from moved(detail, round(dx, 6), round(whole.bottom - own.bottom, 6))


def assembly_page(
    frame: Frame, fixture: Fixture, rows: Sequence[OrderRow], room: tuple[float, float]
) -> OnePage:
    """The assembly reduced to `room` (width, height, mm), from the lower left corner.

    Raises SheetError (code media) where no scale fits.
    """
    left = room[0] - COLUMN - 2 * MARGIN
    for scale in SCALES:
        plan = numbered(fixture, frame, numbers_of(rows), 1.0 / scale, TEXT_NOTE)
        under = _under_plan(frame, fixture, left)
        size = _bounds(plan)
        if size.width > left or size.height + under.height + 3 * MARGIN > room[1]:
            continue
        shown = f"1:{scale}"
        column = _column(frame, fixture, rows, f"plan {shown}", ASSEMBLY)
        if column.height + 2 * MARGIN > room[1]:
            break
        top = room[1] - MARGIN
        entities = [
            *moved(plan, round(MARGIN - size.left, 6), round(top - size.top, 6)),
            *moved(column.drawing, room[0] - COLUMN, 0.0),
            *moved(under.drawing, 0.0, 0.0),
        ]
        return OnePage(Drawing(ASSEMBLY, tuple(entities)), shown)
    raise SheetError(
        Fault(f"the assembly does not fit {room[0]:.0f} x {room[1]:.0f} mm at any scale", "media", "media")
    )


def _column(frame: Frame, fixture: Fixture, rows: Sequence[OrderRow], scale: str, document: str) -> Panel:
    """Parts, hardware and title, one over the other, with the title at the foot."""
    panels = [parts_panel(rows, SMALL, COLUMN)]
    bought = hardware_panel(fixture, SMALL, COLUMN) if document == ASSEMBLY else None
    panels += [] if bought is None else [bought]
    panels.append(title_panel(frame, document, scale, COLUMN))
    return stacked("column", panels)


def _under_plan(frame: Frame, fixture: Fixture, width: float) -> Panel:
    """Numbers, section and notes side by side."""
    numbers = numbers_panel(fixture, SMALL)
    detail = section(fixture, 1.0 / SECTION_SCALE, SMALL)
    entities: list[Entity] = [*numbers.drawing]
    x, height = numbers.width + MARGIN, numbers.height
    if detail is not None:
        box = _bounds(detail)
        entities += moved(detail, round(x - box.left, 6), round(MARGIN - box.bottom, 6))
        height = max(height, box.height + 2 * MARGIN)
        x += box.width + MARGIN
    text = notes_panel(fixture, SMALL, width - x)
    entities += moved(text.drawing, x, 0.0)
    return Panel("under", Drawing("under", tuple(entities)), width, max(height, text.height))


def _bounds(entities: Drawing) -> Rect:
    found = bounds(entities)
    if found is None:
        raise ValueError("nothing is drawn")
    return found

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
from functools import cache, partial
from typing import NamedTuple

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow
from layout.drafting.bounds import box_of
from layout.drafting.cautions import CAUTION_WIDTH, cautions_across
from layout.drafting.entities import Drawing, Entity
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.rulers import calibration_cross
from layout.drafting.scales import REDUCTIONS, largest, ratio
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE
from layout.drafting.transform import move
from layout.drafting.view import View
from layout.errors import Fault, PlateError
from layout.frame.solve import Frame
from layout.views.panels import CROSS_LENGTH, GUTTER
from layout.views.plates.assembly import control_points, ink, numbered_plan, section
from layout.views.plates.tables import (
    ASSEMBLY,
    TOO_MANY_PARTS,
    hardware_panel,
    notes_panel,
    numbers_of,
    numbers_panel,
    parts_panel,
    title_panel,
)
from layout.views.title import TITLE_WIDTH

SCALES = REDUCTIONS[:-1]
SMALL = 2.5
"""Lettering of a reduced sheet's tables: read in the hand."""
COLUMN = 150.0
"""Width of a reduced sheet's right column, mm."""
MARGIN = 5.0
PLAN_OVER_SECTION = 5
"""A plan is not reduced more than this over its section: it is what is built by."""
SECTION_CLEAR = 10.0
"""Between the section and the plan at full size, mm."""
WIDEST_NUMBERS = 80.0
"""Of the table of numbers under a reduced plan: a long material's name is broken into lines, mm."""
NARROWEST_NOTES = 40.0
"""Narrower, the notes under a reduced plan are a tower of single words, mm."""


class OnePage(NamedTuple):
    """A drawing for one sheet, as it is laid, and the scale of its views as lettered."""

    drawing: Drawing
    scale: str


def full_size(frame: Frame, fixture: Fixture, rows: Sequence[OrderRow]) -> tuple[View, dict[str, Panel]]:
    """The assembly at 1:1 and its panels by the name a sheet arranges them by."""
    plan = numbered_plan(fixture, frame, numbers_of(rows), 1.0, text_height=TEXT_TABLE)
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
        "dimensions": stack_panels("dimensions", tables),
        "cautions": notes_panel(fixture, TEXT_NOTE, CAUTION_WIDTH),
        "title": title_panel(frame, ASSEMBLY, "1:1, mm", TITLE_WIDTH),
    }


def _beside(core: Drawing, detail: Drawing, forward: float) -> Iterator[Entity]:
    """The section in the plan's corner below the down tube, at the front, or ahead of it if that is taken."""
    whole, own = box_of(core), box_of(detail)
    dx = whole.right - own.right if forward > 0 else whole.left - own.left
    dy = whole.bottom - own.bottom
    x, y = (ink(core) - (dx, dy)).T
    beside = (x > own.left - SECTION_CLEAR) & (x < own.right + SECTION_CLEAR)
    if bool((beside & (y < own.top + SECTION_CLEAR)).any()):
        dx += forward * (own.width + SECTION_CLEAR)
    yield from move(detail, round(dx, 6), round(dy, 6))


def assembly_page(
    frame: Frame, fixture: Fixture, rows: Sequence[OrderRow], room: tuple[float, float]
) -> OnePage:
    """The assembly reduced to `room` (width, height, mm), from the lower left corner.

    Raises PlateError where it does not fit at any scale.
    """
    beside = _column(frame, fixture, rows, "", cautioned=True).height + 2 * MARGIN <= room[1]
    under, plan, scale = _largest(frame, fixture, rows, room, cautioned=not beside)
    shown, top = ratio(scale), room[1] - MARGIN
    size = box_of(plan)
    column = _column(frame, fixture, rows, f"plan {shown}", cautioned=beside)
    if column.height + 2 * MARGIN > room[1]:
        raise PlateError(Fault(TOO_MANY_PARTS, "range", "plates.parts"))
    entities = [
        *move(plan, round(MARGIN - size.left, 6), round(top - size.top, 6)),
        *move(column.drawing, room[0] - COLUMN, 0.0),
        *under.drawing,
    ]
    return OnePage(Drawing(ASSEMBLY, tuple(entities)), shown)


def _largest(
    frame: Frame,
    fixture: Fixture,
    rows: Sequence[OrderRow],
    room: tuple[float, float],
    *,
    cautioned: bool,
) -> tuple[Panel, Drawing, int]:
    """What stands under the plan, and the plan with its scale: the largest section first, then the plan.

    `cautioned`: the cautions stand there too.
    """
    left = room[0] - COLUMN - 2 * MARGIN

    @cache
    def plan(scale: int) -> Drawing:
        return numbered_plan(fixture, frame, numbers_of(rows), 1.0 / scale, text_height=TEXT_NOTE)

    def fitting(under: Panel, scale: int) -> int | None:
        size = box_of(plan(scale))
        high = size.height + under.height + 3 * MARGIN
        return scale if size.width <= left and high <= room[1] else None

    for detail, under in _under_plan(fixture, left, cautioned):
        scales = [s for s in SCALES if s <= PLAN_OVER_SECTION * detail]
        scale = largest(scales, partial(fitting, under))
        if scale is not None:
            return under, plan(scale), scale
    paper = f"{room[0]:.0f} x {room[1]:.0f} mm of paper"
    message = f"an assembly {fixture.height:g} mm high does not fit {paper}. Give a smaller height."
    raise PlateError(Fault(message, "range", "plates.height"))


def _column(
    frame: Frame, fixture: Fixture, rows: Sequence[OrderRow], scale: str, *, cautioned: bool
) -> Panel:
    """Parts, hardware, cautions where they fit, and title, one over the other, with the title at the foot."""
    panels = [parts_panel(rows, SMALL, COLUMN)]
    bought = hardware_panel(fixture, SMALL, COLUMN)
    panels += [] if bought is None else [bought]
    panels += [cautions_across(COLUMN, SMALL)] if cautioned else []
    panels.append(title_panel(frame, ASSEMBLY, scale, COLUMN))
    return stack_panels("column", panels)


def _under_plan(fixture: Fixture, width: float, cautioned: bool) -> Iterator[tuple[int, Panel]]:
    """Numbers, section and notes side by side, `width` mm; the section's scale, smaller each time."""
    for scale in SCALES:
        detail = section(fixture, 1.0 / scale, SMALL)
        found = _side_by_side(fixture, detail, width, cautioned)
        if found is not None:
            yield scale, found


def _side_by_side(
    fixture: Fixture, detail: Drawing | None, width: float, cautioned: bool
) -> Panel | None:
    """Numbers, a section where there is one, and notes; None where the notes are left too little."""
    numbers = numbers_panel(fixture, SMALL)
    if numbers.width > WIDEST_NUMBERS:
        numbers = numbers_panel(fixture, SMALL, WIDEST_NUMBERS)
    entities: list[Entity] = [*numbers.drawing]
    x, height = numbers.width + MARGIN, numbers.height
    if detail is not None:
        box = box_of(detail)
        entities += move(detail, round(x - box.left, 6), round(MARGIN - box.bottom, 6))
        height = max(height, box.height + 2 * MARGIN)
        x += box.width + MARGIN
    if width - x < NARROWEST_NOTES:
        return None
    text = notes_panel(fixture, SMALL, width - x, cautioned=cautioned)
    entities += move(text.drawing, x, 0.0)
    return Panel("under", Drawing("under", tuple(entities)), width, max(height, text.height))

"""All parts laid on stock sheets, one drawing a sheet, reduced for A3: what a price is asked with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow, total_weight
from layout.drafting.cautions import cautions_across
from layout.drafting.entities import Align, Drawing, Entity, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.numbers import format_number
from layout.drafting.packing import Packed, pack
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.reduce import reduce_drawing
from layout.drafting.scales import largest, ratio
from layout.drafting.style import THIN, Layer, Pattern, Pen
from layout.drafting.tables import text_block
from layout.drafting.transform import move
from layout.errors import Fault, PlateError
from layout.frame.solve import Frame
from layout.geometry.plates.contour import Array, Point, box_middle
from layout.geometry.plates.nearest import on_material
from layout.geometry.plates.plate import Plate
from layout.views.plates.shapes import drawn
from layout.views.plates.sheets import COLUMN, MARGIN, SCALES, SMALL, OnePage
from layout.views.plates.tables import (
    NEST,
    TOO_MANY_PARTS,
    numbers_of,
    parts_panel,
    shown_material,
    title_panel,
)

NUMBERS = (2.5, 1.8)
"""Lettering of the parts' numbers: the least that ISO 3098 has, where a part is small."""
NUMBER_CLEAR = (0.7, 0.3)
"""Round a number, mm on paper, and at the least where a part is small."""
LOOKS = 24
"""A number's place is looked for at so many steps across its part and up it."""
NEAREST = 24
"""So many places are tried before all others: most parts take their number near the middle."""
CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


class LaidPiece(NamedTuple):
    """One piece of a part where it lies on its stock sheet, and the sheet's number from 1."""

    plate: Plate
    sheet: int


def laid_out(fixture: Fixture) -> list[LaidPiece]:
    """Every piece of every part on a stock sheet, coordinates from the sheet's lower left corner.

    Raises ValueError for a part larger than the sheet.
    """
    process = fixture.settings.process
    pieces = [p for p in fixture.plates for _ in range(p.quantity)]
    found = pack([p.size for p in pieces], process.room, process.part_spacing)
    return [LaidPiece(_place_on_stock(pieces[p.box], p, process.sheet_edge), p.room + 1) for p in found]


def _place_on_stock(plate: Plate, laid: Packed, edge: float) -> Plate:
    """The part with its box's corner where it was laid, turned by a quarter where it was turned."""
    left, bottom, _, top = plate.bounds
    x, y = laid.left + edge, laid.bottom + edge
    if laid.turned:
        return plate.placed((x + top, y - left), (0.0, 1.0))
    return plate.placed((x - left, y - bottom), (1.0, 0.0))


def nest_pages(
    frame: Frame, fixture: Fixture, rows: Sequence[OrderRow], room: tuple[float, float]
) -> list[OnePage]:
    """A page for each stock sheet, to `room` (width, height, mm). Raises PlateError where no scale fits."""
    pieces = laid_out(fixture)
    count = max(p.sheet for p in pieces)
    return [
        _page(
            frame,
            fixture,
            rows,
            room,
            plates=[p.plate for p in pieces if p.sheet == k + 1],
            which=(k + 1, count),
        )
        for k in range(count)
    ]


def _page(
    frame: Frame,
    fixture: Fixture,
    rows: Sequence[OrderRow],
    room: tuple[float, float],
    plates: Sequence[Plate],
    which: tuple[int, int],
) -> OnePage:
    process = fixture.settings.process
    width, height = max(process.sheet), min(process.sheet)
    across = room[0] - COLUMN - 3 * MARGIN
    column = partial(_column, frame, fixture, rows, which)
    beside = column(cautioned=True, scale="").height <= room[1]
    under = [] if beside else [cautions_across(across, SMALL)]
    up = room[1] - 2 * MARGIN - sum(p.height + MARGIN for p in under)
    scale = largest(SCALES, lambda s: s if width / s <= across and height / s <= up else None)
    if scale is None:
        message = f"a stock sheet of {width:g} x {height:g} mm does not fit the page. Give a smaller one."
        raise PlateError(Fault(message, "range", "plates.sheet"))
    listed = column(cautioned=beside, scale=ratio(scale))
    if listed.height > room[1]:
        raise PlateError(Fault(TOO_MANY_PARTS, "range", "plates.parts"))
    drawing = _sheet(plates, (width, height), process.sheet_edge, numbers_of(rows), scale=scale)
    top = room[1] - MARGIN - height / scale
    entities = [*move(drawing, MARGIN, round(top, 6)), *move(listed.drawing, room[0] - COLUMN, 0.0)]
    entities += (e for p in under for e in move(p.drawing, MARGIN, MARGIN))
    return OnePage(Drawing(NEST, tuple(entities)), ratio(scale))


def _sheet(
    plates: Sequence[Plate], size: Point, edge: float, numbers: Mapping[str, int], scale: int
) -> Drawing:
    """A stock sheet with its parts, reduced, each with its number."""
    width, height = size
    inner = ((edge, edge), (width - edge, edge), (width - edge, height - edge), (edge, height - edge))
    outer = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    lines: list[Entity] = [
        Polyline(outer, Layer.OUTLINE, closed=True),
        Polyline(inner, Layer.NOTE, closed=True, pen=Pen(THIN, Pattern.DASHED)),
    ]
    lines += [s for p in plates for shape in p.shapes for s in drawn(shape, Layer.FITTING, Pen(THIN))]
    return reduce_drawing(Drawing(NEST, tuple(lines)), 1.0 / scale).with_entities(
        _numbers(plates, numbers, scale)
    )


def _numbers(plates: Sequence[Plate], numbers: Mapping[str, int], scale: int) -> Iterator[Entity]:
    """Each part's number in it: at its middle, or on its rim where a window is in the middle."""
    for plate in plates:
        label = str(numbers[plate.name])
        last = NUMBERS[-1], 0.0, box_middle(plate.bounds)
        h, angle, (x, y) = next(_number_places(plate, label, scale), last)
        dx, dy = (h / 2, 0.0) if angle else (0.0, -h / 2)
        yield Text((x / scale + dx, y / scale + dy), label, h, Layer.NOTE, angle=angle, align=Align.MIDDLE)


def _number_places(plate: Plate, label: str, scale: int) -> Iterator[tuple[float, float, Point]]:
    """Where a part takes its number: height, angle and middle; the largest first, level before upright."""
    for h, clear in product(NUMBERS, NUMBER_CLEAR):
        across, up = ((size + 2 * clear) * scale for size in (text_width(label, h), h))
        for angle, width, height in ((0.0, across, up), (90.0, up, across)):
            place = _solid_place(plate, width, height)
            if place is not None:
                yield h, angle, place


def _solid_place(plate: Plate, width: float, height: float) -> Point | None:
    """The place for a number nearest the part's middle whose box touches no cut, None where there is none."""
    left, bottom, right, top = plate.bounds
    middle = box_middle(plate.bounds)
    looks = [
        (left + (right - left) * i / LOOKS, bottom + (top - bottom) * j / LOOKS)
        for i in range(1, LOOKS)
        for j in range(1, LOOKS)
    ]
    looks.sort(key=lambda p: (round((p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2, 6), p))
    places, half = np.array([middle, *looks]), np.array([width / 2, height / 2])
    rings = [s.loop for s in plate.shapes]
    edges = np.concatenate(rings)
    for near in (places[:NEAREST], places[NEAREST:]):
        for x, y in near[_solid(rings, near, half)].tolist():
            if not bool((np.abs(edges - (x, y)) < half).all(axis=1).any()):
                return x, y
    return None


def _solid(rings: Sequence[Array], places: Array, half: Array) -> NDArray[np.bool_]:
    """Whether the corners and the middle of a box about each place (n, 2) lie on the material (n,)."""
    found = on_material(rings, places)
    points = np.concatenate([places[found] + half * signs for signs in CORNERS])
    found[found] = on_material(rings, points).reshape(len(CORNERS), -1).all(axis=0)
    return found


def _column(
    frame: Frame,
    fixture: Fixture,
    rows: Sequence[OrderRow],
    which: tuple[int, int],
    *,
    cautioned: bool,
    scale: str,
) -> Panel:
    panels = [
        parts_panel(rows, SMALL, COLUMN),
        text_block("totals", "For a quotation", _totals(fixture, rows, which), COLUMN, text_height=SMALL),
        *([cautions_across(COLUMN, SMALL)] if cautioned else []),
        title_panel(frame, NEST, scale, COLUMN),
    ]
    return stack_panels("column", panels)


def _totals(fixture: Fixture, rows: Sequence[OrderRow], which: tuple[int, int]) -> tuple[str, ...]:
    p = fixture.settings.process
    number, count = which
    cut = sum(r.quantity * r.cut_length for r in rows) / 1000.0
    starts = sum(r.quantity * r.contours for r in rows)
    sheets = "sheet" if count == 1 else "sheets"
    return (
        f"Stock sheet {number} of {count}: {count} {sheets} of {p.sheet[0]:g} x {p.sheet[1]:g} x "
        f"{p.thickness:g} mm, {shown_material(p.material, SMALL)}.",
        f"All parts together: {format_number(total_weight(rows), 2)} kg, {format_number(cut, 1)} m of cut, "
        f"{starts} contours.",
        f"Nominal size, no kerf allowance: the supplier compensates (about {p.kerf:g} mm). Least hole "
        f"{p.least_hole:g} mm, least web {p.least_web:g} mm, least inside radius {p.inner_radius:g} mm. "
        "The nest is by bounding boxes, only for a quotation.",
    )

"""The order list: a row for each part, as it is sent to the supplier."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from layout.bench.plates.fixture import Fixture
from layout.drafting.numbers import format_number
from layout.drafting.spreadsheet import csv_text
from layout.geometry.plates.plate import Plate

HEADINGS = (
    "part",
    "file",
    "quantity",
    "material",
    "thickness mm",
    "width mm",
    "height mm",
    "contours",
    "cut length mm",
    "area mm2",
    "weight kg",
    "note",
)
NOTE = "mm; nominal size, no kerf allowance: supplier compensates; layer CUT: cut; layer ENGRAVE: engrave"


class OrderRow(NamedTuple):
    """One part of the list; `area` (mm2) and `weight` (kg) are of one piece."""

    name: str
    file: str
    quantity: int
    material: str
    thickness: float
    size: tuple[float, float]
    contours: int
    cut_length: float
    area: float
    weight: float


def file_stem(plate: Plate) -> str:
    """What a part's file is called after the job's own name: part and thickness, with its unit.

    >>> from layout.geometry.plates.contour import Round
    >>> file_stem(Plate("bb_clamp", 6.0, Round((0.0, 0.0), 20.0)))
    'plate-bb-clamp-6mm'
    """
    return f"plate-{plate.name.replace('_', '-')}-{plate.thickness:g}mm"


def order_rows(fixture: Fixture, stem: str) -> tuple[OrderRow, ...]:
    """The list, in the order of the parts; `stem` is the job's name that files begin with."""
    process = fixture.settings.process
    return tuple(
        OrderRow(
            plate.name,
            f"{stem}-{file_stem(plate)}.dxf",
            plate.quantity,
            process.material,
            thickness=plate.thickness,
            size=plate.size,
            contours=len(plate.shapes),
            cut_length=plate.cut_length,
            area=plate.area,
            weight=plate.weight(process.density),
        )
        for plate in fixture.plates
    )


def order_csv(rows: Sequence[OrderRow], note: str) -> str:
    """The list as comma-separated values (RFC 4180), a heading first, decimal points, totals last.

    `note` stands beside the totals: what a plate cannot say, since a cutter burns all that is sent.
    """
    return csv_text([HEADINGS, *(_cells(r) for r in rows), _totals(rows, note)])


def _cells(row: OrderRow) -> tuple[str, ...]:
    return (
        row.name.replace("_", " "),
        row.file,
        str(row.quantity),
        row.material,
        f"{row.thickness:g}",
        format_number(row.size[0], 1),
        format_number(row.size[1], 1),
        str(row.contours),
        format_number(row.cut_length, 0),
        format_number(row.area, 0),
        format_number(row.weight, 3),
        NOTE,
    )


def _totals(rows: Sequence[OrderRow], note: str) -> tuple[str, ...]:
    pieces = sum(r.quantity for r in rows)
    length = format_number(sum(r.quantity * r.cut_length for r in rows), 0)
    area = format_number(sum(r.quantity * r.area for r in rows), 0)
    weight = format_number(total_weight(rows), 3)
    return ("all parts", "", str(pieces), *[""] * 5, length, area, weight, note)


def total_weight(rows: Sequence[OrderRow]) -> float:
    """Weight of all pieces, kg."""
    return sum(r.quantity * r.weight for r in rows)

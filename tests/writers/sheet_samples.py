"""Drawings and sheets that several folders of tests write, read and measure."""

from __future__ import annotations

import math

import pytest

from layout.drafting.entities import (
    Align,
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.style import Layer, Pattern, Pen
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers.document import DocumentInfo

POINTS = {
    "bb": (0.0, 0.0),
    "rear_axle": (-411.234567, 68.5),
    "front_axle": (601.333333, 70.0),
    "head_tube_top": (401.7, 571.9),
}

WORDS = "Façade Ø28.6 ±0.5 73.0° łódź (a\\b) <&> 100 %"


def cross(name: str, x: float, y: float) -> list[Entity]:
    return [
        Line((x - 35, y), (x + 35, y), Layer.POINT),
        Line((x, y - 35), (x, y + 35), Layer.POINT),
        ControlPoint(name, (x, y)),
    ]


def dimensions() -> list[Entity]:
    bb, front = POINTS["bb"], POINTS["front_axle"]
    slope = math.degrees(math.atan2(70.0, 601.333333))
    gap = LengthDimension(
        "gap",
        (-60.0, 200.0),
        (-60.0, 206.0),
        90.0,
        line_at=(-30.0, 200.0),
        text_at=(-10.0, 201.0),
        text_angle=0.0,
        label="gap",
        height=5.0,
        arrows_outside=True,
        leader=(-30.0, 190.0),
    )
    return [
        LengthDimension(
            "front_centre",
            bb,
            front,
            0.0,
            line_at=(0.0, -120.0),
            text_at=(300.0, -118.0),
            text_angle=0.0,
            label="level",
        ),
        LengthDimension(
            "straight",
            bb,
            front,
            slope,
            line_at=(0.0, -160.0),
            text_at=(290.0, -124.0),
            text_angle=slope,
            decimals=2,
        ),
        gap,
        LengthDimension(
            "noted",
            bb,
            (0.0, 40.0),
            90.0,
            line_at=bb,
            text_at=(60.0, 30.0),
            text_angle=0.0,
            label="BB",
            line_drawn=False,
        ),
        AngleDimension(
            "seat_angle",
            bb,
            (-150.0, 0.0),
            (-150.0, -480.0),
            radius=80.0,
            text_at=(-120.0, -40.0),
            label="seat",
        ),
    ]


def every_kind_of_entity() -> Drawing:
    """A drawing small enough to read that holds each entity, each layer and each pattern."""
    dashed, thick = Pen(0.25, Pattern.DASHED), Pen(0.5, Pattern.CHAIN)
    bb = POINTS["bb"]
    entities: list[Entity] = [
        Circle(POINTS["rear_axle"], 341.0, Layer.WHEEL),
        Arc(POINTS["front_axle"], 350.0, -30.0, 200.0, layer=Layer.WHEEL),
        Line(bb, POINTS["head_tube_top"], Layer.CENTRE),
        Line(bb, (-150.0, 480.0), Layer.OUTLINE),
        Line((0.0, -60.0), (300.0, -60.0), Layer.HIDDEN),
        Line((-450.0, 0.0), (650.0, 0.0), Layer.DATUM, thick),
        Circle(bb, 20.0, Layer.FITTING),
        Arc(bb, 170.0, 10.0, 350.0, layer=Layer.OUTLINE, pen=dashed),
        Polyline(((-100.0, 200.0), (-80.0, 260.0), (-60.0, 200.0)), Layer.OUTLINE, closed=True),
        Polyline(((100.0, 200.0), (120.0, 260.0), (140.0, 200.0), (160.0, 260.0)), Layer.FITTING),
        Text((-300.0, 500.0), WORDS, 7.0),
        Text((500.0, 300.0), "seen from the right", 5.0, Layer.NOTE, angle=90.0, align=Align.MIDDLE),
        Text((300.0, 640.0), "sloping words", 5.0, Layer.SHEET, angle=30.0, align=Align.END),
    ]
    entities += dimensions()
    entities += [e for name, (x, y) in POINTS.items() for e in cross(name, x, y)]
    return Drawing("Every kind of entity", tuple(entities))


def furniture(width: float, height: float, name: str) -> Drawing:
    border = ((10.0, 10.0), (width - 10, 10.0), (width - 10, height - 10), (10.0, height - 10))
    return Drawing(
        f"furniture of {name}",
        (
            Polyline(border, Layer.SHEET, closed=True, pen=Pen(0.5)),
            Text((20.0, 15.0), f"sheet {name}", 3.5, Layer.SHEET),
            Line((20.0, 30.0), (120.0, 30.0), Layer.SHEET),
        ),
    )


def roll_sheet(
    drawing: Drawing,
    stretch: tuple[float, float] = (1.0, 1.0),
    turn: int = 0,
    clip: Rect | None = None,
) -> Sheet:
    """One long sheet that holds the whole sample; turned once, it stands on end."""
    width, height = 1900.0, 1067.0
    at = (800.0, 330.0)
    for _ in range(turn % 4):
        at, width, height = (height - at[1], at[0]), height, width
    placement = Placement(drawing, at[0], at[1], turn, clip)
    sheet_furniture = furniture(width, height, "roll")
    return Sheet("roll", "roll-1067", "drawing", width, height, (placement,), sheet_furniture, stretch)


def tile_sheets(drawing: Drawing, stretch: tuple[float, float] = (1.0, 1.0)) -> tuple[Sheet, ...]:
    """A4 pages with margins and overlaps of 10 that between them show all of the sample."""
    room = Rect(10.0, 10.0, 200.0, 287.0)
    sheets = []
    for column in range(10):
        for row in range(4):
            name = f"{'ABCDEFGHIJ'[column]}{row + 1}"
            placement = Placement(drawing, 780.0 - 180 * column, 340.0 - 267 * row, 0, room)
            sheet_furniture = furniture(210.0, 297.0, name)
            sheets.append(Sheet(name, "a4", "tiles", 210.0, 297.0, (placement,), sheet_furniture, stretch))
    return tuple(sheets)


@pytest.fixture(scope="session")
def sample() -> Drawing:
    return every_kind_of_entity()


@pytest.fixture(scope="session")
def info() -> DocumentInfo:
    return DocumentInfo("Sample – façade", "A. Builder", "2025-03-01", "side view")


@pytest.fixture(scope="session")
def roll(sample: Drawing) -> Sheet:
    return roll_sheet(sample)


@pytest.fixture(scope="session")
def stretched_roll(sample: Drawing) -> Sheet:
    """A turned sheet with printer compensation."""
    return roll_sheet(sample, (1.0021, 0.9963), turn=1)


@pytest.fixture(scope="session")
def tiles(sample: Drawing) -> tuple[Sheet, ...]:
    return tile_sheets(sample)

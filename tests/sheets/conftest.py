"""A small arrangement for the tests of lay: a frame in few strokes, a table beside it, wheels round it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from layout.drafting.bounds import bounds
from layout.drafting.clip import clip
from layout.drafting.entities import (
    AngleDimension,
    Circle,
    ControlPoint,
    Drawing,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.rect import Rect
from layout.drafting.style import THICK, Layer, Pen
from layout.sheets.composition import Composition, PagedComposition

POINTS = {
    "bb": (0.0, 0.0),
    "rear_axle": (-424.0, 70.0),
    "front_axle": (606.0, 70.0),
    "head_tube_top": (386.0, 570.0),
    "head_tube_bottom": (430.5, 437.2),
    "seat_tube_top": (-153.3, 517.8),
}
TABLES = 400_000.0
"""What tables take, mm²: as those of a frame."""
TUBES = (
    ("bb", "seat_tube_top"),
    ("bb", "head_tube_bottom"),
    ("seat_tube_top", "head_tube_top"),
    ("head_tube_top", "head_tube_bottom"),
    ("head_tube_bottom", "front_axle"),
    ("bb", "rear_axle"),
    ("rear_axle", "seat_tube_top"),
)


def core_entities():
    for a, b in TUBES:
        (ax, ay), (bx, by) = POINTS[a], POINTS[b]
        length = math.hypot(bx - ax, by - ay)
        for off in (-15.0, 15.0):
            ox, oy = -(by - ay) / length * off, (bx - ax) / length * off
            yield Line((ax + ox, ay + oy), (bx + ox, by + oy), Layer.OUTLINE)
        yield Line((ax, ay), (bx, by), Layer.CENTRE)
    for name, (x, y) in POINTS.items():
        yield Line((x - 35.0, y), (x + 35.0, y), Layer.POINT)
        yield Line((x, y - 35.0), (x, y + 35.0), Layer.POINT)
        yield ControlPoint(name, (x, y))
    yield Circle(POINTS["bb"], 20.0, Layer.OUTLINE)
    yield LengthDimension(
        "wheelbase",
        POINTS["rear_axle"],
        POINTS["front_axle"],
        0.0,
        line_at=(0.0, -60.0),
        text_at=(90.0, -58.0),
        text_angle=0.0,
        label="wheelbase",
    )
    yield LengthDimension(
        "seat_tube_length",
        POINTS["bb"],
        POINTS["seat_tube_top"],
        106.5,
        line_at=(40.0, 12.0),
        text_at=(-40.0, 270.0),
        text_angle=-73.5,
    )
    yield AngleDimension(
        "head_angle", POINTS["front_axle"], (500.0, 70.0), (561.5, 203.0), radius=90.0, text_at=(500.0, 130.0)
    )


def table_entities():
    yield Polyline(
        ((700.0, -70.0), (880.0, -70.0), (880.0, 130.0), (700.0, 130.0)), Layer.SHEET, True, Pen(THICK)
    )
    for k in range(20):
        yield Text((705.0, 120.0 - 9.0 * k), f"row {k}  {100 + 17.3 * k:.1f}", 5.0)


def held_entities():
    """Outlines and points: what pages that join must hold."""
    return tuple(e for e in core_entities() if e.layer is Layer.OUTLINE or isinstance(e, ControlPoint))


def wheels():
    yield Circle(POINTS["rear_axle"], 340.0, Layer.WHEEL)
    yield Circle(POINTS["front_axle"], 340.0, Layer.WHEEL)
    yield Line((-600.0, -270.0), (900.0, -270.0), Layer.DATUM)


@dataclass(frozen=True)
class Sketch:
    """The core with a margin; the wheels and what is `around` cut to the room there is."""

    entities: tuple = (*core_entities(), *table_entities())
    margin: float = 20.0
    around: tuple = ()

    @property
    def window(self) -> Rect:
        return bounds(self.entities).grown(self.margin)

    @property
    def least_size(self):
        return self.window.width, self.window.height

    def composed(self, width=None, height=None):
        room = self.window
        more = max(0.0, min((height or room.height) - room.height, 300.0))
        room = Rect(room.left, room.bottom - more, room.right, room.top)
        around = tuple(piece for e in (*wheels(), *self.around) for piece in clip(e, room))
        return Composition(
            Drawing("sketch", (*around, *self.entities)), room, Drawing("sketch", self.entities)
        )


    @property
    def held(self):
        return Drawing("sketch", held_entities())

    @property
    def axes(self):
        return Drawing("sketch", tuple(e for e in core_entities() if e.layer is Layer.CENTRE))

    def paged(self, rooms):
        return PagedComposition(Drawing("sketch", (*wheels(), *self.around, *core_entities())))

    def table_pages(self, width, height, lost, taken=0.0):
        """Tables that fill whole pages, as many as TABLES take."""
        shared = (Drawing("tables 1", ()),) if taken else ()
        frame = Polyline(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), Layer.SHEET, True)
        page = Drawing("tables", (frame, Text((0.0, 0.0), "table", 5.0)))
        return (*shared, *([page] * math.ceil(TABLES / (width * height))))


@pytest.fixture(scope="session")
def sketch():
    return Sketch()


@pytest.fixture(scope="session")
def make_sketch():
    return Sketch

"""Moving and turning keep every length and angle, and quarter turns are exact."""

from __future__ import annotations

import pytest

from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Drawing,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.style import Layer
from layout.drafting.transform import move, turn_quarters
from layout.sheets.sheet import Placement

ALL = (
    Line((1.1, 2.2), (3.3, 4.4), Layer.CENTRE),
    Arc((1.0, 2.0), 5.0, 10.0, 50.0, layer=Layer.WHEEL),
    Circle((1.0, 2.0), 5.0, Layer.WHEEL),
    Polyline(((0.0, 0.0), (1.0, 0.5), (2.0, 7.0)), Layer.OUTLINE, closed=True),
    Text((4.0, 5.0), "BB", 7.0, angle=30.0),
    ControlPoint("bb", (0.1, -0.2)),
    LengthDimension(
        "reach",
        (0.0, 0.0),
        (380.0, 560.0),
        0.0,
        line_at=(0.0, 600.0),
        text_at=(190.0, 603.0),
        text_angle=0.0,
        label="reach",
        leader=(1.0, 2.0),
    ),
    AngleDimension(
        "head", (0.0, 0.0), (1.0, 0.0), (1.0, 3.0), radius=80.0, text_at=(90.0, 10.0), leader=(5.0, 6.0)
    ),
    DatumLine((0.0, 70.0), 0.0, "axle line"),
)


@pytest.mark.parametrize("entity", ALL, ids=lambda e: type(e).__name__)
def test_four_quarter_turns_change_no_coordinate(entity):
    once = turn_quarters(entity, 1)
    assert once != entity
    back = turn_quarters(turn_quarters(turn_quarters(once, 1), 1), 1)
    if isinstance(entity, Arc):
        assert (back.centre, back.start_angle - 360.0) == (entity.centre, entity.start_angle)
    for name in (
        "start",
        "end",
        "centre",
        "points",
        "at",
        "vertex",
        "text_at",
        "leader",
        "through",
        "line_at",
    ):
        assert getattr(back, name, None) == getattr(entity, name, None)


@pytest.mark.parametrize("entity", ALL, ids=lambda e: type(e).__name__)
def test_two_half_turns_are_two_single_ones_twice(entity):
    assert turn_quarters(turn_quarters(entity, 1), 1) == turn_quarters(entity, 2)
    assert turn_quarters(entity, 4) == entity


@pytest.mark.parametrize("entity", ALL, ids=lambda e: type(e).__name__)
def test_moving_there_and_back(entity):
    there = move(entity, 64.0, -128.0)
    assert there != entity
    back = move(there, -64.0, 128.0)
    for name in ("start", "end", "centre", "at", "vertex", "text_at", "through", "line_at"):
        if getattr(entity, name, None) is not None:
            assert getattr(back, name) == pytest.approx(getattr(entity, name), abs=1e-12)


def test_dimensions_keep_their_value():
    for entity in ALL[6:8]:
        for quarter in range(4):
            assert move(turn_quarters(entity, quarter), 33.3, -7.7).value == pytest.approx(
                entity.value, abs=1e-9
            )


def test_a_drawing_moves_as_a_whole_like_its_placement():
    drawing = Drawing("side view", ALL)
    for turn in range(4):
        placement = Placement(drawing, 12.0, 34.0, turn)
        done = move(turn_quarters(drawing, turn), 12.0, 34.0)
        assert done.points()["bb"] == pytest.approx(placement.to_sheet((0.1, -0.2)))
        assert len(done.entities) == len(ALL)
        assert done.title == "side view"

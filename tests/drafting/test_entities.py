"""Entities go to other processes and are copied as the plain values they are."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError

import pytest

from layout.drafting.entities import (
    Align,
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    DatumLine,
    Entity,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.style import Layer, Pattern, Pen

EVERY_KIND: tuple[Entity, ...] = (
    Line((0.0, 1.0), (2.0, 3.0), Layer.POINT, Pen(0.35, Pattern.DASHED)),
    Arc((0.0, 0.0), 5.0, 10.0, 20.0, layer=Layer.WHEEL),
    Circle((0.0, 0.0), 5.0, Layer.WHEEL),
    Polyline(((0.0, 0.0), (1.0, 1.0)), Layer.OUTLINE, closed=True),
    Text((0.0, 0.0), "façade", 5.0, Layer.DIM, angle=30.0, align=Align.END),
    ControlPoint("bb", (0.0, 0.0)),
    LengthDimension(
        "reach", (0.0, 0.0), (9.0, 0.0), 0.0, line_at=(0.0, 5.0), text_at=(4.0, 5.0), text_angle=0.0,
        value_first=True, leader=(1.0, 1.0),
    ),
    AngleDimension("head", (0.0, 0.0), (1.0, 0.0), (0.0, 1.0), radius=5.0, text_at=(3.0, 3.0), decimals=2),
    DatumLine((0.0, 0.0), 90.0, "BB plumb"),
)  # fmt: skip


@pytest.mark.parametrize("entity", EVERY_KIND, ids=lambda e: type(e).__name__)
def test_an_entity_comes_back_whole_and_still_frozen(entity: Entity) -> None:
    for again in (pickle.loads(pickle.dumps(entity)), copy.copy(entity), copy.deepcopy(entity)):
        assert type(again) is type(entity)
        assert (again, hash(again), repr(again)) == (entity, hash(entity), repr(entity))
        with pytest.raises(FrozenInstanceError):
            again.layer = Layer.NOTE

"""The measure of what lies on what finds what is wrong, and nothing else."""

from __future__ import annotations

import pytest
from crowding import LINE, overlaps

from layout.drafting.entities import Circle, Drawing, Entity, LengthDimension, Line, Polyline, Text
from layout.drafting.style import Layer

WORDS = Text((0.0, 0.0), "rear centre", 7.0)


@pytest.mark.parametrize(
    ("other", "found"),
    [
        (Text((5.0, 2.0), "430.0", 7.0), "430.0"),
        (Line((3.0, -5.0), (3.0, 9.0), Layer.OUTLINE), LINE),
        (Line((3.0, -0.2), (9.0, -0.2), Layer.OUTLINE), LINE),
        (Line((-5.0, 4.0), (50.0, 4.0), Layer.SHEET), LINE),
        (Polyline(((3.0, -5.0), (3.0, 9.0)), Layer.OUTLINE), LINE),
        (Polyline(((-30.0, 3.0), (-30.0, 90.0), (90.0, 90.0), (90.0, 3.0)), Layer.SHEET, closed=True), LINE),
        (Circle((0.0, 20.0), 18.0, Layer.OUTLINE), LINE),
    ],
)
def test_what_lies_on_the_lettering_is_found(other: Entity, found: str) -> None:
    assert overlaps(Drawing("one on the other", (WORDS, other))) == [(WORDS.text, found)]


@pytest.mark.parametrize(
    "other",
    [
        Text((0.0, 12.0), "430.0", 7.0),
        Line((3.0, -5.0), (3.0, 9.0), Layer.CENTRE),
        Line((3.0, -5.0), (90.0, -5.0), Layer.OUTLINE),
        Circle((3.0, 3.0), 90.0, Layer.OUTLINE),
        Polyline(((-30.0, 3.0), (-30.0, 90.0), (90.0, 90.0), (90.0, 3.0)), Layer.SHEET, closed=False),
        Text((5.0, 2.0), " ", 7.0),
    ],
)
def test_what_lies_clear_or_is_thin_is_not(other: Entity) -> None:
    assert overlaps(Drawing("clear of each other", (WORDS, other))) == []


def test_the_lettering_of_a_dimension_is_seen() -> None:
    dimension = LengthDimension(
        "rear_centre",
        (0.0, 0.0),
        (430.0, 0.0),
        0.0,
        line_at=(0.0, 20.0),
        text_at=(200.0, 22.0),
        text_angle=0.0,
    )
    (text,) = [t for t, _ in overlaps(Drawing("d", (dimension, Text((200.0, 20.0), "over it", 20.0))))]
    assert "430.0" in text

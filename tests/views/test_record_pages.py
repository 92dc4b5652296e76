"""The inspection record's pages: every dimension once, nothing overlaps, room to sign."""

from __future__ import annotations

import pytest
from crowding import TOUCH, overlaps
from shapely.geometry import box

from layout.drafting.bounds import bounds
from layout.drafting.entities import Text
from layout.frame.solve import Job
from layout.sheets.forms import form_room
from layout.sheets.media import medium
from layout.views.record import Record, RecordBlock, RecordLine, pages

ROOM = form_room(medium("a4"))


def record(count: int, blocks: int = 3) -> Record:
    lines = tuple(
        RecordLine(f"dimension_{k}", "mm", 100.0, 101.26, 0.3, 1.0, k % 3 == 0) for k in range(count)
    )
    said = tuple(
        RecordBlock(f"Block {k}", ("Some words that go on for a while. " * 6,) * 3) for k in range(blocks)
    )
    return Record(Job(number="7", title="A frame"), "FAIL: out of tolerance.", "Because. " * 20, lines, said)


@pytest.mark.parametrize("count", [0, 1, 20, 45, 90])
def test_every_dimension_stands_once_and_nothing_overlaps(count: int) -> None:
    drawn = pages(record(count), *ROOM)
    paper = box(0.0, 0.0, *ROOM).buffer(TOUCH)
    said = [e.text for page in drawn for e in page if isinstance(e, Text)]
    assert [t for t in said if t.startswith("dimension ")] == [f"dimension {k}" for k in range(count)]
    for page in drawn:
        assert overlaps(page) == []
        within = bounds(page)
        assert within is not None
        assert paper.contains(box(within.left, within.bottom, within.right, within.top))
    words = [e.text for e in drawn[-1] if isinstance(e, Text)]
    assert "measured by" in words and f"{len(drawn)} of {len(drawn)}" in words


def test_deviations_carry_their_sign_and_verdict() -> None:
    lines = (
        RecordLine("trail", "mm", 60.0, 61.26, 0.3, 1.0, False),
        RecordLine("head_angle", "deg", 72.0, 72.004, 0.05, 0.2, True),
        RecordLine("seat_angle", "deg", 73.0, 72.9, 0.05, 0.2, True),
        RecordLine("dropout_spacing", "mm", None, 142.8, 0.5, 1.0, None),
    )
    (page,) = pages(Record(Job(), "FAIL", "", lines, ()), *ROOM)
    words = [e.text for e in page if isinstance(e, Text)]
    for text in ("+1.3", "OUT", "0.00°", "-0.10°", "ok", "142.8"):
        assert text in words
    assert "+0.00°" not in words

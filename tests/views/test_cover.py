"""How far parts cover a line, by hand."""

from __future__ import annotations

import pytest

from layout.views.side.coverage import BarCover, RoundCover, covered_length


@pytest.mark.parametrize(
    ("at", "direction", "reach"),
    [
        ((0.0, 0.0), 0.0, 100.0),
        ((0.0, 0.0), 180.0, 20.0),
        ((0.0, 0.0), 90.0, 20.0),
        ((50.0, 0.0), 90.0, 10.0),
        ((50.0, 30.0), 90.0, 0.0),
        ((200.0, 0.0), 180.0, 0.0),
    ],
)
def test_cover_is_measured_through_parts_that_touch(at, direction, reach):
    parts = [BarCover("tube", (0.0, 0.0), (100.0, 0.0), 10.0, 10.0), RoundCover((0.0, 0.0), 20.0)]
    assert covered_length(at, direction, parts) == pytest.approx(reach, abs=1e-9)

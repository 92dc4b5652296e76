"""Standover is measured over the middle of the top tube: of a tapered one its diameter there."""

from __future__ import annotations

import math

import pytest

from layout.frame.solve import solve
from layout.spec.load import loads

NUMBERS = """geometry: {bb_drop: 70, rear_centre: 430, front_centre: 604, head_angle: 71.5, seat_angle: 73,
  head_tube_length: 140, seat_tube_length: 540, top_tube_slope: 5}
fork: {axle_to_crown: 390, offset: 45}
"""


@pytest.mark.parametrize(
    ("sizes", "middle"),
    [
        ("diameter: 28.6", 28.6),
        ("diameter: 28, diameter_end: 36", 32.0),
        ("diameter: 36, diameter_end: 28", 32.0),
    ],
)
def test_standover_takes_the_diameter_at_mid_length(sizes: str, middle: float) -> None:
    """The first end's, or the last's, lived through every test: 4 mm of standover."""
    frame = solve(loads(f"{NUMBERS}tubes: {{top_tube: {{{sizes}}}}}\n"))
    plane = frame.plane
    (hx, hy), (sx, sy) = plane.points["top_tube_at_head"], plane.points["top_tube_at_seat"]
    slope = math.atan2(hy - sy, hx - sx)
    ground = plane.dimensions["bb_height"]
    expected = ground + (hy + sy) / 2 + middle / 2 / math.cos(slope)
    assert plane.dimensions["standover"] == pytest.approx(expected, abs=1e-6)

"""What a frame that is not level adds to readings, against plain turning of its points."""

from __future__ import annotations

import math

import pytest

from layout.checks.level import leaning

POINTS = {
    "bb": (0.0, 0.0),
    "rear_axle": (-424.0, 70.0),
    "front_axle": (600.0, 75.0),
    "head_tube_top": (385.0, 570.0),
}


@pytest.mark.parametrize("moved", [(0.0, 0.0), (150.0, -40.0)])
@pytest.mark.parametrize("name", ["bb_drop", "stack", "reach", "front_centre_horizontal", "rear_centre"])
def test_a_lean_adds_what_turning_the_frame_by_hand_does(name: str, moved: tuple[float, float]):
    """Wherever the drawing's origin lies: about the BB, a degree takes each point round by its distance."""
    points = {n: (x + moved[0], y + moved[1]) for n, (x, y) in POINTS.items()}
    a = math.radians(-0.01)

    def measured(turn: float) -> float:
        at = {n: (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
              for n, (x, y) in POINTS.items()}  # fmt: skip
        return {
            "bb_drop": at["rear_axle"][1],
            "stack": at["head_tube_top"][1],
            "reach": at["head_tube_top"][0],
            "front_centre_horizontal": at["front_axle"][0],
            "rear_centre": math.hypot(*at["rear_axle"]),
        }[name]

    assert leaning(name, points) == pytest.approx((measured(a) - measured(0.0)) / 0.01, abs=0.01)

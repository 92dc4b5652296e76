"""Frames of every size are frames: solved from any set of their numbers, and drawn.

Sizes are made up within common practice: a child's 16 inch, a 36 inch, a long cargo frame, a
step-through, a fork turned round, a 20 inch with a 300 head tube.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import NAMES, Values, condition, dimensions_of, is_possible, sufficient

from layout.cli.commands import run
from layout.geometry.dimensions.practice import usual_range
from layout.geometry.solver import solve_frame, solve_frames

SETS = 25
WELL_CONDITIONED = 1e4
SIZES: dict[str, Values] = {
    "child's 16 inch": {
        "bb_drop": -25, "rear_centre": 300, "front_centre": 455, "radius": 203, "head_angle": 69,
        "fork_offset": 30, "axle_to_crown": 238, "head_tube_length": 80, "seat_angle": 69,
        "seat_tube_length": 230,
    },
    "36 inch": {
        "bb_drop": 130, "rear_centre": 500, "front_centre": 735, "radius": 452, "head_angle": 70,
        "fork_offset": 70, "axle_to_crown": 505, "head_tube_length": 85, "seat_angle": 73,
        "seat_tube_length": 460,
    },
    "long cargo": {
        "bb_drop": 10, "rear_centre": 1080, "front_centre": 640, "radius": 260, "head_angle": 70,
        "fork_offset": 45, "axle_to_crown": 330, "head_tube_length": 230, "seat_angle": 70,
        "seat_tube_length": 480,
    },
    "step-through": {
        "bb_drop": 60, "rear_centre": 450, "front_centre": 640, "radius": 345, "head_angle": 68,
        "fork_offset": 60, "axle_to_crown": 390, "head_tube_length": 220, "seat_angle": 68,
        "seat_tube_length": 480, "top_tube_at_head": 150, "top_tube_at_seat": 330,
    },
    "reversed fork": {
        "bb_drop": 0, "rear_centre": 390, "front_centre": 545, "radius": 335, "head_angle": 73,
        "fork_offset": -45, "axle_to_crown": 370, "head_tube_length": 120, "seat_angle": 73,
        "seat_tube_length": 560,
    },
    "20 inch, 300 head tube": {
        "bb_drop": -40, "rear_centre": 400, "front_centre": 600, "radius": 240, "head_angle": 72,
        "fork_offset": 40, "axle_to_crown": 300, "head_tube_length": 300, "seat_angle": 72,
        "seat_tube_length": 480,
    },
}  # fmt: skip


def base(size: Values) -> Values:
    """Base parameters of a size."""
    drop, radius = size["bb_drop"], size["radius"]
    return {
        "bb_drop": float(drop),
        "rear_centre_horizontal": (size["rear_centre"] ** 2 - drop**2) ** 0.5,
        "front_centre_horizontal": (size["front_centre"] ** 2 - drop**2) ** 0.5,
        "rear_radius": float(radius),
        "front_radius": float(radius),
        "head_angle": float(size["head_angle"]),
        "fork_offset": float(size["fork_offset"]),
        "fork_length_on_axis": (size["axle_to_crown"] ** 2 - size["fork_offset"] ** 2) ** 0.5,
        "lower_stack": 12.0,
        "head_tube_length": float(size["head_tube_length"]),
        "upper_stack": 15.0,
        "seat_angle": float(size["seat_angle"]),
        "seat_tube_length": float(size["seat_tube_length"]),
        "top_tube_at_head": float(size.get("top_tube_at_head", 32)),
        "top_tube_at_seat": float(size.get("top_tube_at_seat", 45)),
        "down_tube_at_head": 34.0,
    }


@pytest.mark.parametrize("size", SIZES)
def test_it_is_found_from_any_set_of_its_numbers(size: str) -> None:
    frame = base(SIZES[size])
    assert is_possible(frame)
    truth, tried = dimensions_of(frame), 0
    for seed in range(SETS):
        rng = random.Random(seed)
        names = sufficient(["rear_radius", "front_radius", *rng.sample(NAMES, len(NAMES))])
        if condition(names, frame) > WELL_CONDITIONED:
            continue
        tried += 1
        found = solve_frames({n: truth[n] for n in names})
        assert any(all(abs(s.dimensions[n] - v) < 1e-6 for n, v in truth.items()) for s in found), names
    assert tried > SETS // 3


@pytest.mark.parametrize("size", [n for n in SIZES if n not in ("reversed fork", "step-through")])
def test_little_of_it_is_called_unusual(size: str) -> None:
    """By its own wheels: what is left is what it is known for, as a cargo frame for its length."""
    truth = dimensions_of(base(SIZES[size]))
    found = solve_frame({n: truth[n] for n in ("rear_radius", "front_radius", *_JIG)})
    assert sum(w.code == "unusual" for w in found.warnings) <= 4


_JIG = (
    "bb_drop", "rear_centre", "front_centre", "head_angle", "seat_angle", "head_tube_length", "axle_to_crown",
    "fork_offset", "seat_tube_length", "top_tube_at_head", "top_tube_at_seat",
)  # fmt: skip


def test_what_is_usual_follows_the_wheels() -> None:
    assert usual_range("rear_centre", 203.0) != usual_range("rear_centre", 348.0)
    assert usual_range("rear_centre", 452.0)[0] > usual_range("rear_centre", 348.0)[1] - 20.0
    assert usual_range("head_angle", 452.0) == usual_range("head_angle", 348.0)


@pytest.mark.parametrize("size", SIZES)
def test_it_is_drawn(size: str, tmp_path: Path) -> None:
    truth = dimensions_of(base(SIZES[size]))
    radius = truth["rear_radius"]
    own = {n: truth[n] for n in _JIG if n not in ("axle_to_crown", "fork_offset")}
    spec = tmp_path / "frame.yaml"
    spec.write_text(
        f"geometry: {{{', '.join(f'{n}: {v:.6f}' for n, v in own.items())}}}\n"
        f"fork: {{axle_to_crown: {truth['axle_to_crown']:.6f}, offset: {truth['fork_offset']:.6f}}}\n"
        f"wheels: {{front: {{radius: {radius}}}, rear: {{radius: {radius}}}}}\n"
    )
    assert run(["draw", str(spec), "--out", str(tmp_path), "--format", "svg", "--media", "roll-1067"]) == 0
    assert (tmp_path / "frame-roll-1067.svg").stat().st_size > 10_000

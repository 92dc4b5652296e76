"""Solved frames against python-solvespace, a general geometric constraint solver.

Eight sets of known dimensions, five random frames each, and the three sets of a builder's
daily work on ten more. The sketch starts a few millimetres off, as the solver's other roots
are not in question here; ours starts from the numbers alone.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "geometry"))
sys.path.insert(0, str(Path(__file__).parent))

from frame_maker import dimensions_of, sane_frame, whole
from solver_sketch import MOVABLE, Sketch

from layout.geometry.plane import Plane, points
from layout.geometry.solver import solve_frames

AGREED = 1e-6
PARTS = ("rear_radius", "front_radius", "lower_stack")
HEAD = ("crown_race",)


def _forked(s: Sketch, g: dict, on_axis: tuple[str, ...] = HEAD) -> None:
    """What every set has: wheels on the ground, a fork on its axis, the parts of the head."""
    s.fork(*on_axis)
    s.ground(g["rear_radius"], g["front_radius"])
    s.apart("crown_race", "head_tube_bottom", g["lower_stack"])
    if "axle_to_crown" in g:
        s.apart("crown_race", "front_axle", g["axle_to_crown"])
    if "fork_offset" in g:
        s.apart("fork_foot", "front_axle", g["fork_offset"])
    if "head_tube_length" in g:
        s.apart("head_tube_bottom", "head_tube_top", g["head_tube_length"])
    if "bb_drop" in g:
        s.from_line("rear_axle", s.level, -g["bb_drop"])
    if "rear_centre" in g:
        s.apart("bb", "rear_axle", g["rear_centre"])
    if "front_centre" in g:
        s.apart("bb", "front_axle", g["front_centre"])
    if "wheelbase" in g:
        s.apart("rear_contact", "front_contact", g["wheelbase"])
    if "head_angle" in g:
        s.head_angle(g["head_angle"])
    if "stack" in g:
        s.from_line("head_tube_top", s.level, -g["stack"])
    if "reach" in g:
        s.from_line("head_tube_top", s.plumb, g["reach"])
    if "trail" in g:
        s.trail(g["trail"])
    if "top_tube_effective" in g:
        s.top_tube_effective(g["top_tube_effective"], s.leaning(g["seat_angle"]))


def _old_frame(s: Sketch, g: dict) -> None:
    """Top tube and seat tube of a frame that was measured."""
    _forked(s, g, (*HEAD, "top_tube_at_head"))
    seat = s.leaning(g["seat_angle"])
    s.sys.coincident(s.at["top_tube_at_seat"], seat, s.wp)
    s.apart("bb", "top_tube_at_seat", g["seat_tube_cc"])
    s.apart("head_tube_top", "top_tube_at_head", g["top_tube_at_head"])
    s.apart("top_tube_at_head", "top_tube_at_seat", g["top_tube_length"])


def _down_tube(s: Sketch, g: dict) -> None:
    _forked(s, g, (*HEAD, "down_tube_at_head"))
    s.apart("head_tube_bottom", "down_tube_at_head", g["down_tube_at_head"])
    s.apart("bb", "down_tube_at_head", g["down_tube_length"])


SETS = {
    "drop, centres, angles": (
        "bb_drop rear_centre front_centre head_angle seat_angle axle_to_crown fork_offset head_tube_length",
        _forked,
    ),
    "stack and reach": (
        "stack reach head_angle seat_angle bb_drop rear_centre axle_to_crown fork_offset",
        _forked,
    ),
    "wheelbase and trail": (
        "wheelbase trail top_tube_effective seat_angle bb_drop rear_centre head_tube_length axle_to_crown",
        _forked,
    ),
    "wheelbase, trail, head angle": (
        "wheelbase trail head_angle seat_angle bb_drop rear_centre head_tube_length axle_to_crown",
        _forked,
    ),
    "front centre and reach": (
        "front_centre reach seat_angle bb_drop rear_centre head_tube_length axle_to_crown fork_offset",
        _forked,
    ),
    "fork length found": (
        "stack front_centre head_angle seat_angle bb_drop rear_centre head_tube_length fork_offset",
        _forked,
    ),
    "an old frame's tubes": (
        "top_tube_length seat_tube_cc top_tube_at_head head_angle seat_angle bb_drop rear_centre"
        " axle_to_crown fork_offset head_tube_length",
        _old_frame,
    ),
    "down tube length": (
        "down_tube_length down_tube_at_head head_angle seat_angle bb_drop rear_centre axle_to_crown"
        " fork_offset head_tube_length",
        _down_tube,
    ),
}
DAILY = list(SETS)[:3]


def _points(frame: dict) -> dict[str, tuple[float, float]]:
    """Every point of the sketch at a frame, to start from."""
    plane = Plane(whole(frame))
    found = points(plane)
    (ax, ay), (fx, fy) = found["front_axle"], found["fork_foot"]
    found["mirror"] = (2 * fx - ax, 2 * fy - ay)
    trail = plane.mechanical_trail / plane.head_sincos[0]
    contact = found["front_contact"]
    found["axis_at_ground"] = (contact[0] + trail, contact[1])
    tx, ty = found["head_tube_top"]
    found["seat_at_stack"] = (tx - 550.0, ty)
    return {n: found[n] for n in MOVABLE}


def _compare(name: str, rng: random.Random) -> None:
    names, constrain = SETS[name]
    frame = {**sane_frame(rng), "bb_drop": rng.uniform(20.0, 85.0)}
    truth = dimensions_of(frame)
    given = {n: truth[n] for n in (*names.split(), *PARTS)}
    near = {n: (x + rng.uniform(-3, 3), y + rng.uniform(-3, 3)) for n, (x, y) in _points(frame).items()}
    sketch = Sketch(near)
    constrain(sketch, given)
    theirs = sketch.solve()
    ours = [s.points for s in solve_frames(given)]
    shared = ("rear_axle", "front_axle", "fork_foot", "crown_race", "head_tube_bottom", "head_tube_top")
    off = [max(abs(a - b) for n in shared for a, b in zip(s[n], theirs[n], strict=True)) for s in ours]
    assert min(off) < AGREED, f"{name}: {min(off)}"


@pytest.mark.parametrize("name", SETS)
def test_eight_sets_agree_on_five_frames_each(name):
    rng = random.Random(8)
    for _ in range(5):
        _compare(name, rng)


@pytest.mark.parametrize("name", DAILY)
def test_the_daily_sets_agree_on_ten_more_frames(name):
    rng = random.Random(10)
    for _ in range(10):
        _compare(name, rng)

"""Simulated builds: the estimates are as good as they say, and misreadings are found.

A frame is built a little off its design, measured with instruments of known noise, and one reading
in it is gross. What the readings would be is worked out here by plain trigonometry, from
the frame's parameters, by nothing that the program uses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from layout.checks.inspect import Inspection, inspect
from layout.frame.solve import Frame, solve
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.spec.load import load
from layout.spec.model import Tolerance
from layout.spec.readings import PrintedSheet, Reading, ReadingKind, Readings

DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
SEEDS = 1000
TAPE, GAUGE = 0.5, 0.15
"""One standard deviation of the instruments; common practice, as in the spec's defaults."""
BUILT = {
    "bb_drop": 1.5, "rear_centre_horizontal": 1.5, "front_centre_horizontal": 2.0, "head_angle": 0.25,
    "seat_angle": 0.25, "head_tube_length": 0.5, "seat_tube_length": 1.5, "top_tube_at_head": 1.0,
    "top_tube_at_seat": 1.0, "down_tube_at_head": 1.0,
}  # fmt: skip
"""How far builds scatter about their design, one standard deviation, mm and degrees."""
DISTANCES = (
    ("rear_axle", "front_axle"), ("rear_axle", "bb"), ("bb", "front_axle"), ("bb", "head_tube_top"),
    ("bb", "seat_tube_top"), ("rear_axle", "head_tube_top"), ("rear_axle", "seat_tube_top"),
    ("seat_tube_top", "front_axle"), ("seat_tube_top", "head_tube_top"), ("head_tube_top", "front_axle"),
    ("bb", "head_tube_bottom"), ("rear_axle", "head_tube_bottom"), ("bb", "top_tube_at_seat"),
    ("top_tube_at_seat", "top_tube_at_head"), ("bb", "down_tube_at_head"),
    ("top_tube_at_head", "head_tube_top"), ("down_tube_at_head", "head_tube_bottom"),
    ("top_tube_at_seat", "seat_tube_top"),
)  # fmt: skip
ANGLES = ("head_angle", "seat_angle", "top_tube_slope", "angle_down_head", "angle_seat_top")
LENGTHS = ("bb_drop", "head_tube_length", "seat_tube_length")
EVERY = [
    *((ReadingKind.DISTANCE, pair) for pair in DISTANCES),
    *((ReadingKind.DIMENSION, (name,)) for name in (*ANGLES, *LENGTHS)),
]


def places(p: dict[str, float]) -> dict[str, tuple[float, float]]:
    """The named points of a frame, by trigonometry from its parameters."""
    head, seat = math.radians(p["head_angle"]), math.radians(p["seat_angle"])
    front = (p["front_centre_horizontal"], p["bb_drop"] + p["front_radius"] - p["rear_radius"])
    foot = (front[0] - p["fork_offset"] * math.sin(head), front[1] - p["fork_offset"] * math.cos(head))

    def up_head(length: float) -> tuple[float, float]:
        return foot[0] - length * math.cos(head), foot[1] + length * math.sin(head)

    def up_seat(length: float) -> tuple[float, float]:
        s, c, ahead = math.sin(seat), math.cos(seat), p["seat_tube_offset"]
        return ahead * s - length * c, ahead * c + length * s

    low = p["fork_length_on_axis"] + p["lower_stack"]
    high = low + p["head_tube_length"]
    return {
        "bb": (0.0, 0.0),
        "rear_axle": (-p["rear_centre_horizontal"], p["bb_drop"]),
        "front_axle": front,
        "head_tube_bottom": up_head(low),
        "head_tube_top": up_head(high),
        "seat_tube_top": up_seat(p["seat_tube_length"]),
        "top_tube_at_head": up_head(high - p["top_tube_at_head"]),
        "top_tube_at_seat": up_seat(p["seat_tube_length"] - p["top_tube_at_seat"]),
        "down_tube_at_head": up_head(low + p["down_tube_at_head"]),
    }


def true_reading(kind: ReadingKind, names: tuple[str, ...], p: dict[str, float]) -> float:
    at = places(p)
    if kind is ReadingKind.DISTANCE:
        return math.dist(at[names[0]], at[names[1]])
    if names[0] in BUILT:
        return p[names[0]]
    (hx, hy), (sx, sy) = at["top_tube_at_head"], at["top_tube_at_seat"]
    slope = math.degrees(math.atan2(hy - sy, hx - sx))
    x, y = at["down_tube_at_head"]
    along = math.sqrt(x * x + y * y - p["down_tube_offset"] ** 2)
    rise = math.degrees(math.atan2(y, x) + math.atan2(p["down_tube_offset"], along))
    return {
        "top_tube_slope": slope,
        "angle_seat_top": p["seat_angle"] + slope,
        "angle_down_head": 180.0 - p["head_angle"] - rise,
    }[names[0]]


@dataclass(frozen=True)
class Build:
    """One simulated build: its true parameters, its readings, which of them is gross and how well covered."""

    frame: Frame
    true: dict[str, float]
    readings: Readings
    gross: int
    redundancy: float


def covered(
    kinds: list[tuple[ReadingKind, tuple[str, ...]]], sigma: np.ndarray, p: dict[str, float]
) -> np.ndarray:
    """Redundancy of each reading, from a derivative by differences: 1 less its leverage."""
    columns = []
    for name in BUILT:
        up, down = ({**p, name: p[name] + step} for step in (1e-4, -1e-4))
        columns.append([(true_reading(k, n, up) - true_reading(k, n, down)) / 2e-4 for k, n in kinds])
    design = np.array(columns).T / sigma[:, None]
    u, s, _ = np.linalg.svd(design, full_matrices=False)
    u = u[:, s > 1e-6 * s[0]]
    return 1.0 - (u * u).sum(axis=1)


def readable(kind: ReadingKind, names: tuple[str, ...], value: float) -> bool:
    """Whether a reading is taken; one that no frame has is refused before anything is fitted."""
    return kind is ReadingKind.DISTANCE or bool(REGISTRY[names[0]].is_possible(value))


def build(frame: Frame, seed: int, gross_angle: bool = False, share: float = 0.8) -> Build:
    rng = np.random.default_rng(seed)
    design = frame.plane.parameters
    true = {**design, **{n: design[n] + rng.normal(0.0, s) for n, s in BUILT.items()}}
    kinds = [row for row in EVERY if rng.random() < share]
    angle = np.array([n[0] in ANGLES for _, n in kinds])
    sigma = np.where(angle, GAUGE, TAPE)
    read = np.array([true_reading(k, n, true) for k, n in kinds]) + rng.normal(0.0, sigma)
    gross = int(rng.choice(np.flatnonzero(angle == gross_angle)))
    slip = rng.uniform(*((2.0, 8.0) if gross_angle else (10.0, 60.0)))
    # Nobody reads a distance as less than nothing.
    off = slip if read[gross] < 2.0 * slip else rng.choice((-slip, slip))
    read[gross] += off if readable(*kinds[gross], read[gross] + off) else -off
    redundancy = float(covered(kinds, sigma, design)[gross])
    return Build(frame, true, readings_of(kinds, read.tolist()), gross, redundancy)


def readings_of(kinds: list[tuple[ReadingKind, tuple[str, ...]]], read: list[float]) -> Readings:
    pairs = enumerate(zip(kinds, read, strict=True))
    rows = [Reading(*kind, m, None, f"readings.{i}") for i, (kind, m) in pairs]
    return Readings("r.yaml", PrintedSheet(), tuple(rows), {})


def scores(found: Inspection, true: dict[str, float]) -> list[float]:
    """Each estimate's error over its stated uncertainty."""
    plane = Plane(true)
    return [
        abs(j.estimate - float(REGISTRY[n].function(plane))) / j.uncertainty
        for n, j in found.dimensions.items()
        if j.estimate is not None and j.uncertainty is not None
    ]


@pytest.fixture(scope="module")
def frames() -> list[Frame]:
    return [solve(load(path)) for path in DEMOS]


def test_estimates_hold_what_they_state_and_misreadings_are_found(frames: list[Frame]) -> None:
    all_scores: list[float] = []
    found = covered_well = named = seen = 0
    for seed in range(SEEDS):
        b = build(frames[seed % len(frames)], seed)
        result = inspect(b.frame, Tolerance(), b.readings)
        all_scores += scores(result, b.true)
        suspect = any(s.reading.key == f"readings.{b.gross}" for s in result.suspects)
        named += len(result.suspects)
        seen += suspect
        if b.redundancy >= 0.3:
            covered_well += 1
            found += suspect
    z = np.array(all_scores)
    within_68, within_95 = np.mean(z <= 1.0), np.mean(z <= 1.959964)
    print(
        f"inspect, {SEEDS} builds: {100 * within_68:.1f} % of {len(z)} estimates within one deviation, "
        f"{100 * within_95:.1f} % within the 95 % half-width; the misreading is among the suspects in "
        f"{found} of {covered_well} builds where it is covered (redundancy 0.3 or more), in {seen} of all "
        f"{SEEDS}; {named / SEEDS:.2f} suspects a build"
    )
    assert abs(within_68 - 0.6827) <= 0.04
    assert abs(within_95 - 0.95) <= 0.04
    assert covered_well > 0.5 * SEEDS
    assert found >= 0.9 * covered_well
    assert named / SEEDS < 1.5


def test_a_misread_gauge_is_found_as_well(frames: list[Frame]) -> None:
    found = covered_well = 0
    for seed in range(100):
        b = build(frames[seed % len(frames)], seed, gross_angle=True)
        if b.redundancy < 0.3:
            continue
        covered_well += 1
        result = inspect(b.frame, Tolerance(), b.readings)
        found += any(s.reading.key == f"readings.{b.gross}" for s in result.suspects)
    print(f"inspect: a gauge misread by 2 degrees or more is found in {found} of {covered_well}")
    assert covered_well >= 30
    assert found >= 0.9 * covered_well


def test_few_readings_hold_what_they_state_too(frames: list[Frame]) -> None:
    """Half of the readings, 13 for 10 unknowns, the misreading set aside by hand: often nothing covers it."""
    all_scores: list[float] = []
    unreached = 0
    for seed in range(250):
        b = build(frames[seed % len(frames)], seed, share=0.5)
        rows = tuple(r for i, r in enumerate(b.readings.rows) if i != b.gross)
        result = inspect(b.frame, Tolerance(), Readings("r.yaml", PrintedSheet(), rows, {}))
        all_scores += scores(result, b.true)
        unreached += sum(result.dimensions[n].estimate is None for n in BUILT)
    z = np.array(all_scores)
    within_68, within_95 = np.mean(z <= 1.0), np.mean(z <= 1.959964)
    print(
        f"inspect, few readings: {100 * within_68:.1f} % of {len(z)} within one deviation, "
        f"{100 * within_95:.1f} % within the 95 % half-width; {unreached} parameters unreached"
    )
    assert abs(within_68 - 0.6827) <= 0.04
    assert abs(within_95 - 0.95) <= 0.04
    assert unreached > 50


def test_readings_without_noise_give_the_built_frame_back(frames: list[Frame]) -> None:
    """No pull toward the design: 3 mm and half a degree off it, the frame is found to a micrometre."""
    for frame in frames:
        design = frame.plane.parameters
        true = {**design, **{n: design[n] + 2.0 * s for n, s in BUILT.items()}}
        read = [true_reading(kind, names, true) for kind, names in EVERY]
        result = inspect(frame, Tolerance(), readings_of(EVERY, read))
        assert result.suspects == ()
        for name in BUILT:
            assert result.dimensions[name].estimate == pytest.approx(true[name], abs=1e-6)

"""Least gaps between stays and what turns between them, against OpenCASCADE's minimum distances."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_frames import placed
from kernel_solids import disc_solid, least_distance, tube_solid, tyre_solid

from layout.geometry.space.gaps import DiscSolid, TyreSolid, least_gap

AGREED = 0.05
"""Gaps agree with the kernel's to this, mm."""
TUBES = {
    "plain": ("chain_stay_right", "seat_stay_left", "seat_stay_bridge", "chain_stay_bridge", "seat_tube"),
    "tapered": ("chain_stay_left", "seat_stay_right", "seat_tube"),
    "bent": ("chain_stay_right", "seat_stay_right"),
}


PARTS = {
    "chainring": DiscSolid((0.0, 0.0), 85.0, 48.0, 56.0),
    "inner ring": DiscSolid((0.0, 0.0), 60.0, 45.0, 50.0),
    "crank": DiscSolid((0.0, 0.0), 187.5, 66.0, 79.0),
}


@pytest.mark.parametrize(("frame", "tube"), [(f, t) for f, names in TUBES.items() for t in names])
@pytest.mark.parametrize("width", [25.0, 32.0])
def test_gap_to_the_tyre(frame: str, tube: str, width: float) -> None:
    whole = placed(frame)
    axle = whole.plane.points["rear_axle"]
    part = TyreSolid(axle, 311.0 + width, width)
    there = whole.space.tubes[tube]
    found = least_gap(there, part, "tyre")
    solid = tube_solid(there, 0.0, there.length)
    assert found.value == pytest.approx(
        least_distance(solid, tyre_solid(axle, part.radius, width)), abs=AGREED
    )
    assert found.value > 0.5


@pytest.mark.parametrize("frame", TUBES)
@pytest.mark.parametrize(
    "part",
    [
        DiscSolid((0.0, 0.0), 85.0, 48.0, 56.0),
        DiscSolid((0.0, 0.0), 187.5, 66.0, 79.0),
        DiscSolid((0.0, 0.0), 60.0, 45.0, 50.0),
    ],
    ids=["chainring", "crank", "inner ring"],
)
def test_gap_to_what_turns_beside_the_chain_stay(frame: str, part: DiscSolid) -> None:
    stay = placed(frame).space.tubes["chain_stay_right"]
    found = least_gap(stay, part, "part")
    solid = disc_solid(part.axle, part.radius, part.near, part.far)
    assert found.value == pytest.approx(least_distance(tube_solid(stay, 0.0, stay.length), solid), abs=AGREED)
    assert found.value > 0.5


def test_a_bridge_in_the_tyre_has_a_gap_below_nothing() -> None:
    frame = placed("bent")
    axle = frame.plane.points["rear_axle"]
    bridge = frame.space.tubes["chain_stay_bridge"]
    solid = tube_solid(bridge, 0.0, bridge.length)
    assert least_distance(solid, tyre_solid(axle, 348.0, 37.0)) < 1e-6
    assert least_gap(bridge, TyreSolid(axle, 348.0, 37.0), "tyre").value < -1.0

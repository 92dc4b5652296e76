"""What is said to make room at a short gap does so when it is written into the spec."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from layout.bench.room import what_would_do
from layout.frame.solve import Frame, solve
from layout.geometry.space.clearance import WANTED
from layout.pipeline.mitres import mitres
from layout.spec.load import loads

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: REAR, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
wheels: {rear: TYRE}
drivetrain: {chainring_teeth: 30, chainline: 52, crank_clearance: 80}
rear_end: {stay_spacing_at_shell: 46}
"""


def framed(rear: int, tyre: str, more: str = "") -> Frame:
    return solve(loads(PLAIN.replace("REAR", str(rear)).replace("TYRE", tyre) + more, "room.yaml"))


def short(frame: Frame, stay: str) -> list[float]:
    return [g.value for g in frame.clearances.short if g.tube == f"{stay}_right"]


@pytest.mark.parametrize(
    ("stay", "rear", "tyre"),
    [("seat_stay", 435, "42-622"), ("chain_stay", 445, "44-622"), ("chain_stay", 450, "47-622")],
)
def test_following_the_advice_makes_the_room(stay: str, rear: int, tyre: str):
    """Each way on its own, as it stands in the message, and half a degree less of the bend does not."""
    frame = framed(rear, tyre)
    gap = next(g for g in frame.clearances.short if g.tube == f"{stay}_right")
    assert gap.value < WANTED[gap.part].least
    said = what_would_do(frame, gap)
    ways = re.findall(r"tubes\.(\w+)\.(bends|section): (\[.*?\}\]|\[[\d., ]+\])", said)
    assert ways and all(role == stay for role, _, _ in ways)
    for role, key, value in ways:
        own = {key: yaml.safe_load(value)}
        assert not short(framed(rear, tyre, yaml.safe_dump({"tubes": {role: own}})), stay)
        if key == "bends":
            own["bends"][0]["angle"] -= 0.5
            assert short(framed(rear, tyre, yaml.safe_dump({"tubes": {role: own}})), stay)


def test_the_warning_of_a_short_gap_says_what_would_do(tmp_path: Path):
    spec = loads(PLAIN.replace("REAR", "435").replace("TYRE", "42-622"), "room.yaml")
    said = [w.message for w in mitres(spec, tmp_path, formats=["csv"]).warnings if w.code == "gap_small"]
    assert any("This would do: tubes.seat_stay.bends: [{at:" in message for message in said)

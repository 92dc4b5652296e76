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
    assert any("To make room, write tubes.seat_stay.bends: [{at:" in message for message in said)


BENT = """\
tubes:
  chain_stay: {diameter: 22.2, diameter_end: 14, bends: [{at: 110, angle: 3, plane: 270, radius: 120}]}
  seat_stay: {bends: [{at: 150, angle: 2, plane: 270}, {at: 330, angle: 3, plane: 90, radius: 150}]}
"""


@pytest.mark.parametrize(("stay", "rear"), [("chain_stay", 440), ("seat_stay", 435)])
def test_a_bent_stay_is_told_another_angle_of_one_bend_that_makes_the_room(stay: str, rear: int):
    """Only straight stays were told what to do. A degree less of the change does not do."""
    frame = framed(rear, "47-622", BENT)
    gap = next(g for g in frame.clearances.short if g.tube == f"{stay}_right")
    (value,) = re.findall(rf"tubes\.{stay}\.bends: (\[.*?\}}\])", what_would_do(frame, gap))
    told, written = yaml.safe_load(value), yaml.safe_load(BENT)["tubes"]
    had = [b["angle"] for b in written[stay]["bends"]]
    (changed,) = [k for k, b in enumerate(told) if b["angle"] != had[k]]
    for less, clear in ((0.0, True), (1.0, False)):
        bends = [dict(b) for b in told]
        bends[changed]["angle"] -= less if bends[changed]["angle"] > had[changed] else -less
        more = yaml.safe_dump({"tubes": {**written, stay: {**written[stay], "bends": bends}}})
        assert (not short(framed(rear, "47-622", more), stay)) == clear


@pytest.mark.parametrize("fitting", [
    "kind: bridge, tube: seat_stay, at: 358, from: axle", "kind: bridge, tube: chain_stay, at: 82, from: bb",
    "kind: bridge, tube: seat_stay, at: 352, from: axle, radius: 200",
])  # fmt: skip
def test_a_bridge_too_near_the_tyre_is_told_where_it_clears_and_which_curve_does(fitting: str):
    frame = framed(435, "37-622", f"fittings: [{{{fitting}}}]\n")
    gap = next(g for g in frame.clearances.short if "bridge" in g.tube)
    said = what_would_do(frame, gap)
    ways = re.findall(r"{(at|radius): (\d+(?:\.\d+)?)} in fitting 1", said)
    assert {key for key, _ in ways} == ({"at"} if "radius" in fitting else {"at", "radius"})
    for key, value in ways:
        own = yaml.safe_load(f"{{{fitting}}}") | {key: float(value)}
        after = framed(435, "37-622", yaml.safe_dump({"fittings": [own]}))
        assert not [g for g in after.clearances.short if "bridge" in g.tube]


PART = "rear_end: {stay_spacing_at_shell: 46, seat_stay_mount: side, rotor: {diameter: 203, from_face: 2}}"


@pytest.mark.parametrize(("part", "more"), [
    ("rotor", PART), ("chainring", "drivetrain: {chainring_teeth: 46, chainline: 43}"),
    ("crank", "drivetrain: {crank_clearance: 50, chainring_teeth: 20}"), ("tyre", ""),
])  # fmt: skip
def test_where_no_change_of_the_stay_makes_room_one_of_the_part_is_told_that_does(part: str, more: str):
    """Nothing was said then, as if there was nothing to look for."""
    tyre = "57-622" if part == "tyre" else "28-622"
    base = yaml.safe_load(PLAIN.replace("REAR", "425").replace("TYRE", tyre)) | (yaml.safe_load(more) or {})
    frame = solve(loads(yaml.safe_dump(base), "room.yaml"))
    short_ones = [g for g in frame.clearances.short if g.part == part]
    told = {g: what_would_do(frame, g) for g in short_ones}
    gap, said = next((g, s) for g, s in told.items() if "drivetrain." in s or "rotor." in s or "tyre of" in s)
    ways = re.findall(r"(rear_end\.rotor|drivetrain)\.(\w+): (\d+(?:\.\d+)?)", said)
    if part == "tyre":
        (width,) = re.findall(r"tyre of at most (\d+) mm", said)
        ways = [("wheels", "rear", f"{width}-622")]
    assert ways
    for block, key, value in ways:
        own = yaml.safe_load(yaml.safe_dump(base))
        inner = own["rear_end"]["rotor"] if "rotor" in block else own[block]
        inner[key] = value if part == "tyre" else yaml.safe_load(value)
        after = solve(loads(yaml.safe_dump(own), "room.yaml"))
        assert not [g for g in after.clearances.short if (g.part, g.tube) == (part, gap.tube)], (key, value)


def test_where_no_single_change_makes_room_that_is_said():
    """A rotor so large that its stay runs through it wherever the hub has it."""
    base = yaml.safe_load(PLAIN.replace("REAR", "425").replace("TYRE", "28-622")) | yaml.safe_load(
        "rear_end: {stay_spacing_at_shell: 130, spacing: 80, rotor: {diameter: 203, from_face: 0}}"
    )
    base["bottom_bracket"] = {"width": 140, "diameter": 40}
    frame = solve(loads(yaml.safe_dump(base), "room.yaml"))
    said = {what_would_do(frame, g) for g in frame.clearances.short if g.part in ("crank", "chainring")}
    assert any(text.startswith(" No single change to the chain stay") for text in said)

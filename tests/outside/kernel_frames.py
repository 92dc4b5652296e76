"""Whole frames, each with something that is hard to cut, by their specs."""

from __future__ import annotations

from functools import cache

from layout.frame.solve import Frame, solve
from layout.geometry.space.mitre import Cut
from layout.spec.load import loads

_PLANE = """\
geometry:
  bb_drop: {drop}
  rear_centre: {rear}
  front_centre: {front}
  head_angle: {head}
  seat_angle: {seat}
  head_tube_length: {tube}
  seat_tube_length: {top}
{more}
fork: {{axle_to_crown: 395, offset: 45}}
wheels: {{front: 37-622, rear: 37-622}}
"""


def _plane(more: str = "", **values: float) -> str:
    usual = {"drop": 70, "rear": 435, "front": 610, "head": 72, "seat": 73, "tube": 150, "top": 540}
    return _PLANE.format(more=more, **{**usual, **values})


SPECS = {
    "plain": _plane()
    + """\
rear_end: {stay_spacing_at_shell: 40, seat_stay_mount: side}
fittings:
  - {kind: bridge, tube: seat_stay, at: 380, from: axle}
  - {kind: bridge, tube: chain_stay, at: 60, from: bb}
""",
    "tapered": _plane(drop=60, front=680, head=66.5, seat=74.5, tube=130, more="  seat_tube_offset: 14")
    + """\
rear_end: {spacing: 148, axle: 12, seat_stay_mount: back}
tubes:
  seat_tube: {diameter: 34.9}
  top_tube: {diameter: 31.8, diameter_end: 36}
  down_tube: {diameter: 38.1}
  head_tube: {diameter_top: 47, diameter_bottom: 61}
  chain_stay: {section: [16, 30], diameter_end: 14}
  seat_stay: {diameter: 16, diameter_end: 12}
""",
    "bent": _plane(drop=75, rear=440, front=600, head=73, seat=72.5, tube=95, top=560)
    + """\
rear_end: {seat_stay_mount: side, stay_spacing_at_shell: 42}
tubes:
  seat_tube: {diameter: 31.8}
  top_tube: {diameter: 31.8}
  down_tube: {diameter: 38.1, section: [33, 42]}
  head_tube: {diameter_bottom: 50, diameter_top: 44, taper: [40, 40]}
  chain_stay:
    diameter: 19
    diameter_end: 19
    bends: [{at: 110, angle: 9, plane: 270, radius: 120}, {at: 250, angle: 9, plane: 90, radius: 160}]
  seat_stay: {section: [14, 18], diameter_end: 12, turned: 25}
fittings:
  - {kind: bridge, tube: chain_stay, at: 110, from: bb}
""",
}


@cache
def placed(name: str) -> Frame:
    spec = loads(SPECS[name], f"{name}.yaml")
    return solve(spec)


def every_cut() -> dict[str, Cut]:
    """Every joint by frame, tube and end; of the pairs of mirrored stays one frame has both."""
    return {
        f"{n}-{c.tube}-{c.end_name}": c
        for n in SPECS
        for c in placed(n).space.cuts
        if n == "plain" or "stay_left" not in c.tube
    }

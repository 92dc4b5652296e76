"""Blocks for a flat plate: each part stood on its block has its axis at one height.

The solid kernel does the same from the page: tests/outside/test_kernel_plate.py.
"""

from __future__ import annotations

import sys
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import SPECS

from layout.bench.blocks import DROPOUT, blocks, plane_height
from layout.drafting.entities import Text
from layout.frame.solve import Frame, solve
from layout.pipeline.setup import bench_work
from layout.spec.load import loads
from layout.views.setup.panels import blocks_panel

WITHIN = 0.05


def framed(name: str, plane: str) -> Frame:
    return solve(loads(f"{SPECS[name]}jig: {{kind: plate{plane}}}\n", f"{name}.yaml"))


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("plane", ["", ", plane_above_plate: 60"])
def test_a_frame_on_its_blocks_has_every_axis_at_one_height(name: str, plane: str):
    """The shell had no block and was said to stand on its face: with a plane 60 up its axis sat 26 low.

    Each height is read off the page; above it comes half the part's own size, by the frame's numbers.
    """
    frame = framed(name, plane)
    rows = {}
    said = [e.text for e in blocks_panel(bench_work(frame), 110.0).drawing if isinstance(e, Text)]
    for what, height in pairwise(said):
        if height == "none" or height.replace(".", "").removeprefix("-").isdigit():
            rows[what.split(":")[0]] = 0.0 if height == "none" else float(height)
    half = {"shell's face": frame.plane.shell_width / 2}
    half["dropout's outer face"] = frame.space.rear.spacing / 2 + frame.space.rear.thickness
    for tube in ("seat_tube", "top_tube", "down_tube", "head_tube"):
        placed = frame.space.tubes[tube]
        for end, station in zip(placed.ends, (0.0, placed.length), strict=True):
            width = placed.diameter_at(station)[1] / 2
            names = tube.replace("_", " "), f"{tube.replace('_', ' ')}, {end.replace('bb', 'BB')}"
            half[next(n for n in names if n in rows)] = width
    assert set(rows) == set(half)
    for part, height in rows.items():
        assert height + half[part] == pytest.approx(plane_height(frame), abs=WITHIN), part


def test_the_shell_and_the_dropout_are_among_the_blocks():
    frame = framed("plain", ", plane_above_plate: 80")
    found = {(b.part, b.end): b.height for b in blocks(frame)}
    assert found["bottom_bracket", None] == pytest.approx(80.0 - 34.0)
    assert found[DROPOUT, None] == pytest.approx(80.0 - 135.0 / 2 - 6.0)
    assert found["down_tube", "head"] == pytest.approx(80.0 - 34.9 / 2)

"""A flat plate set up by the page's numbers alone, in the solid kernel: every axis at one height.

Each part is a solid of the kernel; it is lowered on to its block until it touches, and the height is read at
which its axis then lies.
"""

from __future__ import annotations

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_frames import SPECS
from kernel_solids import extent, tube_solid
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt

from layout.drafting.entities import Text
from layout.frame.solve import Frame, solve
from layout.geometry.space.tube import Tube
from layout.pipeline.setup import bench_work
from layout.spec.load import loads
from layout.views.setup.panels import blocks_panel

WITHIN = 0.05
"""A page gives tenths of a millimetre."""
BLOCK = 0.02
"""A block touches so much of a tube's length, mm."""
UP = np.array([0.0, 0.0, 1.0])


def page(frame: Frame) -> dict[str, float]:
    """The heights on the page by what they are of."""
    said = [e.text for e in blocks_panel(bench_work(frame), 110.0).drawing if isinstance(e, Text)]
    rows = {}
    for what, height in pairwise(said):
        if height == "none" or height.replace(".", "").removeprefix("-").isdigit():
            rows[what.split(":")[0]] = 0.0 if height == "none" else float(height)
    return rows


def lowest(tube: Tube, station: float) -> float:
    """How far a tube's solid reaches below its axis over a block at a station."""
    low, high = sorted((station, station + (BLOCK if station == 0.0 else -BLOCK)))
    return extent(tube_solid(tube, low, high), tube.path.at(station).at, UP)[0]


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("plane", [34.0, 60.0])
def test_a_frame_set_up_by_the_page_alone_has_every_axis_at_one_height(name: str, plane: float) -> None:
    """The shell had no block: with a plane 60 up its axis sat 26 low.

    Seat, top, down and head tube, shell and dropout; one side of the bicycle lies down on the plate.
    """
    frame = solve(loads(f"{SPECS[name]}jig: {{kind: plate, plane_above_plate: {plane}}}\n", f"{name}.yaml"))
    rows = page(frame)
    heights: dict[str, float] = {}
    shell = frame.space.tubes["bottom_bracket"]
    solid = tube_solid(shell, 0.0, shell.length)
    heights["shell's face"] = rows["shell's face"] - extent(solid, np.zeros(3), UP)[0]
    rear = frame.space.rear
    plate = BRepPrimAPI_MakeBox(
        gp_Pnt(-20.0, -20.0, -rear.spacing / 2 - rear.thickness), gp_Pnt(20.0, 20.0, -rear.spacing / 2)
    ).Shape()
    low = extent(plate, np.zeros(3), UP)[0]
    heights["dropout's outer face"] = rows["dropout's outer face"] - low
    for tube in ("seat_tube", "top_tube", "down_tube", "head_tube"):
        placed = frame.space.tubes[tube]
        for end, station in zip(placed.ends, (0.0, placed.length), strict=True):
            said = tube.replace("_", " ")
            row = next(r for r in (said, f"{said}, {end.replace('bb', 'BB')}") if r in rows)
            heights[f"{tube} {end}"] = rows[row] - lowest(placed, station)
    assert len(heights) == 10
    assert heights == pytest.approx(dict.fromkeys(heights, plane), abs=WITHIN)
    assert {r.split(",")[0] for r in rows} == {h.split()[0].replace("_", " ") for h in heights} - {
        "shell's", "dropout's"
    } | {"shell's face", "dropout's outer face"}  # fmt: skip

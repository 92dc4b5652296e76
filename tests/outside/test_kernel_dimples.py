"""A dimpled stay in the solid kernel: a bar across the tube, cut away, and the gap that is left."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_solids import disc_solid, least_distance, tube_solid, tyre_solid
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from layout.drafting.entities import Text
from layout.frame.solve import Frame, solve
from layout.geometry.space.gaps import TyreSolid
from layout.spec.load import loads
from layout.views.cutting import cutting_panels

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
wheels: {rear: 37-622}
tubes: {chain_stay: {diameter: 22.2, diameter_end: 14, dimples: [DIMPLE]}}
"""
GAPS = 0.06


def framed(dimple: str) -> Frame:
    return solve(loads(PLAIN.replace("DIMPLE", dimple), "dimpled.yaml"))


@pytest.mark.parametrize(
    ("part", "plane", "at"), [("tyre", 90, 82), ("tyre", 75, 90), ("chainring", 270, 95), ("crank", 270, 190)]
)
def test_a_gap_to_a_dimple_is_the_kernels(part: str, plane: float, at: float) -> None:
    """By hand: a trough of 60, 3 deep, is left by a bar of radius (30^2 + 3^2) / 6 = 151.5."""
    bare = {g.part: g.value for g in framed("").clearances.gaps if g.tube == "chain_stay_right"}
    frame = framed(f"{{at: {at}, length: 60, depth: 3, plane: {plane}}}")
    stay = frame.space.tubes["chain_stay_right"]
    (dimple,) = stay.dimples
    assert dimple.bar == pytest.approx(151.5)
    here, a = stay.path.at(at), math.radians(plane)
    way = math.cos(a) * here.reference + math.sin(a) * here.across
    across = np.cross(here.along, way)
    middle = here.at + (stay.half_extent(at, way) - 3.0 + 151.5) * way - 100.0 * across
    bar = BRepPrimAPI_MakeCylinder(
        gp_Ax2(gp_Pnt(*map(float, middle)), gp_Dir(*map(float, across))), 151.5, 200.0
    ).Shape()
    solid = BRepAlgoAPI_Cut(tube_solid(stay, 0.0, stay.length), bar).Shape()
    thing = getattr(frame.around, part)
    if isinstance(thing, TyreSolid):
        other = tyre_solid(thing.axle, thing.radius, thing.width)
    else:
        other = disc_solid(thing.axle, thing.radius, thing.near, thing.far)
    gap = next(g.value for g in frame.clearances.gaps if (g.tube, g.part) == (stay.name, part))
    theirs = least_distance(solid, other)
    assert (max(gap, 0.0) if theirs < 1e-6 else gap) == pytest.approx(theirs, abs=GAPS)
    assert gap > bare[part] + 0.5


def test_both_stays_are_dimpled_alike_and_the_cutting_table_says_where() -> None:
    frame = framed("{at: 90, length: 60, depth: 3, plane: 90}")
    right, left = (frame.space.tubes[f"chain_stay_{side}"] for side in ("right", "left"))
    assert left.dimples[0].plane == -right.dimples[0].plane
    assert right.quarter(90.0) == left.quarter(-90.0) == "inner"
    said = [e.text for p in cutting_panels("17", frame, {}) for e in p.drawing if isinstance(e, Text)]
    assert any("dimple 3.0 deep, 60 long" in " ".join(said[k : k + 3]) for k in range(len(said)))

"""A tube that reaches past the shell, against OpenCASCADE's solids: the seat tube ends on the shell there.

The kernel cuts the seat tube to the shell itself, so that nothing of it is left below. The program had
cut a wide or low down tube to the seat tube's cylinder continued past the bottom bracket.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_solids import distances, edges, less, tube_solid
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Shape
from studies import WHOLE

from layout.frame.solve import Frame, solve
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import SHELL
from layout.report.mitres import notices
from layout.spec.load import loads

AGREED = 0.01
"""Curves agree with the kernel's to this, mm."""
REACH = 160.0
"""Tubes are built this far from the bottom bracket, mm."""
FLUSH = 1e-3
"""Degrees: a generator this near one that only touches may go either way."""
FRAMES = {
    "wide": "bb_drop: 45, rear_centre: 440, front_centre: 760, head_angle: 64, seat_angle: 76, "
    "head_tube_length: 120, seat_tube_length: 470}\ntubes: {down_tube: {diameter: 44.5}, "
    "seat_tube: {diameter: 34.9}}",
    "low": "bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73, "
    "head_tube_length: 150, down_tube_offset: 10}\ntubes: {down_tube: {diameter: 38.1}}",
    "usual": "bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73, "
    "head_tube_length: 150}",
    "just under": "bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73, "
    "head_tube_length: 150}\ntubes: {down_tube: {diameter: 39.5}, seat_tube: {diameter: 34.9}}",
}


@cache
def placed(name: str) -> Frame:
    spec = loads(f"geometry: {{{FRAMES[name]}\nfork: {{axle_to_crown: 430, offset: 45}}\n", name)
    return solve(spec)


def at_bb(space: SpaceFrame) -> Cut:
    cut = space.cut_of("down_tube", 0)
    assert cut is not None
    return cut


def really_there(space: SpaceFrame) -> list[TopoDS_Shape]:
    """The shell, and what is left of the seat tube once it is cut to it."""
    shell, seat = space.of(SHELL), space.tubes["seat_tube"]
    solid = tube_solid(shell, 0.0, shell.length)
    return [solid, less(tube_solid(seat, -REACH, REACH), [solid], seat.path.at(REACH - 1.0).at)]


def generator(cut: Cut, phi: float) -> TopoDS_Shape:
    a, b = cut.points(np.array([phi, phi]), np.array([-REACH, REACH]) - cut.origin)
    return BRepBuilderAPI_MakeEdge(gp_Pnt(*map(float, a)), gp_Pnt(*map(float, b))).Edge()


def clear_of(cut: Cut, phi: float, solids: list[TopoDS_Shape]) -> float:
    line = generator(cut, phi)
    return min(float(BRepExtrema_DistShapeShape(line, solid).Value()) for solid in solids)


@pytest.mark.parametrize("name", FRAMES)
def test_the_down_tube_is_cut_to_what_is_there(name: str) -> None:
    space = placed(name).space
    cut, tools = at_bb(space), really_there(space)
    tube = space.tubes["down_tube"]
    left = less(tube_solid(tube, -REACH, REACH), tools, tube.path.at(REACH - 1.0).at)
    hit = ~cut.missed
    assert distances(cut.points(cut.phi[hit], cut.s[hit]), edges(left)).max() < AGREED


@pytest.mark.parametrize("name", FRAMES)
def test_a_generator_is_missed_where_it_passes_the_solids(name: str) -> None:
    space = placed(name).space
    cut, tools = at_bb(space), really_there(space)
    changes = np.flatnonzero(cut.missed != np.roll(cut.missed, 1))
    tried = {*range(0, 360, 4 if WHOLE else 40), *changes.tolist(), *((changes - 1) % 360).tolist()}
    for k in sorted(tried):
        gap = clear_of(cut, float(cut.phi[k]), tools)
        assert (gap > 1e-6) == cut.missed[k], cut.phi[k]


def test_a_wall_that_passes_below_the_shell_has_no_cut() -> None:
    """It was cut at s = 5.86, on the seat tube's axis 15.0 mm below the bottom bracket."""
    for name, least in (("wide", 22.25 - 20.0), ("low", 10.0 + 19.05 - 20.0)):
        space = placed(name).space
        cut = at_bb(space)
        assert cut.against == (SHELL.name, "seat_tube")
        assert np.isnan(cut.s[180]) and not np.isnan(cut.s[0])
        assert clear_of(cut, 180.0, really_there(space)) == pytest.approx(least, abs=1e-6)


@pytest.mark.parametrize(("name", "side"), [("wide", "down"), ("low", "down")])
def test_what_passes_by_is_said(name: str, side: str) -> None:
    frame = placed(name)
    said = [n.message for n in notices(frame.space, (), {}, frame.clearances) if n.code == "cut_partial"]
    count = int(at_bb(frame.space).missed.sum())
    (found,) = (m for m in said if m.startswith("down tube, BB end"))
    others = "the bottom bracket and the seat tube"
    assert f"the {side} side ({count} of 360 degrees) does not touch {others}" in found

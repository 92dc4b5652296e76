"""The drawn edge of a tube goes round it whole: both edges meet both ends, and a mitre what it runs into."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from layout.drafting.entities import Line, Stroke
from layout.drafting.vector import Point as Place
from layout.frame.solve import solve
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.roles import SHELL
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import vector
from layout.spec.load import loads
from layout.views.projection import SAGITTA, ProjectionPlane, outline, section

SPECS = Path(__file__).parents[2] / "specs"
SIDE = ProjectionPlane(vector(0.0, 0.0), vector(1.0, 0.0), vector(0.0, 1.0))
ABOVE = ProjectionPlane(vector(0.0, 0.0), vector(1.0, 0.0), vector(0.0, 0.0, -1.0))
OVAL = 0.02
"""An oval tube's widest generator is not quite the one that faces sideways where it is cut, mm."""
IN_PLANE = ("seat_tube", "top_tube", "down_tube", "head_tube", "chain_stay_right")


def ends_of(stroke: Stroke) -> tuple[Place, Place]:
    return (stroke.start, stroke.end) if isinstance(stroke, Line) else (stroke.points[0], stroke.points[-1])


@pytest.mark.parametrize("tube", IN_PLANE)
def test_a_tubes_outline_has_no_gap_where_its_edges_meet_its_ends(demo_name: str, frame_named, tube: str):
    """The line across a stay's dropout end stood at its other end, and the tube was open."""
    space = frame_named(demo_name).space
    strokes = list(outline(space, space.tubes[tube], SIDE))
    assert len(strokes) == 4
    ends = [end for stroke in strokes for end in ends_of(stroke)]
    for k, a in enumerate(ends):
        assert min(math.dist(a, b) for j, b in enumerate(ends) if j != k) < OVAL


@pytest.mark.parametrize("plane", [SIDE, ProjectionPlane(SIDE.origin, -SIDE.ahead, SIDE.aside)])
def test_a_mitre_that_runs_into_the_shell_is_drawn_up_to_the_shells_circle(
    demo_name: str, frame_named, plane: ProjectionPlane
):
    """It ended a degree short of the circle it is filed to, seen from one side or from the other."""
    frame = frame_named(demo_name)
    space, radius = frame.space, frame.plane.shell_diameter / 2
    centre = plane.point(space.tubes[SHELL.name].path.at(0.0).at)
    tube = space.tubes["down_tube"]
    whole, rest = (list(outline(space, tube, plane, without=name)) for name in ("", SHELL.name))
    edges, mitre, top = rest[:2], rest[2], rest[3]
    assert (*edges, top) == (*whole[:2], whole[3])
    beside, on_shell = sorted((math.dist(end, centre) - radius for end in ends_of(mitre)), reverse=True)
    assert on_shell == pytest.approx(0.0, abs=1e-6)
    assert beside > 5.0
    assert min(math.dist(point, centre) for point in mitre.points) >= radius - 1e-6
    assert sum(abs(math.dist(point, centre) - radius) < 1e-6 for point in mitre.points) == 1
    assert set(mitre.points) < set(whole[2].points)


@pytest.mark.parametrize("tube", ["seat_tube", "top_tube", "down_tube", "chain_stay_right"])
def test_the_drawn_edges_follow_a_tubes_tapers_and_bends(demo_name: str, frame_named, tube: str):
    """The end of a taper or of a bend was left out: the edge ran straight past it."""
    space = frame_named(demo_name).space
    assert_edges_follow(space, space.tubes[tube])


def test_the_drawn_edges_follow_a_dimple():
    """A trough 3 deep for a tyre was left out: the drawn stay was wider there than the real one."""
    text = (SPECS / "tourer.yaml").read_text("utf-8")
    for plane in (0, 90):
        dimple = f"diameter_end: 14, dimples: [{{at: 100, length: 60, depth: 3, plane: {plane}}}]"
        dimpled = solve(loads(text.replace("diameter_end: 14", dimple, 1), "dimpled.yaml")).space
        for tube in (dimpled.tubes["chain_stay_right"], dimpled.tubes["chain_stay_left"]):
            assert tube.dimples
            assert_edges_follow(dimpled, tube)


def assert_edges_follow(space: SpaceFrame, placed: Tube) -> None:
    for plane in (SIDE, ABOVE):
        edges = [LineString(edge.points) for edge in list(outline(space, placed, plane))[:2]]
        for t in np.linspace(0.15, 0.85, 200) * placed.length:
            here = placed.path.at(float(t))
            x, y = float(here.along @ plane.ahead), float(here.along @ plane.aside)
            way = (x * plane.aside - y * plane.ahead) / math.hypot(x, y)
            for edge, side in zip(edges, (1.0, -1.0), strict=True):
                true = here.at + side * placed.reach(float(t), side * way) * way
                assert edge.distance(Point(plane.point(true))) < 2 * SAGITTA


def test_a_round_tube_seen_along_its_axis_is_a_whole_circle_of_its_diameter(demo_name: str, frame_named):
    """Its section was an empty line: the tube that the stays end on was missing."""
    shell = frame_named(demo_name).space.tubes[SHELL.name]
    ring = section(shell, SIDE, shell.length / 2)
    centre = SIDE.point(shell.path.at(shell.length / 2).at)
    radius = shell.diameter_at(shell.length / 2)[0] / 2
    assert math.dist(ring.points[0], ring.points[-1]) < 1e-9
    assert all(math.dist(p, centre) == pytest.approx(radius) for p in ring.points)
    assert Polygon(ring.points).area == pytest.approx(math.pi * radius**2, rel=1e-3)

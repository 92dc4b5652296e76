"""Distances, necks and lines on the material, by hand-computable cases; shapely is asked for the rest."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.plates.contour import Contour, Round
from layout.geometry.plates.corners import Corner, Turn, closed_ring, rectangle
from layout.geometry.plates.nearest import between, inside, kept_pieces, neck, on_material

OUTER = rectangle(0.0, 0.0, 60.0, 40.0)
HOLE = Round((20.0, 20.0), 5.0)


def test_a_hole_and_an_edge() -> None:
    found = between(OUTER.loop, HOLE.loop)
    assert found.distance == pytest.approx(15.0, abs=2e-3)
    assert abs(found.first[0] - found.second[0]) == pytest.approx(15.0, abs=2e-2) or found.first[1] in (
        0.0,
        40.0,
    )


@given(st.floats(30.0, 90.0), st.floats(-40.0, 40.0), st.floats(1.0, 9.0))
def test_distances_agree_with_shapely(x: float, y: float, r: float) -> None:
    one, other = rectangle(0.0, 0.0, 20.0, 30.0, Corner.ROUND, 4.0).loop, Round((x, y), r).loop
    theirs = shapely.LinearRing(one).distance(shapely.LinearRing(other))
    assert between(one, other).distance == pytest.approx(theirs, abs=1e-9)


def test_the_waist_of_a_bone_is_its_neck() -> None:
    bone = [
        (0, 0),
        (20, 0),
        (20, 8),
        (40, 8),
        (40, 0),
        (60, 0),
        (60, 20),
        (40, 20),
        (40, 13),
        (20, 13),
        (20, 20),
        (0, 20),
    ]
    found = neck(closed_ring([Turn((float(x), float(y))) for x, y in bone]).loop)
    assert found is not None
    assert found.distance == pytest.approx(5.0)


def test_a_gap_is_no_neck_of_the_outline_but_one_of_a_hole() -> None:
    """The same ring: a notch 3 wide is air where the ring is an outline, and a web where it is a cut-out."""
    notch = [(0, 0), (60, 0), (60, 40), (31.5, 40), (31.5, 10), (28.5, 10), (28.5, 40), (0, 40)]
    ring = closed_ring([Turn((float(x), float(y))) for x, y in notch]).loop
    outline, hollow = neck(ring), neck(ring, solid_inside=False)
    assert outline is None or outline.distance >= 10.0
    assert hollow is not None
    assert hollow.distance == pytest.approx(3.0)


def test_a_neck_wider_than_asked_for_is_not_looked_for() -> None:
    notch = [(0, 0), (60, 0), (60, 40), (31.5, 40), (31.5, 10), (28.5, 10), (28.5, 40), (0, 40)]
    ring = closed_ring([Turn((float(x), float(y))) for x, y in notch]).loop
    assert neck(ring, solid_inside=False, under=3.001) == neck(ring, solid_inside=False)
    assert neck(ring, solid_inside=False, under=2.999) is None


@pytest.mark.parametrize("tip", [20.0, 30.0, 60.0, 90.0])
def test_a_tip_is_no_neck(tip: float) -> None:
    half = 50.0 * np.tan(np.radians(tip / 2))
    wedge = closed_ring([Turn((0.0, 0.0)), Turn((50.0, -half)), Turn((50.0, half))])
    assert neck(wedge.loop) is None


def test_a_sliver_is_a_neck() -> None:
    sliver = closed_ring([Turn((0.0, -0.1)), Turn((50.0, -0.5)), Turn((50.0, 0.5)), Turn((0.0, 0.1))])
    found = neck(sliver.loop)
    assert found is not None
    assert found.distance < 1.1


def test_round_and_square_parts_have_no_neck() -> None:
    assert neck(Round((0.0, 0.0), 10.0).loop) is None
    assert neck(rectangle(0.0, 0.0, 20.0, 20.0).loop) is None


def test_inside_and_on_material() -> None:
    points = np.array([(5.0, 5.0), (20.0, 20.0), (70.0, 5.0)])
    assert inside(OUTER.loop, points).tolist() == [True, True, False]
    assert on_material([OUTER.loop, HOLE.loop], points).tolist() == [True, False, False]


def test_a_line_is_broken_at_a_hole_and_ends_short_of_edges() -> None:
    rings = [OUTER.loop, HOLE.loop]
    kept = list(kept_pieces(rings, (-10.0, 20.0), (80.0, 20.0), 1.0))
    ends = [x for piece in kept for x, _ in piece]
    assert ends == pytest.approx([1.0, 14.0, 26.0, 59.0], abs=0.15)


def test_a_line_that_ends_on_an_edge_or_runs_beside_one_keeps_clear() -> None:
    to_edge = list(kept_pieces([OUTER.loop], (30.0, 10.0), (60.0, 10.0), 1.0))
    assert to_edge[0][1] == pytest.approx((59.0, 10.0))
    assert list(kept_pieces([OUTER.loop], (10.0, 0.5), (50.0, 0.5), 1.0)) == []
    beside = list(kept_pieces([OUTER.loop, HOLE.loop], (5.0, 25.5), (55.0, 25.5), 1.0))
    assert len(beside) == 2


def test_a_loop_of_two_arcs_is_a_ring() -> None:
    disc = Contour(((5.0, 0.0), (-5.0, 0.0)), (1.0, 1.0))
    assert shapely.Polygon(disc.loop).area == pytest.approx(disc.area, rel=1e-3)

"""Contours by hand-computable cases: areas, boxes, corners, hulls, halves."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.plates.contour import Contour, ContourPiece, Round, join_pieces
from layout.geometry.plates.convex import (
    area,
    box,
    clear,
    clip_half_plane,
    gap,
    grow,
    hull,
    shrunk,
    simplify,
    soften,
)
from layout.geometry.plates.corners import OVERSHOOT, Corner, Turn, closed_ring, rectangle, slot, strip
from layout.geometry.plates.ground import side_of
from layout.geometry.plates.plate import Plate, circle

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
BULGES = st.floats(-3.0, 3.0).filter(lambda b: abs(b) > 1e-3)


def test_a_half_circle_is_a_bulge_of_one() -> None:
    arc = ContourPiece((3.0, 0.0), (-3.0, 0.0), 1.0)
    assert (arc.radius, arc.sweep) == (pytest.approx(3.0), pytest.approx(math.pi))
    assert arc.centre == pytest.approx((0.0, 0.0))
    assert arc.at(0.5) == pytest.approx((0.0, 3.0))
    assert ContourPiece((3.0, 0.0), (-3.0, 0.0), -1.0).at(0.5) == pytest.approx((0.0, -3.0))


@given(BULGES)
def test_an_arc_halved_is_the_same_arc(bulge: float) -> None:
    arc = ContourPiece((1.0, 2.0), (6.0, -3.0), bulge)
    first, second = arc.between(0.0, 0.5), arc.between(0.5, 1.0)
    assert first.end == pytest.approx(second.start)
    assert first.centre == pytest.approx(arc.centre, abs=1e-6)
    assert second.radius == pytest.approx(arc.radius)
    assert first.length + second.length == pytest.approx(arc.length)


@given(BULGES)
def test_chords_stay_within_their_sagitta(bulge: float) -> None:
    arc = ContourPiece((0.0, 0.0), (40.0, 9.0), bulge)
    points = [arc.start, *arc.chords(0.01)]
    for a, b in pairwise(points):
        half = math.dist(a, b) / 2
        assert arc.radius - math.sqrt(arc.radius**2 - half**2) <= 0.01 + 1e-9


def test_a_disc_of_two_arcs_and_a_round_have_the_same_measures() -> None:
    ring, disc = Contour(((5.0, 1.0), (-5.0, 1.0)), (1.0, 1.0)), Round((0.0, 1.0), 5.0)
    assert ring.area == pytest.approx(25 * math.pi)
    assert ring.length == pytest.approx(disc.length)
    assert ring.bounds == pytest.approx((-5.0, -4.0, 5.0, 6.0))
    assert disc.bounds == (-5.0, -4.0, 5.0, 6.0)
    assert ring.reversed.area == pytest.approx(-ring.area)
    assert ring.reversed.bounds == pytest.approx(ring.bounds)


def test_a_bar_with_round_ends() -> None:
    bar = strip(0.0, 100.0, 8.0)
    assert bar.area == pytest.approx(100 * 16 + math.pi * 64)
    assert bar.length == pytest.approx(200 + 2 * math.pi * 8)
    assert bar.bounds == pytest.approx((-8.0, -8.0, 108.0, 8.0))


def test_a_relief_passes_through_its_corner_and_no_further_than_it_says() -> None:
    """A sharp tab fills a relieved slot to its corners: they lie on the contour."""
    ring = slot((0.0, 0.0), 12.0, 6.0, 0.8)
    a, b = 6.0 + OVERSHOOT * 0.8, 3.0 + OVERSHOOT * 0.8
    assert ring.bounds == pytest.approx((-a, -b, a, b))
    reliefs = [p for p in ring.pieces if p.bulge]
    assert [p.radius for p in reliefs] == pytest.approx([0.8] * 4)
    for corner in ((6.0, 3.0), (-6.0, 3.0), (-6.0, -3.0), (6.0, -3.0)):
        assert min(abs(math.dist(p.centre, corner) - 0.8) for p in reliefs) < 1e-12
    assert ring.area > 12.0 * 6.0


def test_rounded_corners_take_the_corner_off() -> None:
    ring = rectangle(0.0, 0.0, 20.0, 10.0, Corner.ROUND, 3.0)
    assert ring.area == pytest.approx(200 - (4 - math.pi) * 9)
    assert ring.length == pytest.approx(60 - 8 * 3 + 2 * math.pi * 3)


def test_corners_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="too short"):
        rectangle(0.0, 0.0, 20.0, 5.0, Corner.ROUND, 3.0)
    with pytest.raises(ValueError, match="not square"):
        closed_ring([Turn((0.0, 0.0)), Turn((9.0, 0.0), Corner.RELIEF, 1.0), Turn((0.0, 9.0))])
    with pytest.raises(ValueError, match="lies on an arc"):
        closed_ring([Turn((0.0, 0.0), bulge=0.3), Turn((9.0, 0.0), Corner.ROUND, 1.0), Turn((0.0, 9.0))])


def test_rounding_and_straight_arcs_do_not_reach_a_file() -> None:
    pieces = [
        ContourPiece((0.0, 0.0), (5.0, 0.0), 1e-9),
        ContourPiece((5.0, 0.0), (10.0, 0.0)),
        ContourPiece((10.0, 0.0), (10.0, 10.0)),
        ContourPiece((10.0, 10.0), (10.0, 10.00001)),
        ContourPiece((10.0, 10.00001), (0.0, 0.0)),
    ]
    ring = join_pieces(pieces)
    assert ring.points == ((0.0, 0.0), (10.0, 0.0), (10.0, 10.00001))
    assert ring.bulges == (0.0, 0.0, 0.0)


def test_a_hull_grown_has_the_area_of_steiner() -> None:
    """Area + perimeter * r + pi r^2 (Steiner's formula for a convex polygon)."""
    polygon = hull([*SQUARE, (5.0, 5.0), (5.0, 14.0)])
    perimeter = sum(math.dist(a, b) for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True))
    ring = grow(polygon, 3.0)
    assert ring.area == pytest.approx(area(polygon) + 3 * perimeter + 9 * math.pi)
    turns = [abs(math.remainder(b.direction(0) - a.direction(1), 2 * math.pi)) for a, b in _pairs(ring)]
    assert max(turns) < 1e-9


def _pairs(ring: Contour) -> list[tuple[ContourPiece, ContourPiece]]:
    return list(zip(ring.pieces, (*ring.pieces[1:], ring.pieces[0]), strict=True))


def test_shrinking_and_softening() -> None:
    assert area(shrunk(SQUARE, 2.0)) == pytest.approx(36.0)
    assert shrunk(SQUARE, 6.0) == ()
    soft = soften(SQUARE, 2.0)
    assert soft is not None
    assert soft.area == pytest.approx(100 - (4 - math.pi) * 4)
    assert soften(SQUARE, 5.1) is None
    assert clip_half_plane(SQUARE, (1.0, 0.0), 11.0) == ()
    assert area(clip_half_plane(SQUARE, (0.6, 0.8), 7.0)) == pytest.approx(50.0)


def test_a_vertex_that_hardly_stands_out_is_left_out() -> None:
    assert simplify((*SQUARE[:1], (5.0, -0.2), *SQUARE[1:]), 1.0) == SQUARE
    assert len(simplify((*SQUARE[:1], (5.0, -2.0), *SQUARE[1:]), 1.0)) == 5


@pytest.mark.parametrize(
    ("at", "distance"), [((20.0, 0.0), 16.0), ((9.0, 12.0), math.hypot(5, 8)), ((3.0, 1.0), 0.0)]
)
def test_gaps_of_boxes(at: tuple[float, float], distance: float) -> None:
    one, other = box((0.0, 0.0), (1.0, 0.0), 2.0, 2.0), box(at, (1.0, 0.0), 2.0, 2.0)
    assert gap(one, other) == pytest.approx(distance)
    assert clear(one, other, distance) or distance == 0.0
    assert not clear(one, other, distance + 0.01)


@given(st.floats(-14.0, 14.0))
def test_two_halves_are_the_whole(x: float) -> None:
    ring = grow(((-10.0, -5.0), (10.0, -5.0), (0.0, 10.0)), 5.0)
    left, right = side_of(ring, x, -1.0), side_of(ring, x, 1.0)
    assert left.area + right.area == pytest.approx(ring.area, abs=1e-2)
    assert left.bounds[2] == pytest.approx(x, abs=1e-3)
    assert right.bounds[0] == pytest.approx(x, abs=1e-3)


def test_a_part_is_moved_into_the_corner_by_whole_millimetres() -> None:
    plate = Plate(
        "bar", 6.0, strip(-3.3, 50.0, 8.0), (circle("hole", (0.0, 0.0), 6.0),), marks={"bb": (0.0, 0.0)}
    )
    moved, by = plate.in_corner()
    assert by == (12.0, 8.0)
    assert moved.marks["bb"] == (12.0, 8.0)
    assert moved.bounds[0] == pytest.approx(0.7)
    assert moved.area == pytest.approx(plate.area)
    assert plate.weight(7.85) == pytest.approx(plate.area * 6.0 * 7.85e-6)


def test_a_part_turned_keeps_its_measures() -> None:
    plate = Plate(
        "bar", 6.0, strip(0.0, 50.0, 8.0), (circle("hole", (50.0, 0.0), 6.0),), (((1.0, 0.0), (2.0, 0.0)),)
    )
    turned = plate.placed((5.0, 7.0), (0.0, 1.0))
    assert turned.size == pytest.approx((16.0, 66.0))
    assert turned.cutouts[0].shape.bounds == pytest.approx((2.0, 54.0, 8.0, 60.0))
    assert np.allclose(turned.engraving[0], ((5.0, 8.0), (5.0, 9.0)))

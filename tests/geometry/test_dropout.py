"""The plain dropout's outline against shapely, and how the stays are slotted for it by hand."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from layout.bench.dropouts import dropout_notices, stay_ends
from layout.frame.solve import Frame, solve
from layout.geometry.plates.contour import Contour
from layout.geometry.space.dropout import EYE, INSIDE, TONGUE, StayCorner, outline, outline_of, stay_corners
from layout.geometry.space.misfit import MisfitError
from layout.spec.load import loads

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
"""


def framed(rear: str) -> Frame:
    return solve(loads(f"{PLAIN}rear_end: {{{rear}}}\n", "rear.yaml"))


def area(ring: Contour) -> Polygon:
    return Polygon([p for piece in ring.pieces for p in (piece.start, *piece.chords(1e-4)[:-1])])


def ends(seed: int) -> tuple[StayCorner, StayCorner]:
    r = random.Random(seed)
    made = []
    for angle in (r.uniform(-15, 5), r.uniform(45, 80)):
        a, off = math.radians(angle), r.uniform(-10, 10)
        ahead = r.uniform(26, 45)
        at = ahead * math.cos(a) - off * math.sin(a), ahead * math.sin(a) + off * math.cos(a)
        made.append(StayCorner(at, (math.cos(a), math.sin(a)), r.uniform(5, 8)))
    return made[0], made[1]


@pytest.mark.parametrize("seed", range(20))
def test_the_plate_runs_from_the_eye_to_both_stays_ends_in_tangents(seed: int):
    """Within the hull of the eye and the tongues; it holds the eye, and every stay's end lies on its edge."""
    corners = ends(seed)
    plate = area(outline(corners, None))
    assert plate.is_valid and plate.exterior.is_ccw
    assert plate.buffer(1e-3).contains(Spot(0, 0).buffer(EYE, quad_segs=400))
    for each in corners:
        for side in (1.0, -1.0):
            assert plate.exterior.distance(Spot(each.corner(side))) < 1e-9
            assert plate.exterior.distance(Spot(each.corner(side, TONGUE, INSIDE))) < 1e-9
    outer = (corners[0].corner(-1.0), corners[1].corner(1.0))
    for tip in outer:
        ring = np.array(plate.exterior.coords)
        k = int(np.hypot(*(ring - np.array(tip)).T).argmin())
        sides = [LineString([ring[k], ring[(k + step) % (len(ring) - 1)]]) for step in (1, -1)]
        runs = [np.diff(s.coords, axis=0)[0] / s.length for s in sides]
        reach = [abs(float(tip[0] * y - tip[1] * x)) for x, y in runs]
        assert min(abs(r - EYE) for r in reach) < 1e-6


@pytest.mark.parametrize("width", [8.0, 10.0])
def test_an_axle_drops_out_of_an_open_slot(width: float):
    """A round bar of the slot's width goes from the axle to the open; one 0.01 thicker does not."""
    corners = ends(3)
    whole, plate = area(outline(corners, None)), area(outline(corners, width))
    assert whole.buffer(1e-3).contains(plate)
    assert plate.distance(Spot(0, 0)) == pytest.approx(width / 2, abs=1e-3)
    ways = [LineString([(0, 0), (60 * math.cos(a), 60 * math.sin(a))]) for a in np.radians(range(360))]
    free = [way for way in ways if way.buffer(width / 2 - 0.3).intersection(plate).area < 1e-3]
    assert free
    assert all(way.buffer(width / 2 + 0.01).intersection(plate).area > 1e-3 for way in ways)


def test_a_stay_that_ends_inside_the_eye_is_told():
    """An end 8 from the axle lies inside the dropout's eye of 14."""
    frame = framed("dropout: {seat_stay: {from_axle: 8}}")
    with pytest.raises(MisfitError, match="inside the dropout's eye"):
        outline(stay_corners(frame.space), None)
    (said,) = dropout_notices(frame)
    assert said.code == "dropout_unmade" and "larger from_axle" in said.message


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_stay_that_ends_inside_the_eye_with_one_corner_only_is_told(side: float):
    """From a corner inside it there is no tangent to the eye: the plate could not be worked out."""
    aslant = StayCorner((13.0, -6.0 * side), (1.0, 0.0), 8.0)
    near, far = (math.hypot(*aslant.corner(s)) for s in (side, -side))
    assert near < EYE < far
    for corners in ((aslant, ends(0)[1]), (ends(0)[1], aslant)):
        with pytest.raises(MisfitError, match="inside the dropout's eye"):
            outline(corners, None)


def test_a_stay_that_passes_beside_the_dropouts_eye_is_told_what_would_do():
    frame = framed("dropout: {chain_stay: {from_axle: 40, off: 30}}")
    (said,) = (n for n in dropout_notices(frame) if n.code == "dropout_off")
    assert said.message == (
        "Chain stays pass 30.0 mm from the axle, outside the dropout's eye. Write off: 21 or nearer to 0."
    )
    assert not list(dropout_notices(framed("dropout: {inset: 60, chain_stay: {off: 21}}")))


def test_a_slot_lies_in_the_dropouts_plane():
    """By hand: the plane stands upright and lengthwise.

    So a slot opens up and down on a chain stay in line, and leans to the stay's axis by as much as the stay
    leans to the middle plane.
    """
    frame = framed("dropout: {thickness: 7}, spacing: 135, stay_spacing_at_shell: 42")
    chain, seat = stay_ends(frame)
    stay = frame.space.tubes["chain_stay_right"]
    assert (chain.slot, chain.depth, chain.from_axle) == (7.0, TONGUE, 25.0)
    assert abs(math.sin(math.radians(chain.phi))) < 0.03
    assert chain.lean == pytest.approx(math.degrees(math.asin((71.0 - 21.0) / stay.length)))
    for end in (chain, seat):
        here = end.tube.end(end.tube.role.dropout or 0).triad
        a = math.radians(end.phi)
        opening = math.cos(a) * here.reference + math.sin(a) * here.across
        assert opening[2] == pytest.approx(0.0, abs=1e-12)


def test_the_axle_goes_through_a_hole_where_there_is_no_slot():
    frame = framed("axle: 12, spacing: 142")
    assert outline_of(frame.space, None, 12.0).hole == 12.0
    assert outline_of(frame.space, 10.0, 10.0).hole is None
    assert outline_of(frame.space, None, None).hole == 10.0, "where it is not known, as the module says"
    plate = outline_of(frame.space, None, 12.0)
    assert len(plate.tongues) == 6 and len(plate.edge) == len(plate.ring.pieces) - 6

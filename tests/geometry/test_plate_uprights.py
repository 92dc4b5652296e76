"""Feet, cradles and posts: what goes into what, and how high a tube lies."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.plates.contour import Contour, ContourPiece
from layout.geometry.plates.foot import Foot
from layout.geometry.plates.process import (
    BOLTS,
    INNER_RADIUS,
    INNER_RADIUS_OVER_THICKNESS,
    Bolt,
    Process,
    bolt,
    density_of,
)
from layout.geometry.plates.table import axle_table, clamp, shell_pocket_half, shell_post_offset
from layout.geometry.plates.uprights import Bed, Pocket, cradle, least_height, post, table_leg

FOOT = Foot(Process())
BED = Bed(14.3, 14.3, -7.0, -7.0)


def longest_arc(outline: object) -> ContourPiece:
    assert isinstance(outline, Contour)
    return max((p for p in outline.pieces if p.bulge), key=lambda p: p.chord)


@pytest.mark.parametrize("made", BOLTS, ids=lambda b: f"M{b.diameter:g}")
@pytest.mark.parametrize(("thickness", "fit"), [(1.0, 0.0), (2.0, 0.2), (6.0, 0.2), (12.0, 0.5), (40.0, 2.0)])
def test_the_greatest_inner_radius_is_the_one_that_all_corners_take(
    made: Bolt, thickness: float, fit: float
) -> None:
    """The value a fault names makes every part of a foot, and nothing much greater does."""
    process = Process(thickness=thickness, fit=fit, bolt=made, inner_radius=10.5, smallest_web=0.1)
    (fault,) = Foot(process).faults()
    assert fault.key == "plates.inner_radius"
    most = float(fault.message.split("Take ")[-1].replace(" mm or", " or").split(" or less")[0])
    good = Foot(replace(process, inner_radius=most))
    assert not list(good.faults())
    of_foot(good)
    bad = Foot(replace(process, inner_radius=most + 0.02))
    assert [f.key for f in bad.faults()] == ["plates.inner_radius"]
    with pytest.raises(ValueError, match="too short for its corners"):
        of_foot(bad)


def of_foot(foot: Foot) -> None:
    """A part of each kind that has this foot or a slot for it."""
    foot.cutouts("part", (0.0, 0.0), (1.0, 0.0), bolted=True)
    cradle("cradle", BED, least_height(BED, foot), foot)
    table_leg("axle_post", 60.0, foot)
    axle_table("axle_table", 10.2, foot)


def test_the_defaults_fit_every_bolt_and_every_plate() -> None:
    for made in BOLTS:
        for thickness in (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 12.0, 20.0, 40.0):
            for web in (0.1, 0.5, 1.0):
                radius = min(INNER_RADIUS, INNER_RADIUS_OVER_THICKNESS * thickness)
                foot = Foot(Process(thickness, bolt=made, inner_radius=radius, smallest_web=web))
                assert not list(foot.faults())
                of_foot(foot)


def test_a_web_that_asks_for_a_bolt_nobody_makes_is_a_fault_that_says_which_would_do() -> None:
    process = Process(thickness=40.0, bolt=bolt(16.0), smallest_web=5.0)
    (fault,) = Foot(process).faults()
    assert fault.key == "plates.smallest_web"
    assert "would be 266 mm long. The longest made is 120 mm" in fault.message
    most = float(fault.message.split("Take ")[-1].replace(" mm or", " or").split(" or less")[0])
    assert Foot(replace(process, smallest_web=most)).bolt_length == 120.0
    assert not list(Foot(replace(process, smallest_web=most)).faults())
    with pytest.raises(ValueError, match="no bolt of"):
        _ = Foot(replace(process, smallest_web=most + 0.02)).bolt_length


def test_the_arc_is_the_tube_and_clearance_with_its_centre_half_of_it_up() -> None:
    plate = cradle("seat cradle", BED, 120.0, FOOT)
    arc = longest_arc(plate.outline)
    assert arc.radius == pytest.approx(14.3 + 0.15)
    assert arc.centre == pytest.approx((0.0, 120.0 + 0.15))
    assert arc.at(0.5) == pytest.approx((0.0, 120.0 - 14.3))


@given(st.floats(12.0, 32.0), st.floats(0.0, 1.0))
def test_any_round_tube_rests_at_the_height(radius: float, clearance: float) -> None:
    foot = Foot(replace(Process(), clearance=clearance))
    bed = Bed(radius, radius, -radius * 0.6, -radius * 0.5)
    arc = longest_arc(cradle("c", bed, 130.0, foot).outline)
    assert arc.centre[1] - (arc.radius - radius) == pytest.approx(130.0, abs=1e-9)


@given(st.floats(8.0, 20.0), st.floats(8.0, 20.0))
def test_an_oval_tube_touches_its_cradle_at_the_bottom_alone(across: float, below: float) -> None:
    """By shapely: the ellipse is inside the arc's circle as far as the horns reach, and touches it below."""
    bed = Bed(across, below, 0.0, 0.0)
    r = bed.radius(0.0)
    circle = [
        (r * math.sin(a), r - below - r * math.cos(a)) for a in (k * math.pi / 900 for k in range(-300, 301))
    ]
    ellipse = shapely.Polygon(
        [(across * math.sin(a), -below * math.cos(a)) for a in (k * math.pi / 900 for k in range(-900, 900))]
    )
    bowl = shapely.LineString(circle)
    assert bowl.distance(ellipse) < 1e-3
    assert not ellipse.buffer(-0.01).intersects(bowl)
    assert ellipse.distance(shapely.Point(0.0, -below)) < 1e-9


def test_horns_stop_where_the_bed_says() -> None:
    plate = cradle("c", Bed(20.0, 20.0, -12.0, -16.0), 120.0, FOOT)
    arc = longest_arc(plate.outline)
    left, right = sorted((arc.start, arc.end))
    assert (left[1], right[1]) == (pytest.approx(108.0), pytest.approx(104.0))
    assert Bed(20.0, 20.0, -12.0, -16.0).grips(0.3) == pytest.approx((53.13, 36.87), abs=0.5)


@pytest.mark.parametrize("thickness", [3.0, 5.0, 6.0, 8.0, 10.0, 12.0])
@pytest.mark.parametrize("size", [5.0, 6.0, 8.0, 12.0])
def test_tabs_go_into_slots_and_nuts_into_pockets(thickness: float, size: float) -> None:
    """With sharp-edged tabs and nuts, corners included: shapely holds one in the other."""
    relief = min(0.8, 0.2 * thickness)
    process = replace(Process(), thickness=thickness, bolt=bolt(size), inner_radius=relief)
    foot = Foot(process)
    plate = cradle("c", BED, 140.0, foot)
    part = shapely.Polygon(plate.outline.loop)
    tabs = shapely.intersection(part, shapely.box(-99.0, -thickness, 99.0, -0.1))
    assert tabs.geom_type == "MultiPolygon"
    slots = [c.shape for c in foot.cutouts("c", (0.0, 0.0), (1.0, 0.0), bolted=True)]
    assert len(slots) == 3
    for tab, slot in zip(sorted(tabs.geoms, key=lambda g: g.centroid.x), slots, strict=False):
        left, _, right, _ = tab.bounds
        through = shapely.box(left, -thickness / 2, right, thickness / 2)
        opening = shapely.Polygon(slot.loop)
        assert opening.contains(through)
        assert opening.exterior.distance(through) == pytest.approx(process.fit / 2, abs=0.03)
    nut_high, flats = process.bolt.nut_height, process.bolt.nut_flats
    nut = shapely.box(-flats / 2, foot.nut_low + 0.01, flats / 2, foot.nut_low + 0.01 + nut_high)
    shank = shapely.box(-size / 2, -thickness, size / 2, foot.bolt_length - thickness)
    assert part.intersection(nut).area < 1e-6
    assert part.intersection(shank).area < 1e-6


def test_a_bolt_reaches_through_its_nut() -> None:
    """By hand: base 6, washer 1.5, pocket up to 9 + 5.7, two threads and more: 24.6, so a bolt of 25."""
    assert FOOT.nut_low == 9.0
    assert FOOT.nut_high == pytest.approx(14.7)
    assert FOOT.bolt_length == 25.0
    assert FOOT.bolt_length - 6.0 - 1.5 > FOOT.nut_high + 0.4 * 6.0


def test_bolts_are_those_that_are_made() -> None:
    """Clearance holes after ISO 273, medium, nuts after ISO 4032; both from memory."""
    assert {bolt(d) for d in (5.0, 8.0)} == {Bolt(5.0, 5.5, 8.0, 4.7), Bolt(8.0, 9.0, 13.0, 6.8)}
    with pytest.raises(ValueError, match="expected 3, 4, 5"):
        bolt(7.0)


def test_densities_are_known_by_name() -> None:
    assert density_of("Steel S355") == 7.85
    assert density_of("AlMg4.5 aluminium") == 2.7
    assert density_of("plywood") is None


def test_a_cradle_has_room_at_its_least_height() -> None:
    """There the strap holes and the arc keep their webs from the nut's pocket and the bolt's slot."""
    plate = cradle("c", BED, least_height(BED, FOOT), FOOT)
    outline = shapely.Polygon(plate.outline.loop)
    for cutout in plate.cutouts:
        hole = shapely.Polygon(cutout.shape.loop)
        assert outline.contains(hole)
        assert outline.exterior.distance(hole) >= 6.0
    bowl, slot_top = 120.0, FOOT.slot_top
    assert bowl > slot_top


def test_the_shell_is_held_at_four_places_and_the_bolt_passes_between() -> None:
    radius = 20.0
    offset = shell_post_offset(radius, FOOT)
    half = shell_pocket_half(radius, offset, FOOT)
    inner = offset - 3.0
    assert math.hypot(half, inner) == pytest.approx(radius + 0.15)
    assert inner > FOOT.process.bolt.hole / 2
    plate = post("p", Pocket(half, 86.0, 92.0), FOOT)
    floor = [p for p in plate.outline.pieces if p.start[1] == p.end[1] == 86.0]
    assert floor
    with pytest.raises(ValueError, match="outside the shell"):
        shell_pocket_half(8.0, 12.0, FOOT)


def test_the_table_takes_its_posts_tabs_and_the_axle() -> None:
    table, leg = axle_table("table", 12.2, FOOT), table_leg("leg", 26.0, FOOT)
    top = max(y for _, y in leg.outline.points)
    assert top == pytest.approx(26.0 + FOOT.tab_depth)
    upper = [p for p in leg.outline.pieces if p.start[1] == p.end[1] == pytest.approx(top)]
    assert upper[0].chord == pytest.approx(FOOT.tab)
    slots = [c.shape for c in table.cutouts if c.name.startswith("slot")]
    assert len(slots) == 2
    hole = shapely.Polygon(table.cutouts[0].shape.loop)
    assert all(shapely.Polygon(s.loop).distance(hole) >= 6.0 for s in slots)
    assert clamp("clamp", 40.0, FOOT).size == pytest.approx((52.0, 52.0))

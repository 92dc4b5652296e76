"""The fixture as a whole: what is made, what is chosen, how high, which way round."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.parts import fixture
from layout.bench.plates.settings import Settings, settings
from layout.checks.plate_rules import broken_rules
from layout.errors import PlateError
from layout.frame.solve import solve
from layout.geometry.plates.contour import Round
from layout.spec.load import loads
from layout.spec.plates import PLATE_PARTS

SPEC = (Path(__file__).parents[2] / "specs" / "tourer.yaml").read_text("utf-8")


@cache
def made(plates: str = "", spec: str = SPEC) -> Fixture:
    loaded = loads(f"{spec}\n{plates}\n", "s.yaml")
    frame = solve(loaded)
    space = frame.space
    return fixture(frame, settings(loaded, space.rear.spacing))


def set_to(plates: str) -> Settings:
    return settings(loads(f"{SPEC}\n{plates}\n", "s.yaml"), 135.0)


@pytest.fixture(scope="module")
def whole() -> Fixture:
    return made()


def names(one: Fixture) -> set[str]:
    return {p.name for p in one.plates}


def test_without_a_block_a_sensible_set_is_made(whole: Fixture) -> None:
    assert len(whole.plates) == 22
    assert {"base", "bb_post", "axle_table", "head_cradle_upper", "rear_centre_bar"} <= names(whole)
    assert {p.name: p.quantity for p in whole.plates if p.quantity > 1} == {"bb_post": 2, "axle_post": 2}
    assert not whole.notices


@pytest.mark.parametrize(
    ("chosen", "expected"),
    [
        ("length_bars", {"rear_centre_bar", "front_centre_bar"}),
        ("axle_post", {"axle_post", "axle_table"}),
        ("base, seat_cradles", {"base", "seat_cradle_lower", "seat_cradle_upper"}),
    ],
)
def test_only_what_is_chosen_is_made(chosen: str, expected: set[str]) -> None:
    one = made(f"plates: {{parts: [{chosen}]}}")
    assert names(one) == expected
    assert {s.part for s in one.standing} <= expected


def test_a_base_has_feet_for_the_chosen_parts_alone() -> None:
    cut = {c.name for c in made("plates: {parts: [base, seat_cradles]}").plate("base").cutouts}
    assert "bolt hole of seat cradle lower" in cut
    assert not [c for c in cut if "head cradle" in c or "BB post" in c]


def test_the_choice_of_parts_does_not_move_any_of_them(whole: Fixture) -> None:
    """What is cut later still fits what was cut before."""
    some = made("plates: {parts: [base, seat_cradles]}")
    assert some.height == whole.height
    assert some.plate("seat_cradle_lower").outline == whole.plate("seat_cradle_lower").outline
    assert some.plate("base").marks["seat_cradle_upper"] == whole.plate("base").marks["seat_cradle_upper"]


def test_every_name_of_the_spec_makes_something_of_its_own(whole: Fixture) -> None:
    """What is made of all names but one lacks just what that name stands for."""
    sizes = {"base": 1, "bb_post": 2, "axle_post": 2, "length_bars": 2, "angle_gauges": 2, "mitre_gauges": 5}
    assert sum(sizes.get(part, 2) for part in PLATE_PARTS) == len(whole.plates)
    rest = made(
        f"plates: {{parts: [{', '.join(p for p in PLATE_PARTS if p not in ('mitre_gauges', 'base'))}]}}"
    )
    assert len(names(whole) - names(rest)) == sizes["mitre_gauges"] + sizes["base"]


@pytest.mark.parametrize(("demo", "slotted"), [("all-road", False), ("tourer", True)])
def test_a_pair_of_dropouts_is_made_where_it_is_named_and_says_that_it_is_a_template(
    whole: Fixture, demo: str, slotted: bool
) -> None:
    """Two of one plate, with a hole or an open slot for the axle, that breaks no rule of the cutter's."""
    assert "dropout_template" not in names(whole)
    spec = (Path(__file__).parents[2] / "specs" / f"{demo}.yaml").read_text("utf-8")
    one = made("plates: {parts: [dropouts]}", spec)
    assert names(one) == {"dropout_template"} and not one.notices
    plate = one.plate("dropout_template")
    assert plate.quantity == 2 and plate.engraving
    assert bool(plate.cutouts) != slotted
    assert not broken_rules(one.plates, one.settings.process)


def test_the_height_is_the_least_that_all_have_room_at(whole: Fixture) -> None:
    """By hand: half a hub of 135, dropout 6, nut and washer of a rod of 10, table 6, posts 20: 112 to 115."""
    assert 67.5 + 6.0 + 12.5 + 6.0 + 20.0 == 112.0
    assert whole.height == 115.0
    assert made("plates: {height: 131}").height == 131.0
    with pytest.raises(PlateError, match="at least 112 mm for the table under the rear axle"):
        made("plates: {height: 111}")


def test_defaults_follow_the_thickness() -> None:
    numbers = {n.key: (n.value, n.given) for n in set_to("plates: {thickness: 10}").numbers}
    assert numbers["thickness"] == ("10", True)
    assert (numbers["bolt"], numbers["dowel"]) == (("M10", False), ("10", False))
    assert numbers["material"] == ("steel S235", False)
    assert numbers["rear_end.axle"] == ("10", True)


def test_a_material_needs_a_density() -> None:
    with pytest.raises(PlateError, match="no density is known for 'oak'") as raised:
        set_to("plates: {material: oak}")
    assert (raised.value.faults[0].key, raised.value.faults[0].line) == (
        "plates.material",
        SPEC.count("\n") + 2,
    )
    assert set_to("plates: {material: oak, density: 0.7}").process.density == 0.7


def test_a_frame_heading_left_is_held_from_its_other_side(whole: Fixture) -> None:
    """The base is mirrored; seen from its engraved face every part is still as it was meant."""
    left = made(spec=SPEC.replace("drawing:\n", "drawing:\n  heading: left\n"))
    right_marks, left_marks = whole.plate("base").marks, left.plate("base").marks
    assert left_marks.keys() == right_marks.keys()
    for name, (x, y) in right_marks.items():
        assert left_marks[name] == pytest.approx((-x, y), abs=1e-6), name
    for name in ("head_cradle_lower", "head_cradle_upper"):
        a, b = whole.plate(name), left.plate(name)
        mirrored = sorted((round(-x, 6), round(y, 6)) for x, y in b.outline.points)
        assert sorted((round(x, 6), round(y, 6)) for x, y in a.outline.points) == mirrored


def test_a_base_that_cannot_be_lifted_is_made_in_two(whole: Fixture) -> None:
    assert len(whole.bases) == 1
    two = made("plates: {heaviest: 8}")
    assert [p.name for p in two.bases] == ["base_rear", "base_front"]
    assert two.plate("base_strap").quantity == 2
    assert max(p.weight(7.85) for p in two.bases) < 8.0
    assert [s.part for s in two.standing].count("base_strap") == 2


def test_bolts_and_nuts_are_counted(whole: Fixture) -> None:
    needs = {n.what: n.quantity for n in whole.needs}
    assert needs["hexagon bolt M6 x 25"] == needs["hexagon nut M6"] == 8
    assert any(what.startswith("rod 10 x") for what in needs)
    two = {n.what: n.quantity for n in made("plates: {heaviest: 8}").needs}
    assert two["hexagon bolt M6, nut"] == 8


def test_uprights_look_towards_their_names(whole: Fixture) -> None:
    """A part's name on the base lies on the side of its slots that its engraved face looks to."""
    base = whole.plate("base")
    for standing in whole.standing:
        if "_cradle_" not in standing.part:
            continue
        n = (standing.along[1], -standing.along[0])
        at = base.marks[standing.part]
        near = [
            (p[0] - at[0]) * n[0] + (p[1] - at[1]) * n[1]
            for stroke in base.engraving
            if len(stroke) > 2 and all(math.dist(q, at) < 32.0 for q in stroke)
            for p in stroke
        ]
        assert sum(d > 0.0 for d in near) > 0.9 * len(near) > 20, standing.part


def test_every_part_carries_its_name_or_number(whole: Fixture) -> None:
    for plate in whole.plates:
        assert len(plate.engraving) >= 6, plate.name


def test_holes_for_drawing_down_and_the_axle_are_at_the_points(whole: Fixture) -> None:
    rounds = [c.shape for c in whole.plate("base").cutouts if isinstance(c.shape, Round)]
    for name in ("bb", "rear_axle"):
        assert any(math.dist(r.centre, whole.points[name]) < 1e-9 for r in rounds)

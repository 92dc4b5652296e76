"""Lengths and angles with their unit written, and numbers that say how sure they are.

An inch is 25.4 mm exactly (international yard and pound agreement, 1959, from memory).
"""

from __future__ import annotations

import pytest

from layout.errors import Fault, SolveError, SpecError
from layout.frame.solve import solve
from layout.spec.load import FrameSpec, loads

WRITTEN = [
    ("540", 540.0),
    ("540 mm", 540.0),
    ("540mm", 540.0),
    ("54 cm", 540.0),
    ("0.54 m", 540.0),
    ('"54 cm"', 540.0),
    ("21 1/4 in", 539.75),
    ("21-1/4 in", 539.75),
    ("21.25 in", 539.75),
    ("21.25 inches", 539.75),
    ('21.25"', 539.75),
    ("'21.25\"'", 539.75),
]


def geometry(name: str, written: str) -> FrameSpec:
    return loads(f"geometry:\n  {name}: {written}\n", "a.yaml")


def fault_of(text: str) -> Fault:
    with pytest.raises(SpecError) as caught:
        loads(text, "a.yaml")
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize(("written", "value"), WRITTEN)
def test_a_length_may_have_its_unit(written: str, value: float) -> None:
    assert geometry("seat_tube_length", written).givens["seat_tube_length"].value == value


@pytest.mark.parametrize("written", ("73", "73 deg", "73 degrees", "73°", '"73 deg"'))
def test_an_angle_may_have_its_unit(written: str) -> None:
    assert geometry("head_angle", written).givens["head_angle"].value == 73.0


def test_signs_and_small_fractions_are_read() -> None:
    assert geometry("bb_drop", "-1/2 in").givens["bb_drop"].value == -12.7
    assert geometry("lower_stack", "0.5 in").givens["lower_stack"].value == 12.7


def test_units_stand_in_tubes_and_parts_too() -> None:
    spec = loads(
        "tubes: {seat_tube: {diameter: 1-1/8 in, walls: [0.9 mm, 0.6 mm, 0.9 mm]}}\n"
        "wheels: {rear: {radius: 34 cm}}\n"
        "rear_end: {spacing: 13 cm}\n",
        "a.yaml",
    ).spec
    assert spec.tubes.seat_tube.diameter == 28.575
    assert spec.tubes.seat_tube.walls == (0.9, 0.6, 0.9)
    assert spec.rear_end.spacing == 130.0


REFUSED = [
    ("geometry: {seat_tube_length: 21.25}", "geometry.seat_tube_length", "Did you mean 21 1/4 in"),
    ("geometry: {seat_tube_length: 54}", "geometry.seat_tube_length", "Did you mean 54 cm"),
    ("geometry: {seat_tube_length: 73 deg}", "geometry.seat_tube_length", "is an angle, '73 deg'"),
    ("geometry: {head_angle: 73 mm}", "geometry.head_angle", "is a length, '73 mm'"),
    ("geometry: {seat_tube_length: 21 1/0 in}", "geometry.seat_tube_length", "expected a number"),
    ("geometry: {seat_tube_length: 5400 cm}", "geometry.seat_tube_length", "expected 100 to 900 mm"),
    ("drivetrain: {chainring_teeth: 42 mm}", "drivetrain.chainring_teeth", "Write the number alone"),
    ("geometry: {stack: {value: 560, agrement: 1}}", "geometry.stack", "has the key 'agrement'"),
    ("geometry: {stack: {agreement: 1}}", "geometry.stack", "has no key `value`"),
    ("geometry: {stack: {value: 560, agreement: 0}}", "geometry.stack", "expected 0.001 to 20 mm"),
    ("choose: {stack: {value: 560, agreement: 1}}", "choose.stack", "is a block of keys"),
]


@pytest.mark.parametrize(("text", "key", "words"), REFUSED)
def test_what_is_not_meant_says_what_to_write(text: str, key: str, words: str) -> None:
    fault = fault_of(text)
    assert fault.key == key
    assert words in fault.message


def test_a_bare_number_is_never_guessed_to_be_anything_else() -> None:
    """1.75 is a fork offset in inches, and a possible one in mm."""
    assert loads("fork: {offset: 1.75}", "a.yaml").givens["fork_offset"].value == 1.75


FRAME = """\
geometry: {{bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150, wheelbase: {wheelbase}}}
fork: {{axle_to_crown: 395, offset: 45}}
wheels: {{front: 37-622, rear: 37-622}}
"""
"""With a wheelbase of 1020.1 it closes."""


def test_a_number_says_how_sure_it_is() -> None:
    with pytest.raises(SolveError):
        solve(loads(FRAME.format(wheelbase=1025), "a.yaml"))
    unsure = loads(FRAME.format(wheelbase="{value: 1025, agreement: 6}"), "a.yaml")
    assert unsure.givens["wheelbase"].agreement == 6.0
    found = solve(unsure).plane
    assert found.residuals["wheelbase"] == pytest.approx(4.9, abs=0.2)
    assert max(abs(r) for n, r in found.residuals.items() if n != "wheelbase") < 0.1
    assert next(iter(found.residuals)) == "wheelbase"


def test_a_wheel_by_its_marking_is_held_and_a_radius_is_a_number() -> None:
    given = loads("wheels: {front: 37-622, rear: {radius: {value: 340, agreement: 3}}}", "a.yaml").givens
    assert (given["front_radius"].agreement, given["rear_radius"].agreement) == (0.0, 3.0)
    assert loads("wheels: {rear: {radius: 340}}", "a.yaml").givens["rear_radius"].agreement is None

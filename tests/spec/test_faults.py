"""Faults of the model: every one in one pass, with its place, its code and what to try."""

from __future__ import annotations

import pytest

from layout.errors import Fault, SpecError
from layout.spec.load import loads


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(SpecError) as caught:
        loads(text, "frame.yaml")
    return caught.value.faults


UNKNOWN = [
    ("geometry: {head_angel: 72}", "geometry.head_angel", "Did you mean head_angle?"),
    ("geometry: {rear_center: 425}", "geometry.rear_center", "Did you mean rear_centre?"),
    ("geometry: {BB-Drop: 70}", "geometry.BB-Drop", "Write it bb_drop"),
    ("geometry: {offset: 45}", "geometry.offset", "write fork.offset"),
    ("geometry: {rake: 45}", "geometry.rake", "write fork.offset"),
    ("geometry: {chainstay_length: 425}", "geometry.chainstay_length", "Here it is called rear_centre"),
    ("geometry: {crank: 170}", "geometry.crank", "write rider.crank_length"),
    ("geometry: {toe_clearance: 30}", "geometry.toe_clearance", "calculated, so it cannot be given"),
    ("geometry: {wheels: 37-622}", "geometry.wheels", "It belongs in another block: write wheels"),
    ("geometry: {xyzzy: 1}", "geometry.xyzzy", "`layout terms` lists the dimensions"),
    ("head_angle: 72", "head_angle", "write geometry.head_angle"),
    ("jobs: {}", "jobs", "Did you mean job?"),
    ("qqq: 1", "qqq", "Expected job, joining, geometry, choose, wheels"),
    ("fork: {length: 395}", "fork.length", "fork.axle_to_crown"),
    ("fork: {length: 395}", "fork.length", "fork.length_on_axis"),
    ("geometry: {fork_length: 395}", "geometry.fork_length", "fork.axle_to_crown"),
    ("fork: {fork_sag: 20}", "fork.fork_sag", "Here it is called sag"),
    ("wheels: {middle: 37-622}", "wheels.middle", "Expected front or rear"),
    ("headset: {stem_length: 90}", "headset.stem_length", "write cockpit.stem_length"),
    ("tubes: {headtube: {}}", "tubes.headtube", "Did you mean head_tube?"),
    ("tubes: {seat_tube: {diametre: 28.6}}", "tubes.seat_tube.diametre", "Did you mean diameter"),
    ("fittings: [{kind: boss, tube: down_tube, at: 5, form: bb}]", "fittings.0.form", "Did you mean from?"),
    ("drawing: {wheel: arcs}", "drawing.wheel", "Did you mean wheels?"),
    ("jig: {settings: {drop: {}}}", "jig.settings.drop", "not the name of a dimension"),
    ("jig: {settings: {bbdrop: {}}}", "jig.settings.bbdrop", "Did you mean bb_drop?"),
    ("fork: {axle_to_crown:395}", "fork.axle_to_crown:395", "no space after the colon"),
    ("geometry: {head_angle: 72,5}", "geometry.5", "decimal comma"),
    ('"": 1', "''", "is not a key of"),
    ('"\\e[31m": 1', "'\\x1b[31m'", "is not a key of"),
    ("job: {titel: x}", "job.titel", "Did you mean title?"),
]


@pytest.mark.parametrize(("text", "key", "words"), UNKNOWN)
def test_an_unknown_key_says_what_was_meant(text: str, key: str, words: str) -> None:
    (fault,) = faults_of(text)
    assert (fault.code, fault.key, fault.line) == ("unknown_key", key, 1)
    assert words in fault.message
    assert fault.message.isprintable()


WRONG = [
    ("tubes: {seat_tube: 28.6}", "tubes.seat_tube", "type", "such as diameter, wall"),
    ("rider: [1, 2]", "rider", "type", "is a list; expected a block of keys"),
    ("geometry: 5", "geometry", "type", "such as bb_drop"),
    ("fittings: {kind: boss}", "fittings", "type", "expected a list"),
    ("fittings: [boss]", "fittings.0", "type", "such as kind, tube, at and from"),
    ("fittings: [{tube: down_tube, at: 5}]", "fittings.0.kind", "type", "is missing"),
    ("fittings: [{kind: bos, tube: down_tube, at: 5}]", "fittings.0.kind", "type", "Did you mean boss?"),
    ("fittings: [{kind: boss, tube: down_tube, at: 5, from: axle}]", "fittings.0", "type", "bb or head"),
    ("fittings: [{kind: bridge, tube: down_tube, at: 5}]", "fittings.0", "type", "chain_stay or seat_stay"),
    ("tubes: {top_tube: {walls: [0.8, 0.5]}}", "tubes.top_tube.walls", "type", "too few"),
    ("tubes: {top_tube: {walls: [1, 1, 1, 1]}}", "tubes.top_tube.walls", "type", "too many"),
    ("tubes: {top_tube: {butts: 30}}", "tubes.top_tube.butts", "type", "a list such as [100, 80]"),
    ("tubes: {top_tube: {walls: [1, 9, 1]}}", "tubes.top_tube.walls.1", "range", "0.3 to 6 mm"),
    ("tubes: {top_tube: {wall: 0.8, walls: [1, 1, 1]}}", "tubes.top_tube", "duplicate", "Delete one"),
    ("tubes: {chain_stay: {bends: [{at: 9}]}}", "tubes.chain_stay.bends.0.angle", "type", "is missing"),
    ("drawing: {heading: north}", "drawing.heading", "type", "right or left"),
    ("bottom_bracket: {shell: iso-69}", "bottom_bracket.shell", "type", "Did you mean iso-68?"),
    ("drivetrain: {chainring_teeth: 42.5}", "drivetrain.chainring_teeth", "type", "whole number"),
    ("printer: {x: 1.2}", "printer.x", "range", "0.95 to 1.05"),
    ("agreement: {length: 0}", "agreement.length", "range", "0.001 to 20 mm"),
    ("plates: {parts: [{a: b}]}", "plates.parts.0", "type", "expected base, bb_post"),
    ("jig: {settings: {bb_drop: {range: [1]}}}", "jig.settings.bb_drop.range", "type", "too few"),
    ("jig: {settings: [1]}", "jig.settings", "type", "block of keys"),
    ("wheels: {front: 700x37c}", "wheels.front", "type", "Did you mean 37-622?"),
    ("wheels: {front: 700C}", "wheels.front", "type", "{radius: 341}"),
    ("wheels: {front: 37-600}", "wheels.front", "type", "349, 406, 451, 507, 559, 584 or 622"),
    ("wheels: {front: 622-37}", "wheels.front", "type", "Did you mean 37-622?"),
    ("wheels: {front: 37x622}", "wheels.front", "type", "Did you mean 37-622?"),
    ("wheels: {front: 341}", "wheels.front", "type", "{radius: 341}"),
    ("wheels: {front: 200-622}", "wheels.front", "type", "18 to 125 mm"),
    ("wheels: {front: {radius: 3}}", "wheels.front.radius", "range", "120 to 480 mm"),
    ("wheels: {front: {}}", "wheels.front.radius", "type", "is missing"),
    ("wheels: {front: [1]}", "wheels.front", "type", "is a list"),
    ("wheels: {front: }", "wheels.front", "type", "has no value"),
]


@pytest.mark.parametrize(("text", "key", "code", "words"), WRONG)
def test_a_wrong_value_says_what_was_expected(text: str, key: str, code: str, words: str) -> None:
    (fault,) = faults_of(text)
    assert (fault.key, fault.code, fault.line) == (key, code, 1)
    assert words in fault.message


def test_every_fault_is_told_in_one_pass_in_the_order_of_the_file() -> None:
    text = (
        "job: {titel: x}\n"
        "geometry:\n  head_angle: 99\n  seat_angle: no\n  rear_center: 425\n  fork_offset: 45\n"
        "fork: {offset: 45, length: 395}\n"
        "wheels: {rear: 37-600}\n"
        "tubes: {seat_tube: {wall: 9}}\n"
    )
    found = [(f.line, f.code) for f in faults_of(text)]
    assert found == [
        (1, "unknown_key"),
        (3, "range"),
        (4, "type"),
        (5, "unknown_key"),
        (7, "duplicate"),
        (7, "unknown_key"),
        (8, "type"),
        (9, "range"),
    ]


def test_a_message_has_file_line_key_and_words() -> None:
    (fault,) = faults_of("geometry:\n  head_angle: 99\n")
    assert str(fault) == (
        "frame.yaml:2: geometry.head_angle: is 99; expected 45 to 90 degrees. Check the digits and the unit."
    )


TWICE = [
    ("geometry: {fork_offset: 45}\nfork: {offset: 45}\n", "fork.offset", "geometry.fork_offset in line 1"),
    ("fork: {offset: 45}\ngeometry: {fork_offset: 45}\n", "geometry.fork_offset", "fork.offset in line 1"),
    ("headset: {lower_stack: 12}\ngeometry: {lower_stack: 12}\n", "geometry.lower_stack", "line 1"),
    ("wheels: {rear: 37-622}\ngeometry: {rear_radius: 348}\n", "geometry.rear_radius", "wheels.rear"),
    ("rider: {crank_length: 170}\ngeometry: {crank_length: 165}\n", "geometry.crank_length", "line 1"),
]


@pytest.mark.parametrize(("text", "key", "words"), TWICE)
def test_a_dimension_written_in_two_places_names_both_lines(text: str, key: str, words: str) -> None:
    (fault,) = faults_of(text)
    assert (fault.code, fault.key, fault.line) == ("duplicate", key, 2)
    assert words in fault.message


def test_choose_may_repeat_what_is_given() -> None:
    spec = loads("geometry: {head_angle: 72}\nchoose: {head_angle: 72}\n")
    assert spec.spec.choose.head_angle == 72.0  # type: ignore[attr-defined]
    assert list(spec.givens) == ["head_angle"]

"""What is read: values, places and defaults of the model."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from layout.errors import SpecError
from layout.spec.load import load, loads
from layout.spec.registered import DIMENSION_KEYS
from layout.spec.standards import TyreMarking

WHOLE = """\
job: {number: 7, title: T, rider: R, drawn_by: D, approved_by: A, date: 2024-05-01, revision: B}
geometry:
  head_angle: 72
  bb_drop: 70
choose: {trail: 60}
wheels:
  front: {radius: 341}
  rear: "37-622"
fork: {axle_to_crown: 395, offset: 45, sag: 20}
headset: {lower_stack: 12, upper_stack: 15}
cockpit: {stem_length: 100, stem_angle: -6, stem_clamp_height: 40, spacers: 10}
rider: {saddle_height: 720, saddle_setback: 50, saddle_nose_length: 140, shoe_ahead_of_spindle: 105,
        crank_length: 170, pedal_side: 145, pedal_outer: 190, pedal_below: 15}
bottom_bracket: {shell: iso-68, width: 68, diameter: 40}
rear_end: {spacing: 142, axle: 12, dropout: {thickness: 7, inset: 20, slot: 10}, stay_spacing_at_shell: 58,
           seat_stay_mount: back}
drivetrain: {chainline: 45, chainring_teeth: 42, crank_clearance: 65}
tubes:
  down_tube: {diameter: 34.9, walls: [0.8, 0.5, 0.8], butts: [100, 90]}
  head_tube: {diameter_top: 46, diameter_bottom: 60, facing_allowance: 2}
  chain_stay: {diameter: 22.2, wall: 0.8, diameter_end: 14, taper: [120, 380], section: [17, 30], turned: on,
               bends: [{at: 100, angle: 8, plane: 90, radius: 120}]}
fittings:
  - {kind: boss, tube: down_tube, at: 200, from: head, side: up}
drawing: {heading: left, wheels: arcs, tubes: centreline}
agreement: {length: 1, angle: 0.2}
tolerance: {length: 2, angle: 0.3, instruments: {tape: 0.4, gauge: 0.1, stop: 0.3}}
printer: {x: 1.002, y: 0.998}
jig: {settings: {bb_drop: {offset: 10, pitch: 5, range: [40, 90], shims: [0.5, 1]}}}
plates: {thickness: 10, material: aluminium, bolt: 8, dowel: 6, parts: [axle_post]}
"""


def test_every_block_of_the_contract_is_read() -> None:
    spec = loads(WHOLE, "whole.yaml").spec
    assert spec.job.number == "7"
    assert spec.wheels.rear == TyreMarking(37.0, 622, "37-622")
    assert spec.rear_end.dropout.inset == 20.0
    assert spec.drivetrain.chainring_teeth == 42
    assert spec.tubes.down_tube.walls == (0.8, 0.5, 0.8)
    stay = spec.tubes.chain_stay
    assert (stay.turned, stay.bends[0].radius, stay.taper) == (90.0, 120.0, (120.0, 380.0))
    assert spec.fittings[0].origin == "head"
    assert (spec.drawing.heading, spec.tolerance.instruments.gauge) == ("left", 0.1)
    assert spec.jig.settings["bb_drop"].shims == (0.5, 1.0)
    assert spec.plates.parts == ("axle_post",)


def test_givens_are_dimensions_in_the_order_of_the_file() -> None:
    givens = loads(WHOLE).givens
    assert list(givens)[:6] == [
        "head_angle",
        "bb_drop",
        "front_radius",
        "rear_radius",
        "axle_to_crown",
        "fork_offset",
    ]
    assert (givens["fork_offset"].value, givens["fork_offset"].key) == (45.0, "fork.offset")
    assert (givens["front_radius"].value, givens["rear_radius"].value) == (341.0, 348.0)
    assert set(DIMENSION_KEYS.values()) - set(givens) == {"fork_length_on_axis"}


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("geometry.bb_drop", 4),
        ("wheels.front.radius", 7),
        ("tubes.chain_stay.bends.0.angle", 22),
        ("fittings.0.side", 24),
        ("geometry.trail", 2),
        ("rider.pedal_side", 13),
        ("nothing.at.all", 1),
    ],
)
def test_the_place_of_a_key_is_its_line_or_its_blocks(key: str, line: int) -> None:
    assert loads(WHOLE, "whole.yaml").place(key) == ("whole.yaml", line)


def test_bare_blocks_and_lists_are_empty() -> None:
    spec = loads("geometry:\nrider:\ntubes:\n  seat_tube:\nfittings:\n").spec
    assert spec.rider.saddle_height is None
    assert spec.fittings == ()
    assert spec.tubes.seat_tube.diameter is None


def test_defaults_of_the_model_are_those_that_are_stated() -> None:
    spec = loads("geometry: {}").spec
    assert (spec.agreement.length, spec.agreement.angle) == (0.5, 0.1)
    assert (spec.tolerance.length, spec.tolerance.angle) == (1.0, 0.2)
    instruments = spec.tolerance.instruments
    assert (instruments.tape, instruments.gauge, instruments.stop) == (0.5, 0.15, 0.5)
    assert (spec.printer.x, spec.printer.y, spec.drawing.heading) == (1.0, 1.0, "right")


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda p: p / "missing.yaml", "no such file"),
        (lambda p: p, "this is a folder"),
        (lambda p: p / "a\0b", "cannot be read"),
        (lambda p: p / ("x" * 300), "cannot be read"),
    ],
)
def test_a_file_that_cannot_be_read_is_a_fault_with_its_name(tmp_path: Path, make, words: str) -> None:
    path = make(tmp_path)
    with pytest.raises(SpecError) as caught:
        load(path)
    (fault,) = caught.value.faults
    assert (fault.code, fault.file, fault.line) == ("syntax", str(path), None)
    assert words in fault.message


def test_a_file_whose_name_is_no_text_is_refused(tmp_path: Path) -> None:
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/b\xff.yaml"))
    path.write_text("geometry: {head_angle: 72}\n", encoding="utf-8")
    with pytest.raises(SpecError, match="is not UTF-8, so no other file can be named after it"):
        load(path)

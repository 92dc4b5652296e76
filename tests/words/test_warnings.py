"""Every warning that odd specs bring up keeps the rules: it says what to do, with a unit at each number."""

from __future__ import annotations

import json
from pathlib import Path

import mistakes
import pytest
import rules
from mistakes import also, good_but

from layout.cli.commands import run
from layout.errors import Notice
from layout.frame.solve import solve
from layout.spec.load import loads

WITHOUT_SEAT_TUBE = mistakes.GOOD.replace("  seat_tube_length: 540\n", "")
MIRRORED = """\
geometry: {rear_centre: 425, rear_centre_horizontal: 419.2, front_centre: 605, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
"""
PLANE = [
    (WITHOUT_SEAT_TUBE, {"seat_tube_assumed"}),
    (good_but(head_tube_length="60"), {"tubes_crossed", "unusual"}),
    (also("top_tube_slope: 0"), {"seat_tube_short"}),
    (good_but(rear_centre="350"), {"overlap"}),
    (good_but(front_centre="520"), {"unusual"}),
    (also("stack: 590"), {"default_replaced"}),
    (MIRRORED, {"second_frame"}),
]
"""A spec, and the codes of what is said of its numbers."""

TUBES = mistakes.GOOD + """\
rear_end: {stay_spacing_at_shell: 66, dropout: {chain_stay: {off: 30}}}
tubes:
  top_tube: {walls: [0.8, 0.5, 0.8], butts: [20, 20]}
  chain_stay: {diameter: 22, bends: [{at: 40, angle: 5, radius: 60}]}
  down_tube: {diameter: 30, diameter_end: 44, taper: [550, 600]}
drivetrain: {chainring_teeth: 54}
"""
SINGLE = mistakes.GOOD + """\
rear_end: {stay_spacing_at_shell: 120, seat_stay_mount: single, dropout: {seat_stay: {from_axle: 12}}}
fittings: [{kind: bridge, tube: seat_stay, at: 300, radius: 60}]
"""
JIG = mistakes.GOOD + """\
rear_end: {axle: 12, dropout: {slot: 10}}
drivetrain: {chainring_teeth: 54}
jig:
  settings:
    bb_drop: {range: [90, 100]}
    front_centre: {pitch: 50, shims: [1, 2]}
    rear_centre: {pitch: 150, range: [430, 440]}
"""
PLATES = mistakes.GOOD + """\
plates: {parts: [base, bb_post, mitre_gauges, dropouts], thickness: 3}
rear_end: {dropout: {chain_stay: {from_axle: 12}}}
"""
SHEET = mistakes.GOOD + """\
job: {title: My \U0001f6b2}
printer: {x: 1.03, y: 1.03}
drawing: {wheels: whole}
"""
DRAW = "draw --format svg --media roll-914 --media a4 --jobs 1"
JOBS = [
    ("mitres --format svg", TUBES,
     {"assumed", "cut_partial", "cut_past_end", "template_in_bend", "butt_eaten", "gap_small",
      "dropout_off"}),
    ("mitres --format svg", SINGLE, {"template_approximate", "bridge_curved", "gap_small", "dropout_unmade"}),
    ("setup --jobs 1", JIG, {"jig_range", "jig_step", "clearance", "axle_slot"}),
    ("plates", PLATES, {"not_engraved", "dropout_unmade"}),
    (DRAW, SHEET, {"points_left_out", "wheels_cut", "lettering", "printer_far", "printer_shared"}),
]  # fmt: skip
"""A job, a spec, and the codes of what the job says of it."""


@pytest.mark.parametrize(("text", "codes"), PLANE, ids=[" ".join(sorted(codes)) for _, codes in PLANE])
def test_a_warning_of_the_numbers_says_what_to_do(text: str, codes: set[str]) -> None:
    told = solve(loads(text)).plane.warnings
    assert codes <= {notice.code for notice in told}
    assert [line for notice in told for line in rules.broken_notice(notice)] == []


def notices(command: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> list[Notice]:
    """What a job on frame.yaml says."""
    job, *options = command.split()
    assert run([job, str(folder / "frame.yaml"), *options, "--out", str(folder / "out"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["warnings"]
    return [Notice(w["code"], w["message"]) for w in told]


@pytest.mark.parametrize(("command", "text", "codes"), JOBS, ids=[" ".join(sorted(c)) for *_, c in JOBS])
def test_a_warning_of_a_job_says_what_to_do(
    command: str, text: str, codes: set[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "frame.yaml").write_text(text, encoding="utf-8")
    told = notices(command, tmp_path, capsys)
    assert codes <= {notice.code for notice in told}
    assert [line for notice in told for line in rules.broken_notice(notice)] == []


def test_old_files_and_a_filled_form_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command, frame = "draw --format svg --jobs 1 --media roll-914", tmp_path / "frame.yaml"
    frame.write_text(mistakes.GOOD, encoding="utf-8")
    notices(f"{command} --media roll-1067", tmp_path, capsys)
    form = tmp_path / "out" / "frame-roll-914-readings.yaml"
    filled = form.read_text(encoding="utf-8").replace("measured: ", "measured: 600", 1)
    form.write_text(filled, encoding="utf-8")
    frame.write_text(good_but(rear_centre="430"), encoding="utf-8")
    told = notices(command, tmp_path, capsys)
    assert {"readings_kept", "stale_files"} <= {notice.code for notice in told}
    assert [line for notice in told for line in rules.broken_notice(notice)] == []

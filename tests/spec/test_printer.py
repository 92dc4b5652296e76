"""A printer's profile: two numbers and perhaps the papers they hold for."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import SpecError
from layout.spec.printer import PrinterProfile, load_profile, loads_profile

SPECS = Path(__file__).parents[2] / "specs"


def test_a_profile_is_read(tmp_path: Path):
    path = tmp_path / "printer.yaml"
    path.write_text("# the shop's printer\nprinter: {x: 1.0021, y: 0.9986}\nmedia: [a4, A3]\n")
    assert load_profile(path) == PrinterProfile(1.0021, 0.9986, ("a4", "A3"))


def test_an_axis_left_out_is_true():
    assert loads_profile("printer: {x: 1.004}") == PrinterProfile(1.004, 1.0)


def test_a_spec_with_a_printer_serves_too():
    spec = (SPECS / "all-road.yaml").read_text() + "printer: {x: 1.001, y: 0.998}\n"
    assert loads_profile(spec) == PrinterProfile(1.001, 0.998)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("media: [a4]", "r.yaml:1: printer: is missing. Write for example `printer: {x: 1.0021, y: 0.9986}`"),
        ("printer: {x: 1.2}", "r.yaml:1: printer.x: is 1.2; expected 0.95 to 1.05"),
        ("printer: {x: 0.998, z: 1}", "r.yaml:1: printer.z: is not a key of printer. Expected x, y"),
        ("printer: {x: 1,002}", "decimal comma"),
        ("printer: 1.002", "is the single value '1.002'; expected a block of keys below it"),
        ("printer: {x: 1}\npaper: a4", "r.yaml:2: paper: is not a key of this file. Expected printer"),
        ("printer: {x: 1}\nmedia: a4", "r.yaml:2: media: is the single value 'a4'; expected a list"),
        ("", "the file holds no printer profile. Write keys such as `printer:`. `layout calibrate`"),
        ((SPECS / "all-road.yaml").read_text(), "printer: is missing"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(text: str, words: str):
    with pytest.raises(SpecError) as caught:
        loads_profile(text, "r.yaml")
    assert words in str(caught.value)


def test_a_missing_file_says_where_the_numbers_come_from(tmp_path: Path):
    with pytest.raises(SpecError, match=r"no such file\. `layout calibrate` prints a page"):
        load_profile(tmp_path / "none.yaml")

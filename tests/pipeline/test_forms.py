"""Forms are written whole, and what somebody filled in is never lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import WriteError
from layout.pipeline.forms import write_form
from layout.spec.readings import FormRow, Kind, PrintedSheet, form_text, load_readings

ROWS = [FormRow(Kind.DISTANCE, ("bb", "rear_axle"), "B  425.0")]
FORM = form_text(["one"], ROWS, PrintedSheet("a4"))
NEXT = form_text(["two"], ROWS, PrintedSheet("a4", False, (1.002, 1.0)))


def test_a_form_is_written_and_written_anew(tmp_path: Path):
    path = tmp_path / "r.yaml"
    for text in (FORM, FORM, NEXT):
        assert write_form(path, text) == ()
        assert path.read_text() == text
    assert [p.name for p in tmp_path.iterdir()] == ["r.yaml"]


def test_what_was_filled_in_is_kept_and_said(tmp_path: Path):
    path = tmp_path / "r.yaml"
    for number in (1, 2):
        write_form(path, FORM)
        path.write_text(FORM.replace("measured: }", f"measured: 42{number}}}"))
        (notice,) = write_form(path, NEXT)
        assert notice.code == "readings_kept" and f"r-{number}.yaml" in notice.message
        assert load_readings(tmp_path / f"r-{number}.yaml").rows[0].measured == 420 + number
        assert path.read_text() == NEXT


def test_what_cannot_be_read_is_kept_too(tmp_path: Path):
    path = tmp_path / "r.yaml"
    path.write_text("readings: {half written")
    (notice,) = write_form(path, FORM)
    assert notice.code == "readings_kept"
    assert (tmp_path / "r-1.yaml").read_text() == "readings: {half written"


def test_a_folder_in_the_way_is_a_write_error(tmp_path: Path):
    (tmp_path / "r.yaml").mkdir()
    with pytest.raises(WriteError):
        write_form(tmp_path / "r.yaml", FORM)

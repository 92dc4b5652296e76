"""Forms are written whole, and what somebody filled in is never lost."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from layout.cli.commands import run
from layout.drafting.entities import Drawing
from layout.errors import Notice, WriteError
from layout.frame.solve import Frame, solve
from layout.pipeline.files import DataFile
from layout.pipeline.forms import tape_form, write_form
from layout.pipeline.frame_form import frame_form
from layout.pipeline.staged import stage_folder
from layout.sheets.media import Printer
from layout.sheets.sheet import Sheet
from layout.spec.load import load
from layout.spec.readings import FormRow, PrintedSheet, ReadingKind, form_text, load_readings
from layout.writers.document import DocumentInfo

ROWS = [FormRow(ReadingKind.DISTANCE, ("bb", "rear_axle"), "B  425.0")]
FORM = form_text(["one"], ROWS, PrintedSheet("a4"))
NEXT = form_text(["two"], ROWS, PrintedSheet("a4", False, (1.002, 1.0)))


def put(path: Path, text: str) -> tuple[Notice, ...]:
    """A form come into place at `path`, as jobs do it."""
    with stage_folder(path.parent) as stage:
        return write_form(DataFile(path.name, "readings", text), stage, path.parent)


def test_a_form_is_written_and_written_again(tmp_path: Path):
    path = tmp_path / "r.yaml"
    for text in (FORM, FORM, NEXT):
        assert put(path, text) == ()
        assert path.read_text() == text
    assert [p.name for p in tmp_path.iterdir()] == ["r.yaml"]


def test_what_was_filled_in_is_kept_and_said(tmp_path: Path):
    path = tmp_path / "r.yaml"
    for number in (1, 2):
        put(path, FORM)
        path.write_text(FORM.replace("measured: }", f"measured: 42{number}}}"))
        (notice,) = put(path, NEXT)
        assert notice.code == "readings_kept" and f"r-{number}.yaml" in notice.message
        assert load_readings(tmp_path / f"r-{number}.yaml").rows[0].measured == 420 + number
        assert path.read_text() == NEXT


def test_what_cannot_be_read_is_kept_too(tmp_path: Path):
    path = tmp_path / "r.yaml"
    path.write_text("readings: {half written")
    (notice,) = put(path, FORM)
    assert notice.code == "readings_kept"
    assert (tmp_path / "r-1.yaml").read_text() == "readings: {half written"


WRITTEN_IN = {
    "a reading": FORM.replace("measured: }", "measured: 421}"),
    "a remark": FORM.replace("measured: }", "measured: }  # the left stay is bent"),
    "an uncertainty": FORM.replace("measured: }", "measured: , uncertainty: 0.2}"),
    "a row more": FORM.replace("  - {", "  - {from: bb, to: front_axle, measured: }\n  - {"),
    "a name": FORM.replace("# one", "# one, measured by me"),
    "another paper": FORM.replace("media: a4", "media: a3"),
    "no last line": FORM.rsplit("# Leave", 1)[0],
}


@pytest.mark.parametrize("what", WRITTEN_IN)
def test_whatever_was_written_in_a_form_is_kept(what: str, tmp_path: Path):
    """Only a form with a reading in it was kept: remarks and uncertainties were written over."""
    path, text = tmp_path / "r.yaml", WRITTEN_IN[what]
    assert text != FORM
    path.write_text(text)
    (notice,) = put(path, NEXT)
    assert notice.code == "readings_kept"
    assert (tmp_path / "r-1.yaml").read_text() == text and path.read_text() == NEXT


@pytest.mark.parametrize("data", [FORM.replace("\n", "\r\n").encode(), b"\xef\xbb\xbf" + FORM.encode()])
def test_a_blank_form_that_an_editor_saved_is_still_blank(data: bytes, tmp_path: Path):
    (tmp_path / "r.yaml").write_bytes(data)
    assert put(tmp_path / "r.yaml", NEXT) == ()
    assert [p.name for p in tmp_path.iterdir()] == ["r.yaml"]


ROLL = ("draw", "--format", "plt", "--media", "roll-1067")


@pytest.mark.parametrize("command", [ROLL, ("setup",)])
def test_nothing_filled_in_is_lost_whatever_is_run_next(command: tuple[str, ...], tmp_path: Path):
    """Every form of a command is filled in, then the command run again: same spec, another spec, again."""
    spec, out = tmp_path / "f.yaml", tmp_path / "out"
    filled: list[str] = []
    for round_, old_new in enumerate((("#", "#"), ("#", "#"), ("bb_drop:", "bb_drop: 61 #"))):
        spec.write_text(SPEC.read_text("utf-8").replace(*old_new, 1), "utf-8")
        assert run([command[0], str(spec), "--out", str(out), *command[1:]]) == 0
        texts = {path.read_text("utf-8") for path in out.glob("*.yaml")}
        assert set(filled) <= texts
        forms = [path for path in out.glob("*-readings.yaml") if path.read_text("utf-8") not in filled]
        assert len(forms) == 1
        for path in forms:
            filled.append(path.read_text("utf-8").replace("measured: }", f"measured: {400 + round_}}}", 1))
            path.write_text(filled[-1], "utf-8")


def test_a_folder_in_the_way_is_a_write_error(tmp_path: Path):
    (tmp_path / "r.yaml").mkdir()
    with pytest.raises(WriteError):
        put(tmp_path / "r.yaml", FORM)


def test_a_text_that_is_no_form_is_refused_before_anything_is_touched(tmp_path: Path):
    path = tmp_path / "r.yaml"
    path.write_text(FORM.replace("measured: }", "measured: 421}"))
    before = path.read_text()
    with pytest.raises(WriteError, match=r"not be a form that can be read.*the character U\+FFFE"):
        put(path, FORM.replace("one", "o\ufffee"))
    assert [p.name for p in tmp_path.iterdir()] == ["r.yaml"] and path.read_text() == before


@pytest.mark.parametrize(
    ("command", "in_the_way", "form"),
    [
        (("draw", "--media", "a4", "--format", "pdf"), "track-a4-tiles.pdf", "track-a4-readings.yaml"),
        (("setup",), "track-setup.pdf", "track-frame-readings.yaml"),
    ],
)
def test_where_a_job_fails_its_form_stays_as_it_was(
    command: tuple[str, ...], in_the_way: str, form: str, tmp_path: Path
):
    """Forms were written after the other files had come into place, or had failed to."""
    assert run([command[0], str(SPEC), "--out", str(tmp_path), *command[1:]]) == 0
    filled = (tmp_path / form).read_text().replace("measured: }", "measured: 421}", 1)
    (tmp_path / form).write_text(filled)
    (tmp_path / in_the_way).unlink()
    (tmp_path / in_the_way).mkdir()
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()}
    assert run([command[0], str(SPEC), "--out", str(tmp_path), *command[1:]]) == 3
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()} == before
    (tmp_path / in_the_way).rmdir()
    assert run([command[0], str(SPEC), "--out", str(tmp_path), *command[1:]]) == 0
    assert (tmp_path / form.replace(".yaml", "-1.yaml")).read_text() == filled


SPEC = Path(__file__).parents[2] / "specs" / "track.yaml"


@pytest.fixture(scope="module")
def frame() -> Frame:
    return solve(load(SPEC))


def said(form: str) -> list[str]:
    """The words of the command that a form says, as a shell takes them apart."""
    (line,) = [line for line in form.splitlines() if line.startswith("#     layout ")]
    return shlex.split(line.removeprefix("#"))


NAMES = [
    ("frame.yaml", "output/frame-roll-914-readings.yaml"),
    ("my frame.yml", "my out/my frame-roll-914-readings.yaml"),
    ("specs/it's.yaml", "/tmp/$HOME/a;b.yaml"),
]


@pytest.mark.parametrize(("spec", "form"), NAMES)
def test_the_form_of_a_sheet_says_a_command_that_can_be_typed(spec: str, form: str):
    """`my frame.yml` was called `my frame.yaml`, without quotation marks and without its folder."""
    sheet = Sheet("roll", "roll-914", "drawing", 900.0, 914.0, (), Drawing("sheet"))
    text = tape_form(DocumentInfo("Mine"), (spec, form), (), sheet, Printer())
    assert said(text) == ["layout", "tape", spec, form]


@pytest.mark.parametrize(("spec", "form"), NAMES)
def test_the_form_of_a_frame_says_a_command_that_can_be_typed(frame: Frame, spec: str, form: str):
    assert said(frame_form(frame, (spec, form))) == ["layout", "inspect", spec, form]


def test_a_path_that_looks_like_an_option_is_not_taken_for_one(frame: Frame):
    assert said(frame_form(frame, ("-f.yaml", "-o.yaml")))[2:] == ["./-f.yaml", "./-o.yaml"]


def test_new_says_a_command_that_can_be_typed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    assert run(["new", "my frame.yml"]) == 0
    command = capsys.readouterr().out.split("`")[1]
    assert shlex.split(command) == ["layout", "solve", "my frame.yml"]
    assert run(shlex.split(command)[1:]) == 0


def test_a_title_that_no_form_can_hold_draws_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    """It was found when the form was read back: exit 2 without a place, and seven files in the folder."""
    spec = tmp_path / "f.yaml"
    spec.write_text(SPEC.read_text("utf-8").replace("title:", 'title: "a\\uFFFEb" #', 1), "utf-8")
    assert run(["draw", str(spec), "--out", str(tmp_path / "out")]) == 2
    line = next(n for n, text in enumerate(spec.read_text("utf-8").splitlines(), 1) if "FFFE" in text)
    assert capsys.readouterr().err == f"{spec}:{line}: job.title: holds the character U+FFFE. Delete it.\n"
    assert not (tmp_path / "out").exists()

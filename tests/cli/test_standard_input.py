"""A spec from standard input, for every command that takes one but `watch`.

One command of each kind is a real process with a real pipe; the others read a pipe in this process.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from layout.cli.commands import run as layout

SPEC = Path(__file__).parents[2] / "specs" / "track.yaml"
READINGS = "readings:\n- {dimension: head_angle, measured: 74.26}\n"
TAPED = "readings:\n- {from: bb, to: front_axle, measured: 578.5}\n"


def process(*arguments: str, text: str, where: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "layout", *arguments]
    return subprocess.run(command, input=text, capture_output=True, text=True, cwd=where)


Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """The same in this process: its standard input is the reading end of a pipe."""

    def within(*arguments: str, text: str, where: Path) -> subprocess.CompletedProcess[str]:
        reading, writing = os.pipe()
        with os.fdopen(writing, "w") as pipe:
            pipe.write(text)
        monkeypatch.chdir(where)
        with os.fdopen(reading) as stdin:
            monkeypatch.setattr(sys, "stdin", stdin)
            status = layout(list(arguments))
        said = capsys.readouterr()
        return subprocess.CompletedProcess(arguments, status, said.out, said.err)

    return within


@pytest.mark.parametrize(
    ("arguments", "file"),
    [
        (("solve", "-"), None),
        (("draw", "-", "--media", "a4", "--format", "pdf"), "stdin-a4-tiles.pdf"),
        (("mitres", "-", "--format", "csv"), "stdin-cutting.csv"),
        (("setup", "-"), "stdin-frame-readings.yaml"),
        (("plates", "-"), "stdin-plates.csv"),
        (("inspect", "-", "r.yaml", "--out", "output"), "stdin-record.pdf"),
        (("compare", "other.yaml", "-"), "other-to-stdin-table.csv"),
        (("tape", "-", "t.yaml"), None),
    ],
)
def test_a_spec_comes_from_standard_input(
    arguments: tuple[str, ...], file: str | None, tmp_path: Path, run: Run
):
    (tmp_path / "other.yaml").write_text(SPEC.read_text())
    (tmp_path / "r.yaml").write_text(READINGS)
    (tmp_path / "t.yaml").write_text(TAPED)
    said = run(*arguments, text=SPEC.read_text(), where=tmp_path)
    assert said.returncode == (1 if arguments[0] == "tape" else 0), said.stderr
    assert said.stdout
    if file is not None:
        assert (tmp_path / "output" / file).is_file()


ROLL = ("draw", "-", "--media", "roll-1067", "--format", "svg")


@pytest.mark.parametrize(("arguments", "file"), [(("solve", "-"), None), (ROLL, "stdin-roll-1067.svg")])
def test_a_spec_comes_through_a_pipe_of_the_system(
    arguments: tuple[str, ...], file: str | None, tmp_path: Path
):
    said = process(*arguments, text=SPEC.read_text(), where=tmp_path)
    assert said.returncode == 0, said.stderr
    assert said.stdout and (file is None or (tmp_path / "output" / file).is_file())


def test_a_form_says_the_command_with_standard_input(tmp_path: Path, run: Run):
    run("setup", "-", text=SPEC.read_text(), where=tmp_path)
    form = (tmp_path / "output" / "stdin-frame-readings.yaml").read_text()
    assert "#     layout inspect - stdin-frame-readings.yaml" in form


def test_faults_name_standard_input_and_the_line(tmp_path: Path, run: Run):
    said = run("solve", "-", "--json", text="geometry:\n  head_angel: 72\n", where=tmp_path)
    (error,) = json.loads(said.stdout)["errors"]
    assert (said.returncode, error["file"], error["line"]) == (2, "stdin", 2)


def test_one_spec_of_several_comes_from_standard_input(tmp_path: Path, run: Run):
    said = run("setup", "-", str(SPEC), text=SPEC.read_text(), where=tmp_path)
    assert said.returncode == 0, said.stderr
    assert (tmp_path / "output" / "stdin-setup.pdf").is_file()
    assert (tmp_path / "output" / "track-setup.pdf").is_file()


def test_watch_wants_a_file_that_can_be_saved(tmp_path: Path, run: Run):
    said = run("watch", "-", text=SPEC.read_text(), where=tmp_path)
    assert said.returncode == 2 and said.stderr.count("\n") == 1

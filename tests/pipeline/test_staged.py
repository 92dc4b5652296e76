"""The files of a job come together or not at all, whatever stood there before."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import Fault, WriteError
from layout.pipeline.staged import stage_folder


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_what_is_written_is_moved_and_the_folder_gone(tmp_path: Path):
    out = tmp_path / "new" / "out"
    with stage_folder(out) as stage:
        (stage / "a.txt").write_text("a")
        assert names(out) == [stage.name]
    assert names(out) == ["a.txt"]


def test_a_failure_leaves_what_stood_there(tmp_path: Path):
    (tmp_path / "a.txt").write_text("old")
    with pytest.raises(ValueError, match="no more"), stage_folder(tmp_path) as stage:
        (stage / "a.txt").write_text("new")
        raise ValueError("no more")
    assert names(tmp_path) == ["a.txt"]
    assert (tmp_path / "a.txt").read_text() == "old"


def test_a_folder_made_for_nothing_is_taken_away(tmp_path: Path):
    out = tmp_path / "out"
    with pytest.raises(ValueError), stage_folder(out):
        raise ValueError
    assert not out.exists()


def test_a_fault_names_the_file_where_it_would_have_been(tmp_path: Path):
    with pytest.raises(WriteError) as caught, stage_folder(tmp_path) as stage:
        raise WriteError(Fault("does not read back true", "read_back", file=str(stage / "a.dxf")))
    assert caught.value.faults[0].file == str(tmp_path / "a.dxf")


def test_a_folder_in_the_way_of_a_file_is_named(tmp_path: Path):
    (tmp_path / "a.dxf").mkdir()
    with pytest.raises(WriteError, match="folder of that name is in the way") as caught:
        with stage_folder(tmp_path) as stage:
            (stage / "a.dxf").write_text("")
    assert caught.value.faults[0].file == str(tmp_path / "a.dxf")
    assert names(tmp_path) == ["a.dxf"]

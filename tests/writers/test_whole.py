"""Files appear whole or not at all, and a failure says why in plain words."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from layout.errors import WriteError
from layout.writers.whole import write_whole


def test_a_file_replaces_the_old_one_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "frame.svg"
    write_whole(path, b"old")
    write_whole(path, b"new")
    assert path.read_bytes() == b"new"
    assert os.listdir(tmp_path) == ["frame.svg"]


def test_files_have_the_usual_rights_not_a_temporary_files(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        write_whole(tmp_path / "frame.svg", b"data")
    finally:
        os.umask(before)
    assert (tmp_path / "frame.svg").stat().st_mode & 0o777 == 0o644


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    path = tmp_path / "nowhere" / "frame.svg"
    with pytest.raises(WriteError, match="the folder does not exist") as caught:
        write_whole(path, b"data")
    (fault,) = caught.value.faults
    assert (fault.code, fault.file) == ("output", str(path))
    assert caught.value.exit_status == 3


def test_a_folder_in_the_way_is_named_and_kept(tmp_path: Path) -> None:
    (tmp_path / "frame.svg").mkdir()
    with pytest.raises(WriteError, match="a folder of that name is in the way"):
        write_whole(tmp_path / "frame.svg", b"data")
    assert os.listdir(tmp_path) == ["frame.svg"]


def test_a_file_in_the_path_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(WriteError, match="not a folder"):
        write_whole(tmp_path / "file" / "frame.svg", b"data")


def in_another_process(preparation: str, path: Path) -> str:
    """Run write_whole where a resource is limited, and return what it says."""
    program = f"""
import os, resource, signal, sys
from pathlib import Path
from layout.errors import WriteError
from layout.writers.whole import write_whole
{preparation}
try:
    write_whole(Path({str(path)!r}), b"x" * 100_000)
except WriteError as e:
    print(e)
"""
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return run.stdout


def test_running_out_of_room_keeps_the_old_file_and_leaves_nothing_behind(tmp_path: Path) -> None:
    path = tmp_path / "frame.pdf"
    path.write_bytes(b"old")
    said = in_another_process("resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))", path)
    assert "cannot write the file: the file is larger than is allowed here" in said
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["frame.pdf"]


def test_a_folder_without_permission_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o555)
    said = in_another_process("if os.geteuid() == 0: os.setuid(65534)", folder / "frame.pdf")
    assert "no permission to write there" in said
    assert os.listdir(folder) == []

"""The files of a job come together or not at all, whatever stood there before."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from pathlib import Path

import pytest

from layout.errors import Fault, WriteError
from layout.pipeline.interrupts import Interrupted, listen
from layout.pipeline.staged import stage_folder
from layout.writers.whole import write_whole


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


def test_no_file_is_moved_where_one_of_them_cannot_be(tmp_path: Path):
    """The first files were new and the last ones old."""
    (tmp_path / "a.txt").write_text("old")
    (tmp_path / "z.txt").mkdir()
    with pytest.raises(WriteError, match="folder of that name"), stage_folder(tmp_path) as stage:
        (stage / "a.txt").write_text("new")
        (stage / "z.txt").write_text("new")
    assert (tmp_path / "a.txt").read_text() == "old"


def test_what_was_moved_is_put_back_where_a_move_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "a.txt").write_text("old")
    true_replace = os.replace

    def replace(source: Path, home: Path) -> None:
        if Path(home).name == "c.txt":
            raise OSError(28, "No space left on device")
        true_replace(source, home)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(WriteError, match="the disk is full"), stage_folder(tmp_path) as stage:
        for name in ("a.txt", "b.txt", "c.txt"):
            (stage / name).write_text("new")
    assert names(tmp_path) == ["a.txt"]
    assert (tmp_path / "a.txt").read_text() == "old"


CHANGES = ("os.rename", "os.mkdir", "os.link", "os.rmdir", "os.remove", "open")
"""What the system is asked for that changes the folder, as Python's audit hooks call it."""


def stopped_at(out: Path, at: int, number: int) -> int:
    """The exit status of a process that writes three files, sent a signal as it asks for change `at`."""
    child = os.fork()
    if child == 0:
        os._exit(_write_three(out, at, number))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _write_three(out: Path, at: int, number: int) -> int:
    count = 0

    def hook(event: str, arguments: object) -> None:
        nonlocal count
        if event in CHANGES:
            count += 1
            if count == at:
                os.kill(os.getpid(), number)

    listen()
    sys.addaudithook(hook)
    try:
        with stage_folder(out) as stage:
            for name in ("a.txt", "b.txt", "c.txt"):
                (stage / name).write_text("new")
    except Interrupted as e:
        return e.exit_status
    return 0


def contents(out: Path) -> set[str]:
    return {p.read_text() for p in out.iterdir() if p.is_file()}


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
@pytest.mark.parametrize("at", range(1, 30))
def test_stopped_anywhere_the_files_are_all_old_or_all_new(at: int, number: int, tmp_path: Path):
    """Sent between any two system calls that change the folder; after a kill, the next run settles it."""
    for name in ("a.txt", "b.txt", "c.txt"):
        (tmp_path / name).write_text("old")
    status = stopped_at(tmp_path, at, number)
    assert status in (0, -number if number == signal.SIGKILL else 128 + number)
    if number == signal.SIGKILL and status:
        assert status == -signal.SIGKILL
        for stage in tmp_path.glob(".layout-*"):
            os.utime(stage, (0, 0))
        with stage_folder(tmp_path) as stage:
            (stage / "d.txt").write_text("next")
        (tmp_path / "d.txt").unlink()
    assert names(tmp_path) == ["a.txt", "b.txt", "c.txt"]
    assert contents(tmp_path) in ({"old"}, {"new"})


def test_a_stage_in_use_is_left_alone(tmp_path: Path):
    with stage_folder(tmp_path) as first:
        (first / "a.txt").write_text("first")
        with stage_folder(tmp_path) as second:
            (second / "b.txt").write_text("second")
        assert (first / "a.txt").read_text() == "first"
    assert names(tmp_path) == ["a.txt", "b.txt"]


def test_a_planted_link_is_not_followed(tmp_path: Path):
    """The part's name could be guessed from the process's number, and a link there was written through."""
    victim = tmp_path / "victim.txt"
    victim.write_text("kept")
    (tmp_path / f".a.txt.{os.getpid()}.part").symlink_to(victim)
    (tmp_path / "a.txt").symlink_to(victim)
    write_whole(tmp_path / "a.txt", b"new")
    assert victim.read_text() == "kept"
    assert (tmp_path / "a.txt").read_text() == "new"


def test_what_is_filled_in_before_a_killed_run_is_finished_is_kept(tmp_path: Path):
    """The next run moved the dead one's blank form over it."""
    for name in ("a.txt", "b.txt", "c.txt"):
        (tmp_path / name).write_text("old")
    at = next(k for k in range(1, 60) if left_half_moved(tmp_path, k))
    assert at
    (tmp_path / "c.txt").write_text("filled in")
    with stage_folder(tmp_path) as stage:
        (stage / "d.txt").write_text("next")
    assert {p.name: p.read_text() for p in tmp_path.iterdir()} == {
        **{"a.txt": "new", "b.txt": "new", "c.txt": "new"},
        **{"c-1.txt": "filled in", "d.txt": "next"},
    }


def left_half_moved(out: Path, at: int) -> bool:
    """Whether a process killed as it asks for change `at` leaves the first file new and the last one old."""
    stopped_at(out, at, signal.SIGKILL)
    if (out / "a.txt").read_text() == "new":
        return (out / "c.txt").read_text() == "old"
    for stage in out.glob(".layout-*"):
        shutil.rmtree(stage)
    return False

"""A task beside: its result, its error, a helper that dies, and the same without a helper."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path
from threading import Event, Thread

import pytest

from layout.errors import Fault, WriteError
from layout.pipeline import second_process as module
from layout.pipeline.second_process import second_process


def nothing() -> None:
    return None


def who() -> int:
    return os.getpid()


def refuse(path: str) -> None:
    raise WriteError(Fault("cannot be written: no room", "output", file=path))


def die_in_another_process(parent: int) -> str:
    if os.getpid() != parent:
        os._exit(9)
    return "done here"


@pytest.fixture(params=[True, False], ids=["helper", "here"])
def forked(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> bool:
    monkeypatch.setattr(module, "_worth_it", lambda: request.param)
    return request.param


def test_a_task_is_done_and_its_result_comes_back(forked: bool):
    with second_process(nothing) as other:
        other.begin(who)
        assert (other.finish() != [os.getpid()]) is forked


def test_an_error_comes_back_with_its_faults(forked: bool):
    with second_process(nothing) as other, pytest.raises(WriteError) as caught:
        other.begin(partial(refuse, "a.dxf"))
        other.finish()
    assert caught.value.exit_status == 3
    assert caught.value.faults == (Fault("cannot be written: no room", "output", file="a.dxf"),)


def test_the_task_of_a_helper_that_died_is_done_here(forked: bool):
    with second_process(nothing) as other:
        other.begin(partial(die_in_another_process, os.getpid()))
        assert other.finish() == ["done here"]


def test_a_large_task_passes_through_the_pipe(forked: bool):
    with second_process(nothing) as other:
        other.begin(partial(len, bytes(5_000_000)))
        assert other.finish() == [5_000_000]


def test_no_task_ends_the_helper(forked: bool):
    with second_process(nothing) as other:
        assert other.finish() == []


def test_no_helper_is_left_behind():
    with second_process(nothing) as other:
        other.begin(who)
        other.finish()
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


def append(path: str, error: str) -> None:
    with open(path, "a", encoding="utf-8") as file:
        file.write("x")
    raise OSError(error)


def test_a_task_that_fails_is_not_done_again(forked: bool, tmp_path: Path):
    with second_process(nothing) as other, pytest.raises(OSError, match="no room"):
        other.begin(partial(append, str(tmp_path / "runs"), "no room"))
        other.finish()
    assert (tmp_path / "runs").read_text() == "x"


def test_a_task_that_does_not_pickle_is_done_here(forked: bool):
    with second_process(nothing) as other:
        other.begin(lambda: os.getpid())
        assert other.finish() == [os.getpid()]


def test_tasks_are_done_in_their_order_and_none_after_one_that_fails(forked: bool, tmp_path: Path):
    with second_process(nothing) as other, pytest.raises(OSError, match="full"):
        other.begin(partial((tmp_path / "first").write_text, "1"))
        other.begin(partial(append, str(tmp_path / "second"), "full"))
        other.begin(partial((tmp_path / "third").write_text, "3"))
        other.finish()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["first", "second"]


def test_tasks_that_a_dead_helper_left_are_done_here_with_those_before_them(forked: bool):
    with second_process(nothing) as other:
        other.begin(partial(len, "ab"))
        other.begin(partial(die_in_another_process, os.getpid()))
        other.begin(partial(len, "abc"))
        assert other.finish() == [2, "done here", 3]


def test_no_helper_is_forked_where_other_threads_run():
    """A fork takes no other thread along, but every lock that one holds."""
    over = Event()
    thread = Thread(target=over.wait)
    thread.start()
    try:
        with second_process(nothing) as other:
            other.begin(who)
            assert other.finish() == [os.getpid()]
    finally:
        over.set()
        thread.join()

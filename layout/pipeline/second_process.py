"""A second process beside this one, for a file whose library is slow to import and to write.

The helper is forked before the work that leads up to it, imports what it needs meanwhile, then
waits for one task and sends back its result. Where processes cannot be forked safely, where there is one
core only, or where this process is itself a worker of a batch, the task runs here instead.

What it buys when one frame is drawn: 1.54 s of this process beside 0.73 s of the helper, where this process
alone takes 2.13 s. On two free cores that is waited for 0.72 times as long, for 1.06 times the work (medians
of five runs each, by turns: tests/bench/bench_second_process.py).
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Thread
from typing import Any

Task = Callable[[], Any]


class SecondProcess:
    """Somewhere to run one task: `begin` hands it over, `finish` waits and raises what it raised."""

    def __init__(self, channel: tuple[int, int] | None = None) -> None:
        self._channel = channel
        self._task: Task | None = None
        self._sent = False
        self._sender: Thread | None = None

    def begin(self, task: Task) -> None:
        """Hand over the one task; it must pickle. This does not wait for a helper that is not ready yet."""
        self._task = task
        if self._channel is not None:
            self._sender = Thread(target=self._send, args=(task, self._channel[1]))
            self._sender.start()

    def _send(self, task: Task, task_out: int) -> None:
        with suppress(OSError, pickle.PicklingError, AttributeError, TypeError):
            with os.fdopen(os.dup(task_out), "wb") as stream:
                pickle.dump(task, stream, pickle.HIGHEST_PROTOCOL)
            self._sent = True

    def settle(self) -> None:
        """Wait until the task is handed over."""
        if self._sender is not None:
            self._sender.join()

    def finish(self) -> Any:
        """The task's result. A helper that died has its task done again here."""
        if self._task is None:
            return None
        self.settle()
        if self._sent and self._channel is not None:
            answer: tuple[bool, Any] | None = None
            with suppress(OSError, EOFError, pickle.UnpicklingError, TypeError):
                with os.fdopen(os.dup(self._channel[0]), "rb") as stream:
                    answer = pickle.load(stream)
            if answer is not None:
                done, result = answer
                if done:
                    return result
                raise result
        return self._task()


@contextmanager
def second_process(prepare: Callable[[], None]) -> Iterator[SecondProcess]:
    """A helper process that first runs `prepare`; it ends with the block."""
    if not _worth_it():
        yield SecondProcess()
        return
    task_in, task_out = os.pipe()
    result_in, result_out = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(task_out)
        os.close(result_in)
        _serve(prepare, task_in, result_out)
    os.close(task_in)
    os.close(result_out)
    other = SecondProcess((result_in, task_out))
    try:
        yield other
    finally:
        other.settle()
        os.close(task_out)
        os.close(result_in)
        os.waitpid(child, 0)


def _serve(prepare: Callable[[], None], task_in: int, result_out: int) -> None:
    """The helper's life: prepare, take one task, answer, leave without this process's clean-up."""
    status = 1
    try:
        prepare()
        with os.fdopen(task_in, "rb") as stream:
            task: Task = pickle.load(stream)
        try:
            answer = (True, task())
        except Exception as e:
            answer = (False, e)
        with os.fdopen(result_out, "wb") as stream:
            pickle.dump(answer, stream, pickle.HIGHEST_PROTOCOL)
        status = 0
    except (EOFError, OSError, KeyboardInterrupt):
        pass
    finally:
        os._exit(status)


def cores() -> int:
    """How many processors this process may use."""
    if sys.platform == "linux":
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _worth_it() -> bool:
    if sys.platform != "linux" or cores() < 2:
        return False
    return not _is_worker()


def _is_worker() -> bool:
    """Whether this process is one of a batch's; without multiprocessing imported it cannot be."""
    process = sys.modules.get("multiprocessing.process")
    return process is not None and process.parent_process() is not None

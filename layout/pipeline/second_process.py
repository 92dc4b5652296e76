"""A second process beside this one, for files whose libraries are slow to import and to write.

The helper is forked before the work that leads up to it, imports what it needs meanwhile, then
does one task after the other and sends back their results when there are no more. Where processes cannot
be forked safely (other systems, other threads about), where there is one core only, or where this process is
itself a worker of a batch, the tasks run here instead.

What it buys when one frame is drawn: 0.81 s of this process beside 0.45 s of the helper, where this process
alone takes 1.19 s. On two free cores that is waited for 0.68 times as long, for 1.06 of the work (medians of
five runs each, by turns: tests/bench/bench_second_process.py).
"""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Thread
from typing import IO, Any

Task = Callable[[], Any]
Answers = tuple[list[Any], Exception | None]
"""Results in the order of the tasks, and what the one after the last of them raised."""


class SecondProcess:
    """Somewhere to run tasks: `begin` hands one over, `finish` waits for all and raises what one raised."""

    def __init__(self, channel: tuple[int, int] | None = None) -> None:
        self._channel = channel
        self._tasks: list[Task] = []
        self._sent = 0
        self._sender: Thread | None = None
        self._closed = False

    def begin(self, task: Task) -> None:
        """Hand over a task; it must pickle. This does not wait for a helper that is not ready yet."""
        self._tasks.append(task)
        if self._channel is not None:
            count, before = len(self._tasks), self._sender
            self._sender = Thread(target=self._send, args=(task, count, self._channel[1], before))
            self._sender.start()

    def _send(self, task: Task, count: int, task_out: int, before: Thread | None) -> None:
        """Send one task where all before it were sent; `count` is how many that makes."""
        if before is not None:
            before.join()
        if self._sent == count - 1:
            with suppress(OSError, pickle.PicklingError, AttributeError, TypeError):
                data = pickle.dumps(task, pickle.HIGHEST_PROTOCOL)
                with os.fdopen(os.dup(task_out), "wb") as stream:
                    stream.write(data)
                self._sent = count

    def finish(self) -> list[Any]:
        """The tasks' results. What a helper that died left undone is done here, as what never reached it."""
        results, error = self._answers()
        if error is not None:
            raise error
        return [*results, *(task() for task in self._tasks[len(results) :])]

    def _answers(self) -> Answers:
        """What the helper has done: results in the order of the tasks, and what the next of them raised."""
        self.close()
        if self._channel is not None:
            with suppress(OSError, EOFError, pickle.UnpicklingError, TypeError):
                with os.fdopen(os.dup(self._channel[0]), "rb") as stream:
                    answers: Answers = pickle.load(stream)
                return answers
        return [], None

    def close(self) -> None:
        """Say that there are no more tasks, when those begun are handed over."""
        if self._sender is not None:
            self._sender.join()
        if self._channel is not None and not self._closed:
            os.close(self._channel[1])
        self._closed = True


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
        other.close()
        os.close(result_in)
        os.waitpid(child, 0)


def _serve(prepare: Callable[[], None], task_in: int, result_out: int) -> None:
    """The helper's life: prepare, do the tasks, answer, leave without this process's clean-up."""
    status = 1
    try:
        prepare()
        with os.fdopen(task_in, "rb") as stream:
            answers = _done(stream)
        with os.fdopen(result_out, "wb") as stream:
            pickle.dump(answers, stream, pickle.HIGHEST_PROTOCOL)
        status = 0
    except (OSError, KeyboardInterrupt):
        pass
    finally:
        os._exit(status)


def _done(stream: IO[bytes]) -> Answers:
    """The tasks of a stream done one after the other, until one fails or there are no more."""
    results: list[Any] = []
    for task in _tasks_of(stream):
        try:
            results.append(task())
        except Exception as e:
            return results, e
    return results, None


def _tasks_of(stream: IO[bytes]) -> Iterator[Task]:
    with suppress(EOFError, pickle.UnpicklingError):
        while True:
            yield pickle.load(stream)


def cores() -> int:
    """How many processors this process may use."""
    if sys.platform == "linux":
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _worth_it() -> bool:
    if sys.platform != "linux" or cores() < 2 or len(sys._current_frames()) > 1:
        return False
    return not _is_worker()


def _is_worker() -> bool:
    """Whether this process is one of a batch's; without multiprocessing imported it cannot be."""
    process = sys.modules.get("multiprocessing.process")
    return process is not None and process.parent_process() is not None

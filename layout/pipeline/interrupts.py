"""Being stopped from outside: Ctrl-C, and the signals that a system or a closed terminal sends.

Each becomes the exception Interrupted in the process that was told, so that every `with` block on the way
puts its things in order. A batch's workers are told by their parent, and end where it was killed.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

PARENT_WATCH = 0.2
"""How often a worker looks whether its parent still lives, s."""
STATUS_BASE = 128
"""An exit status is this and the number of the signal, as shells have it."""


class Interrupted(BaseException):
    """A signal asked this process to stop; `number` is the signal's.

    Not a KeyboardInterrupt: the library that reads the command line would swallow that.
    """

    def __init__(self, number: int = signal.SIGINT) -> None:
        super().__init__(number)
        self.number = number

    @property
    def exit_status(self) -> int:
        """What a shell is told."""
        return STATUS_BASE + self.number


def listen() -> None:
    """From now on SIGINT, SIGTERM and SIGHUP raise Interrupted. Of the main thread alone."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _interrupt)


class _Held:
    """Blocks that must end before a signal is heard, and the signal that waits for them."""

    blocks = 0
    waiting: int | None = None


@contextmanager
def held() -> Iterator[None]:
    """A few steps that belong together: a signal is heard after them."""
    _Held.blocks += 1
    try:
        yield
    finally:
        _Held.blocks -= 1
        if not _Held.blocks and _Held.waiting is not None:
            number, _Held.waiting = _Held.waiting, None
            raise Interrupted(number)


def _interrupt(number: int, frame: FrameType | None) -> None:
    if _Held.blocks:
        _Held.waiting = number
    else:
        raise Interrupted(number)


class Worker:
    """What a worker of a batch knows of being stopped."""

    stopped = False
    """Whether it was told to stop: what it is given after that is not begun."""
    at_work = False
    """Whether it has work in hand, which puts its things in order when it is stopped."""


def follow(parent: int) -> None:
    """Make this process a worker: Ctrl-C is its parent's to tell, and a parent that is gone ends it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _stop_worker)
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    threading.Thread(target=_watch, args=(parent,), daemon=True).start()


def _stop_worker(number: int, frame: FrameType | None) -> None:
    Worker.stopped = True
    if not Worker.at_work:  # between two pieces of work there is nothing to put in order
        os._exit(STATUS_BASE + number)
    _interrupt(number, frame)


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(PARENT_WATCH)
    os._exit(STATUS_BASE + signal.SIGTERM)

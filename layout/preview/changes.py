"""When the spec was saved, and its text.

The folder is watched, not the file: editors put a new file in the place of the old one. What is told comes
when the folder has been quiet for a moment; a text that is at fault is read again a little later, in case
the rest of it is still being written.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections.abc import AsyncIterator
from functools import partial
from pathlib import Path

from layout.errors import Fault, SpecError
from layout.spec.text import read_text

PATIENCE = 0.25
"""Seconds that a faulty text is given to become whole."""
LOOK = 1.0
"""Seconds between looks where the system tells nothing."""
STEP, GATHER = 4, 40
"""Milliseconds: how long a folder is quiet before a save is told of, and the longest wait for that."""


def gone(source: str) -> Fault:
    """What is said while the file is not there."""
    message = "the file is gone. The last good drawing stays. Save the file again to go on."
    return Fault(message, "syntax", file=source)


def is_stream(source: str) -> bool:
    """Whether it is a pipe or a device: reading it would wait for its other end."""
    path = Path(source)
    return path.exists() and not path.is_file() and not path.is_dir()


def stream(source: str) -> Fault:
    """What is said of a pipe or a device."""
    return Fault("this is not a file on a disk, so it cannot be watched. Give a file.", "syntax", file=source)


def saved(source: str) -> tuple[str | None, tuple[Fault, ...]]:
    """The file's text, or why there is none."""
    if is_stream(source):
        return None, (stream(source),)
    try:
        return read_text(source), ()
    except SpecError as e:
        return None, e.faults if os.path.exists(source) else (gone(source),)


async def changes(source: str, stop: asyncio.Event) -> AsyncIterator[None]:
    """Something may have happened to the file, or to the one it is a link to.

    At least once a second, so that a file system that tells nothing is seen too.
    """
    from watchfiles import awatch

    while not stop.is_set():
        folders = _folders(source)
        yield None
        if not folders:
            await asyncio.sleep(LOOK)
            continue
        names = {Path(source).name, Path(os.path.realpath(source)).name}
        told = awatch(
            *folders, watch_filter=partial(_is_about, names), step=STEP, debounce=GATHER, recursive=False,
            stop_event=stop, rust_timeout=round(1000 * LOOK), yield_on_timeout=True,
            ignore_permission_denied=True,
        )  # fmt: skip
        async for _ in told:
            yield None
            if _folders(source) != folders:
                break


def _is_about(names: set[str], _: object, path: str) -> bool:
    """Whether a change is one of the file's own."""
    return Path(path).name in names


def _folders(source: str) -> dict[Path, int]:
    """The folders of the file and of the one it is a link to, each with its number on the disk."""
    found = {}
    for folder in (Path(source).absolute().parent, Path(os.path.realpath(source)).parent):
        with contextlib.suppress(OSError):
            found[folder] = folder.stat().st_ino
    return found

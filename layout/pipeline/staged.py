"""The files of one job appear together or not at all.

They are written and read back in a hidden folder beside where they belong, then moved there one after the
other:

    .layout-.../           the stage, locked by the process that works in it
        frame.dxf, ...     the new files
        .old/              what stood in their places, until all are moved
        .moving            there once the first may have been moved

Where anything fails before the first is moved, the stage goes and what stood there stays as it was; where
a move fails, what was moved is put back. Of a process that was killed the next run into the folder finishes
the moves, or takes the stage away where they had not begun. A stage in use is left alone.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from itertools import count
from pathlib import Path

from layout.errors import Fault, LayoutError, WriteError
from layout.pipeline.interrupts import held
from layout.report.written import make_folder
from layout.writers.whole import CANNOT_WRITE, IN_THE_WAY, why

PREFIX = ".layout-"
LOCK, MOVING, OLD = ".lock", ".moving", ".old"
BEGINNING = 60.0
"""A stage without a lock after so long, s, was left by a process killed before it had one."""


@contextmanager
def stage_folder(out: Path) -> Iterator[Path]:
    """A folder to write into; what it holds is moved into `out` when the block ends well.

    Faults raised in the block that name a file there name it in `out` instead. Raises WriteError
    where a folder cannot be made or a file not moved.
    """
    made = _missing_folders(out)
    stage: Path = out
    lock: int | None = None
    try:
        with held():
            stage, lock = _new_stage(out)
        yield stage
        with held():
            _move_all(stage, out)
    except LayoutError as e:
        raise type(e)(*(_at_home(fault, stage, out) for fault in e.faults)) from e
    finally:
        with held():
            if lock is not None:
                os.close(lock)
            if stage != out:
                _take_away(stage)
            for folder in made:
                with suppress(OSError):
                    folder.rmdir()


def _new_stage(out: Path) -> tuple[Path, int | None]:
    """A stage of this process, and its lock; what dead processes left is settled first."""
    make_folder(out)
    try:
        _settle_abandoned(out)
        stage = Path(tempfile.mkdtemp(prefix=PREFIX, dir=out))
        return stage, _lock(stage / LOCK)
    except OSError as e:
        message = f"nothing can be written there: {why(e)}"
        raise WriteError(Fault(message, "output", file=str(out))) from e


def _missing_folders(out: Path) -> list[Path]:
    """The folders that must be made for `out`, the innermost first."""
    return [folder for folder in (out, *out.parents) if not folder.exists()]


def _lock(path: Path) -> int | None:
    """Hold a lock for as long as this process lives; None where the system knows none."""
    try:
        import fcntl
    except ImportError:
        return None
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        raise
    return handle


def _settle_abandoned(out: Path) -> None:
    """Finish what a process that was killed had begun to move, or take its stage away."""
    for stage in out.glob(f"{PREFIX}*"):
        if stage.is_symlink() or not stage.is_dir():
            continue
        if not (stage / LOCK).exists():
            with suppress(OSError):
                if time.time() - stage.stat().st_mtime > BEGINNING:
                    stage.rmdir()
            continue
        try:
            lock = _lock(stage / LOCK)
        except OSError:
            continue
        if lock is None:
            continue
        if (stage / MOVING).exists():
            _finish_moves(stage, out)
        os.close(lock)
        _take_away(stage)


def _take_away(stage: Path) -> None:
    """Remove a stage, its lock last: killed at any step, the next run sees that it may go."""
    with suppress(OSError):
        for path in stage.iterdir():
            if path.name == OLD:
                shutil.rmtree(path, ignore_errors=True)
            elif path.name != LOCK:
                path.unlink()
    shutil.rmtree(stage, ignore_errors=True)


def _finish_moves(stage: Path, out: Path) -> None:
    """Move what is still to be moved; what somebody has written there since is kept under another name."""
    begun = (stage / MOVING).stat().st_mtime_ns
    for path in _new_files(stage):
        home = out / path.name
        if home.is_file() and home.stat().st_mtime_ns > begun:
            os.replace(home, free_name(home))
        os.replace(path, home)


def free_name(home: Path) -> Path:
    """A name beside `home` that no file has: its own with a number."""
    return next(
        path
        for number in count(1)
        if not os.path.lexists(path := home.with_name(f"{home.stem}-{number}{home.suffix}"))
    )


@contextmanager
def one_at_a_time(out: Path) -> Iterator[None]:
    """Whoever else works in this block for the folder `out` has to wait, where the system knows locks.

    The lock is on the folder that holds `out`, which may not be there yet.
    """
    try:
        import fcntl
    except ImportError:
        yield
        return
    there = next((folder for folder in out.absolute().parents if folder.is_dir()), out)
    with ExitStack() as open_folder:
        with suppress(OSError):
            handle = os.open(there, os.O_RDONLY)
            open_folder.callback(os.close, handle)
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def _new_files(stage: Path) -> list[Path]:
    return sorted(p for p in stage.iterdir() if p.name not in (LOCK, MOVING, OLD))


def _move_all(stage: Path, out: Path) -> None:
    """Move every file to its place; where one cannot be, put back what stood there before."""
    files = _new_files(stage)
    for path in files:
        if (out / path.name).is_dir():
            message = CANNOT_WRITE.format(reason=IN_THE_WAY)
            raise WriteError(Fault(message, "output", file=str(out / path.name)))
    old = stage / OLD
    old.mkdir()
    for path in files:
        _keep(out / path.name, old / path.name)
    (stage / MOVING).touch()
    moved: list[Path] = []
    try:
        for path in files:
            moved.append(path)
            os.replace(path, out / path.name)
    except BaseException as e:
        for path in moved:
            _put_back(old / path.name, out / path.name, path)
        (stage / MOVING).unlink()
        if isinstance(e, OSError):
            home = out / moved[-1].name
            message = CANNOT_WRITE.format(reason=why(e))
            raise WriteError(Fault(message, "output", file=str(home))) from e
        raise


def _keep(home: Path, kept: Path) -> None:
    """A second name for what stands at `home`, or a copy where the disk knows no second names."""
    if not os.path.lexists(home):
        return
    try:
        os.link(home, kept, follow_symlinks=False)
    except OSError:
        shutil.copy2(home, kept, follow_symlinks=False)


def _put_back(kept: Path, home: Path, staged: Path) -> None:
    """What stood at `home` before, or nothing where nothing did and the new file has been moved."""
    with suppress(OSError):
        if os.path.lexists(kept):
            os.replace(kept, home)
        elif not staged.exists():
            home.unlink()


def _at_home(fault: Fault, stage: Path, out: Path) -> Fault:
    file = Path(fault.file) if fault.file else None
    if file is None or file.parent != stage:
        return fault
    return fault.located(str(out / file.name), fault.line)

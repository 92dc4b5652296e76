"""The files of one job appear together or not at all.

They are written and read back in a hidden folder beside where they belong, then moved there one after the
other. Where anything fails before that, the folder goes and what stood there stays as it was.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from layout.errors import Fault, LayoutError, WriteError
from layout.report.written import make_folder


@contextmanager
def stage_folder(out: Path) -> Iterator[Path]:
    """A folder to write into; what it holds is moved into `out` when the block ends well.

    Faults raised in the block that name a file there name it in `out` instead. Raises WriteError
    where a folder cannot be made or a file not moved.
    """
    made = not out.exists()
    make_folder(out)
    try:
        stage = Path(tempfile.mkdtemp(prefix=".layout-", dir=out))
    except OSError as e:
        raise WriteError(Fault(f"nothing can be written there: {e.strerror}", "output", file=str(out))) from e
    try:
        yield stage
        for path in sorted(stage.iterdir()):
            _move_home(path, out / path.name)
    except LayoutError as e:
        raise type(e)(*(_at_home(fault, stage, out) for fault in e.faults)) from e
    finally:
        shutil.rmtree(stage, ignore_errors=True)
        if made:
            with suppress(OSError):
                out.rmdir()


def _move_home(path: Path, home: Path) -> None:
    try:
        os.replace(path, home)
    except OSError as e:
        what = "a folder of that name is in the way" if home.is_dir() else e.strerror
        raise WriteError(Fault(f"cannot write the file: {what}", "output", file=str(home))) from e


def _at_home(fault: Fault, stage: Path, out: Path) -> Fault:
    file = Path(fault.file) if fault.file else None
    if file is None or file.parent != stage:
        return fault
    return fault.located(str(out / file.name), fault.line)

"""What went wrong, whatever it was, as faults that a person can act on, and the exit status."""

from __future__ import annotations

import traceback
from pathlib import Path

from layout.errors import Exit, Fault, LayoutError


def failure_of(error: Exception, file: str | None = None) -> tuple[tuple[Fault, ...], int]:
    """The faults and the exit status of an error; `file` is what was worked on.

    An error of the program itself ends as a file that could not be written does.
    """
    if isinstance(error, LayoutError):
        return tuple(
            f if f.file or not file else f.located(file, f.line) for f in error.faults
        ), error.exit_status
    if isinstance(error, OSError):
        what = f"cannot be written: {error.strerror or error}. Choose another folder with --out."
        return (Fault(what, "output", file=str(error.filename or file)),), Exit.NOT_WRITTEN
    where = traceback.extract_tb(error.__traceback__)[-1]
    what = f"{type(error).__name__}: {error} ({Path(where.filename).name}, line {where.lineno})"
    message = f"the program failed on this. Report it with this line: {what}"
    return (Fault(message, "output", file=file),), Exit.NOT_WRITTEN

"""What a command has to say, how it is printed, and how faults become messages and errors JSON."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import sys
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from layout.errors import Exit, Fault, Notice
from layout.report.plain_table import printable

if TYPE_CHECKING:
    from layout.report.written import FileWritten

INTERRUPTED = 130
"""128 and the number of the interrupt signal, as shells have it."""


class Outcome(NamedTuple):
    """Text for stdout, lines for stderr, and the exit status."""

    text: str = ""
    notes: tuple[str, ...] = ()
    status: int = 0


def failure(faults: Iterable[Fault], status: int, as_json: bool) -> Outcome:
    """Faults as messages, one a line, and as errors JSON where asked for."""
    told = tuple(faults)
    text = json_text({"errors": errors_json(told)}) if as_json else ""
    return Outcome(text, messages(told), status)


def messages(faults: Iterable[Fault]) -> tuple[str, ...]:
    """One line for each fault."""
    return tuple(" ".join(str(f).splitlines()) for f in faults)


def errors_json(faults: Iterable[Fault]) -> list[dict[str, Any]]:
    """Faults as plain data: every key is there in every fault."""
    return [
        {
            "file": f.file,
            "line": f.line,
            "key": f.key,
            "code": f.code,
            "message": f.message,
            "free": [list(names) for names in f.free],
            "conflict": [{"name": c.name, "given": c.given, "needs": c.needs} for c in f.conflict],
        }
        for f in faults
    ]


def warnings_json(warnings: Iterable[Notice]) -> list[dict[str, str]]:
    """Warnings as plain data."""
    return [{"code": w.code, "message": w.message} for w in warnings]


def written_json(files: Iterable[FileWritten]) -> list[dict[str, str | None]]:
    """Files as plain data."""
    return [
        {"path": f.path, "format": f.format, "media": f.media, "sheet": f.sheet, "kind": f.kind}
        for f in files
    ]


class Result(Protocol):
    """What a job reports: the files it wrote and the warnings that go with them."""

    @property
    def files(self) -> tuple[FileWritten, ...]:
        """In the order written."""
        ...

    @property
    def warnings(self) -> tuple[Notice, ...]:
        """What the builder should know."""
        ...

    @property
    def data(self) -> Mapping[str, Any]:
        """What the JSON has beside files and warnings."""
        ...

    @property
    def words(self) -> str:
        """What stands before the table of files; empty where there is nothing."""
        ...


def written_outcome(result: Result, about: str, as_json: bool, status: int = Exit.DONE) -> Outcome:
    """Words and the table of files, or the same as JSON; `about` stands before warnings."""
    if as_json:
        data = {"files": written_json(result.files), "warnings": warnings_json(result.warnings)}
        return Outcome(json_text({**data, **result.data}), (), status)
    parts = [f"{result.words.rstrip()}\n"] if result.words else []
    if result.files or result.warnings:
        from layout.report.tables import drawn_report
        from layout.report.written import told

        parts.append(drawn_report(result.files, told(result.warnings, about)))
    return Outcome("\n".join(parts), (), status)


def json_text(data: object) -> str:
    """JSON in full precision; a number that is not finite is a fault of the program and raises."""
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def reason(error: OSError | ValueError) -> str:
    """The system's words for what went wrong."""
    return str(getattr(error, "strerror", None) or error)


def note(line: str) -> None:
    """One line on stderr; nobody listening is no fault."""
    if sys.stderr is not None:
        with contextlib.suppress(OSError, ValueError):
            print(printable(line), file=sys.stderr, flush=True)


def print_outcome(outcome: Outcome) -> int:
    """Print an outcome and return the exit status.

    A reader that has gone (`| head`) is met without a word; a full disk is said. Both are
    output that could not be written.
    """
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    for line in outcome.notes:
        note(line)
    if not outcome.text:
        return outcome.status
    try:
        if sys.stdout is None:
            raise OSError(errno.EBADF, os.strerror(errno.EBADF))
        sys.stdout.write(outcome.text)
        sys.stdout.flush()
    except (OSError, ValueError) as e:
        return outcome.status or unwritten(e)
    return outcome.status


def unwritten(error: OSError | ValueError) -> int:
    """Say that stdout failed, unless its reader has merely gone; the status for it."""
    _silence_stdout()
    if not isinstance(error, BrokenPipeError):
        note(f"standard output: cannot be written: {reason(error)}. Free some space and try again.")
    return Exit.NOT_WRITTEN


def _silence_stdout() -> None:
    """Point stdout at nothing, so that the interpreter's own flush at exit cannot fail again."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

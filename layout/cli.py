"""The commands: parse, call, report. What goes wrong becomes messages, errors JSON and an exit status.

    0 done    1 a check says no    2 the input or the command line is at fault    3 output not written

Everything a command needs is imported inside it, so that `layout --help` is quick and
`layout solve` pays for no writer. A command returns an Outcome; only `run` prints it.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from layout.errors import Fault, LayoutError, WriteError

INPUT_AT_FAULT = 2
NOT_WRITTEN = 3
INTERRUPTED = 130
"""128 and the number of the interrupt signal, as shells have it."""

_UsageError: Any = typer.BadParameter.__mro__[1]
"""The base of typer's complaints about a command line; typer itself does not export it."""


@dataclass(frozen=True)
class Outcome:
    """What a command has to say on stdout and stderr, and its exit status."""

    text: str = ""
    notes: tuple[str, ...] = ()
    status: int = 0


app = typer.Typer(
    name="layout",
    help="True-scale layout drawings of bicycle frames from one YAML description.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)

SpecFile = Annotated[Path, typer.Argument(metavar="SPEC", help="The frame's YAML file.")]
AsJson = Annotated[bool, typer.Option("--json", help="Machine-readable output on stdout, failures included.")]


@app.command()
def new(file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")]) -> Outcome:
    """Write a commented starting spec."""
    from layout.spec.template import template

    try:
        with open(file, "x", encoding="utf-8") as stream:
            stream.write(template())
    except FileExistsError as e:
        message = "there is a file of this name already; it is left as it is: choose another name"
        raise LayoutError(Fault(message, "output", file=str(file))) from e
    except (OSError, ValueError) as e:
        raise WriteError(Fault(f"cannot be written: {_reason(e)}", "output", file=str(file))) from e
    return Outcome(f"{file} is written: edit it, then run `layout solve {file}`.\n")


@app.command()
def schema() -> Outcome:
    """Print the JSON Schema of a spec, for editors."""
    from layout.spec.schema import schema_text

    return Outcome(schema_text())


@app.command()
def media() -> Outcome:
    """List the paper sizes by name."""
    from layout.report import media_table
    from layout.sheets.media import MEDIA

    return Outcome(media_table(MEDIA))


@app.command()
def solve(spec: SpecFile, as_json: AsJson = False) -> Outcome:
    """Work out every dimension of a frame."""
    from layout.frame import solve as solve_spec
    from layout.spec.load import load

    frame = solve_spec(load(spec))
    if as_json:
        from layout.report import frame_json

        return Outcome(
            _json(frame_json(frame)), tuple(f"{spec}: warning: {w.message}" for w in frame.warnings)
        )
    from layout.report import frame_report

    return Outcome(frame_report(frame))


def main() -> None:
    """The entry point of the `layout` command."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command line, print what it says, and return its exit status. Never raises for bad input."""
    as_json = "--json" in arguments
    try:
        outcome = app(list(arguments), standalone_mode=False, prog_name="layout")
    except LayoutError as e:
        outcome = _failure(e.faults, e.exit_status, as_json)
    except _UsageError as e:
        outcome = _failure((Fault(_usage(e), "syntax"),), INPUT_AT_FAULT, as_json)
    except SystemExit:
        return NOT_WRITTEN
    except (KeyboardInterrupt, typer.Abort):
        return INTERRUPTED
    if not isinstance(outcome, Outcome):
        outcome = Outcome(status=INTERRUPTED if outcome == INTERRUPTED else 0)
    return _print(outcome)


def _failure(faults: tuple[Fault, ...], status: int, as_json: bool) -> Outcome:
    """Faults as messages, and as errors JSON where asked for."""
    text = _json({"errors": [_fault_json(f) for f in faults]}) if as_json else ""
    return Outcome(text, tuple(str(f) for f in faults), status)


def _fault_json(fault: Fault) -> dict[str, Any]:
    return {
        "file": fault.file,
        "line": fault.line,
        "key": fault.key,
        "code": fault.code,
        "message": fault.message,
        "free": [list(names) for names in fault.free],
        "conflict": [{"name": c.name, "given": c.given, "needs": c.needs} for c in fault.conflict],
    }


def _json(data: object) -> str:
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def _usage(error: Any) -> str:
    command = error.ctx.command_path if getattr(error, "ctx", None) else "layout"
    return f"{error.format_message().rstrip('.')}; `{command} --help` shows what it takes"


def _reason(error: OSError | ValueError) -> str:
    return str(getattr(error, "strerror", None) or error)


def _print(outcome: Outcome) -> int:
    """Write to stderr and stdout; a reader that has gone (`| head`) is met without a word."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    with contextlib.suppress(OSError):
        for note in outcome.notes:
            print(note, file=sys.stderr)
    try:
        sys.stdout.write(outcome.text)
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return outcome.status or NOT_WRITTEN
    except OSError as e:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        print(f"standard output: cannot be written: {_reason(e)}", file=sys.stderr)
        return outcome.status or NOT_WRITTEN
    return outcome.status

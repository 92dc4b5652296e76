"""The commands: parse, call, report. What goes wrong becomes messages, errors JSON and an exit status.

    0 done    1 a check says no    2 the input or the command line is at fault    3 output not written

Everything a command needs is imported inside it, so that `layout --help` is quick and
`layout solve` pays for no writer. A command returns an Outcome; only `run` prints it.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Annotated, Any, TextIO

import typer

from layout.cli.outcome import (
    INTERRUPTED,
    Outcome,
    failure,
    json_text,
    note,
    print_outcome,
    reason,
    unwritten,
)
from layout.errors import Exit, Fault, LayoutError, SolveError, WriteError
from layout.pipeline.interrupts import Interrupted, listen
from layout.report.plain_table import printable

OBJECTS_BETWEEN_COLLECTIONS = 500_000
"""Much is made and little thrown away: at Python's 700, `draw` takes 3 % longer and `solve` 5 %."""

_UsageError: Any = typer.BadParameter.__mro__[1]
"""The base of typer's complaints about a command line; typer itself does not export it."""

app = typer.Typer(
    name="layout",
    help="True-scale layout drawings of bicycle frames from one YAML description.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)

SpecFile = Annotated[
    Path, typer.Argument(metavar="SPEC", help="The frame's YAML file (-: standard input).")
]
SpecFiles = Annotated[
    list[Path], typer.Argument(metavar="SPEC", help="The frames' YAML files (-: standard input).")
]
Jobs = Annotated[
    int,
    typer.Option(
        metavar="N", min=0, max=64, help="Specs to work on at the same time (0: one per processor core)."
    ),
]
Out = Annotated[Path, typer.Option(metavar="DIR", help="Folder for the files.")]
Media = Annotated[
    list[str] | None,
    typer.Option(metavar="NAME", help="Paper, by a name that `layout media` lists. May be repeated."),
]
Formats = Annotated[
    list[str] | None, typer.Option("--format", metavar="NAME", help="dxf, svg, pdf or plt. May be repeated.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for programs, errors included.")]


@app.command()
def new(file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")]) -> Outcome:
    """Write a commented starting spec."""
    from layout.spec.template import template
    from layout.spec.text import typed

    text = template()
    try:
        with open(file, "x", encoding="utf-8") as stream:
            _write_whole(stream, file, text)
    except FileExistsError as e:
        message = "this file exists already. Choose another name."
        raise LayoutError(Fault(message, "output", file=str(file))) from e
    except (OSError, ValueError) as e:
        message = f"cannot be written: {reason(e)}. Choose another place."
        raise WriteError(Fault(message, "output", file=str(file))) from e
    said = f"{file} is written. Edit it, then run `layout solve {typed(str(file))}`."
    return Outcome(f"{printable(said)}\n")


@app.command()
def schema() -> Outcome:
    """Print the JSON Schema of a spec, for editors."""
    from layout.spec.schema import schema_text

    return Outcome(schema_text())


@app.command()
def terms(
    word: Annotated[
        str | None, typer.Argument(metavar="WORD", help="Show only the names that have to do with it.")
    ] = None,
) -> Outcome:
    """Explain every dimension: its meaning, how it is measured, what is usual."""
    from layout.report.terms import matching, terms_text
    from layout.report.terms import terms as all_terms

    return Outcome(terms_text(all_terms() if word is None else matching(word)))


@app.command()
def media() -> Outcome:
    """List the papers by name."""
    from layout.report.tables import media_table
    from layout.sheets.media import MEDIA

    return Outcome(media_table(MEDIA))


@app.command()
def solve(
    spec: SpecFile,
    tolerances: Annotated[
        bool,
        typer.Option("--tolerances", help="Also show how stop and gauge errors change each dimension."),
    ] = False,
    as_json: AsJson = False,
) -> Outcome:
    """Calculate every dimension of a frame."""
    from layout.frame.plane import jig_tolerances
    from layout.frame.plane import tolerances as tolerances_of
    from layout.frame.solve import solve as solve_spec
    from layout.spec.load import load

    read = load(spec)
    try:
        frame = solve_spec(read)
    except SolveError as e:
        if as_json:
            raise
        from layout.report.tables import fault_report

        told = failure(e.faults, e.exit_status, as_json=False)
        return told._replace(text=fault_report({n: g.value for n, g in read.givens.items()}, e.faults))
    moved = tolerances_of(read) if tolerances else None
    at_jig = jig_tolerances(read) if tolerances else None
    if as_json:
        from layout.report.tables import frame_json

        notes = tuple(f"{spec}: warning: {w.message}" for w in frame.plane.warnings)
        return Outcome(json_text(frame_json(frame, moved, at_jig)), notes)
    from layout.report.tables import frame_report, tolerance_reports

    return Outcome(frame_report(frame) + (tolerance_reports(at_jig, moved) if moved and at_jig else ""))


@app.command()
def draw(
    specs: SpecFiles,
    out: Out = Path("output"),
    media: Media = None,
    formats: Formats = None,
    printer: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="YAML file with your printer's two calibration numbers."),
    ] = None,
    jobs: Jobs = 0,
    as_json: AsJson = False,
) -> Outcome:
    """Draw frames at full size.

    Without options: DXF, one roll sheet as SVG and PDF, and A4 tiles as PDF.
    """
    from layout.cli.batch import draw_one, each, loud
    from layout.pipeline.order import Order, check_order
    from layout.sheets.media import Printer
    from layout.spec.printer import load_profile

    order = Order(tuple(media or ()), tuple(formats or ()))
    if printer is not None:
        profile = load_profile(printer)
        measured = Printer(profile.x, profile.y, profile.margins)
        order = order._replace(printer=measured, printer_media=profile.media)
    check_order(order)
    work = partial(draw_one, out=out, order=order, printer_given=printer is not None, loud=loud())
    return each(specs, work, jobs, as_json)


def main() -> None:
    """The entry point of the `layout` command."""
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    listen()
    status = run(sys.argv[1:])
    gc.freeze()  # at exit Python looks through everything for garbage: 17 % of `solve`, 3 % of `draw`
    sys.exit(status)


def run(arguments: Sequence[str]) -> int:
    """Run one command line, print what it says, and return its exit status. Never raises for bad input."""
    as_json = "--json" in arguments
    try:
        outcome = app(list(arguments) or ["--help"], standalone_mode=False, prog_name="layout")
    except LayoutError as e:
        outcome = failure(e.faults, e.exit_status, as_json)
    except _UsageError as e:
        outcome = failure((Fault(_usage(e), "syntax"),), Exit.INPUT_AT_FAULT, as_json)
    except (KeyboardInterrupt, typer.Abort):
        return INTERRUPTED
    except Interrupted as e:
        for line in getattr(e, "__notes__", ()):
            note(line)
        return e.exit_status
    except SystemExit:
        return Exit.NOT_WRITTEN
    except Exception as e:
        if isinstance(e, OSError) and e.filename is None:
            return unwritten(e)
        from layout.pipeline.failure import failure_of

        outcome = failure(*failure_of(e), as_json)
    if not isinstance(outcome, Outcome):
        outcome = Outcome(status=outcome if isinstance(outcome, int) else 0)
    return print_outcome(outcome)


def _write_whole(stream: TextIO, file: Path, text: str) -> None:
    """Write `text` to the new file, or leave no file."""
    try:
        stream.write(text)
        stream.flush()
    except OSError:
        file.unlink(missing_ok=True)
        raise


def _usage(error: Any) -> str:
    """What typer complains of, with the command whose help explains it."""
    command = error.ctx.command_path if getattr(error, "ctx", None) else "layout"
    return f"{error.format_message().rstrip('.')}. Type `{command} --help`."

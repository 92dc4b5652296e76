"""Commands for the bench: mitres, jig settings, fixture plates, and what was really built."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from layout.cli.commands import AsJson, Formats, Jobs, Media, Out, SpecFile, SpecFiles, app
from layout.cli.outcome import Outcome, written_outcome
from layout.cli.papers import ReadingsFile

MaybeOut = Annotated[
    Path | None,
    typer.Option(
        "--out", metavar="DIR", help="Folder for the inspection record; without it none is written."
    ),
]


First = Annotated[Path, typer.Argument(metavar="FIRST", help="YAML file of the first frame, drawn dashed.")]
Second = Annotated[Path, typer.Argument(metavar="SECOND", help="YAML file of the second frame.")]


@app.command()
def mitres(
    spec: SpecFile,
    out: Out = Path("output"),
    media: Media = None,
    formats: Formats = None,
    as_json: AsJson = False,
) -> Outcome:
    """Write mitre templates and the cutting table."""
    from layout.pipeline.mitres import mitres as write_mitres
    from layout.spec.load import load

    return written_outcome(write_mitres(load(spec), out, media or (), formats or ()), str(spec), as_json)


@app.command()
def setup(specs: SpecFiles, out: Out = Path("output"), jobs: Jobs = 0, as_json: AsJson = False) -> Outcome:
    """Write jig settings, cut list and reading forms."""
    from layout.cli.batch import each, loud, setup_one

    return each(specs, partial(setup_one, out=out, loud=loud()), jobs, as_json)


@app.command()
def plates(spec: SpecFile, out: Out = Path("output"), as_json: AsJson = False) -> Outcome:
    """Write fixture plates, a DXF each, and the order list."""
    from layout.pipeline.plates import plates as write_plates
    from layout.spec.load import load

    read = load(spec)
    return written_outcome(write_plates(read, Path(read.file).stem, out), str(spec), as_json)


@app.command()
def inspect(
    spec: SpecFile, readings: ReadingsFile, out: MaybeOut = None, as_json: AsJson = False
) -> Outcome:
    """Check a tacked or finished frame from measurements."""
    from layout.pipeline.inspect import inspect_frame

    result = inspect_frame(spec, readings, out)
    return written_outcome(result, str(spec), as_json, result.exit_status)


@app.command()
def compare(
    first: First, second: Second, out: Out = Path("output"), as_json: AsJson = False
) -> Outcome:
    """Compare two frames, in a table and laid over each other."""
    from layout.pipeline.compare import compare as compare_frames

    result = compare_frames(first, second, out)
    return written_outcome(result, f"{first}, {second}", as_json)

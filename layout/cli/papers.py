"""Commands about paper: the calibration page, and what tape readings say of a plotted sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from layout.cli.commands import AsJson, Media, Out, SpecFile, app
from layout.cli.outcome import Outcome, json_text, written_outcome

ReadingsFile = Annotated[Path, typer.Argument(metavar="READINGS", help="The filled-in form.")]


@app.command()
def calibrate(media: Media = None, out: Out = Path("output")) -> Outcome:
    """Write the calibration page that measures a printer."""
    from layout.pipeline.calibrate import calibrate as write_pages

    return written_outcome(write_pages(media, out), "", as_json=False)


@app.command()
def tape(spec: SpecFile, readings: ReadingsFile, as_json: AsJson = False) -> Outcome:
    """Check a printed sheet from tape measurements."""
    from layout.pipeline.tape import tape as judge

    result = judge(spec, readings)
    text = json_text(dict(result.data)) if as_json else result.words
    return Outcome(text if text.endswith("\n") else text + "\n", (), result.exit_status)

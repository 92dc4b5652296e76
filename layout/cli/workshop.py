"""Commands for the bench: mitre templates and the cutting table."""

from __future__ import annotations

from pathlib import Path

from layout.cli.commands import AsJson, Formats, Media, Out, SpecFile, app
from layout.cli.outcome import Outcome, written_outcome


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

    result = write_mitres(load(spec), out, media or (), formats or ())
    more = {"cuts": result.cuts_json(), "tubes": result.tubes_json()}
    return written_outcome(result, str(spec), as_json, more)

"""The command for the screen: a page that redraws when the file is saved."""

from __future__ import annotations

import sys
from importlib.util import find_spec
from typing import Annotated

import typer

from layout.cli.commands import Media, SpecFile, app
from layout.cli.outcome import Outcome, note
from layout.errors import Fault, LayoutError

NEEDED = ("starlette", "uvicorn", "watchfiles")
"""What the extra `watch` installs."""

Port = Annotated[
    int | None, typer.Option(metavar="N", min=0, max=65535, help="Port of the page (0: any free one).")
]
Open = Annotated[bool, typer.Option("--open/--no-open", help="Open the page in the browser.")]


@app.command()
def watch(spec: SpecFile, media: Media = None, port: Port = None, show: Open = True) -> Outcome:
    """Show the drawing in the browser, and draw again when the file is saved. Ctrl-C ends it."""
    from layout.pipeline.order import Order, check_order
    from layout.spec.text import is_input, read_text

    names = tuple(media or ())
    check_order(Order(names))
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        message = f"is not installed. Type: {sys.executable} -m pip install {' '.join(NEEDED)}"
        raise LayoutError(Fault(message, "syntax", ", ".join(missing)))
    from layout.preview.changes import is_stream, stream
    from layout.preview.preview import Preview
    from layout.preview.serve import serve

    if is_input(spec) or is_stream(str(spec)):
        raise LayoutError(stream(str(spec)))
    read_text(spec)  # a file that is not there is a slip of the command line
    serve(Preview(str(spec), names), port, show=show, address=_address, say=note)
    return Outcome()


def _address(url: str) -> None:
    """The first line on stdout, at once: a program may wait for it."""
    print(url, flush=True)

"""draw: one spec becomes its full-size drawing, in every medium and format asked for.

    nothing asked for   DXF, the narrowest roll that holds it (SVG and PDF), A4 tiles (PDF)
    media               those sheets, in the formats asked for or SVG and PDF, and the DXF
    formats             of the media asked for or the default ones

With the sheets of each medium goes a form for tape readings. The DXF has a layout for each roll
and cut sheet, never compensated. Every file is read back and compared with what was drawn before
its name is reported.

    draft  frame            -> Draft           draft.py
    lay    draft, order     -> LaidFiles       lay.py
    write  the files, `out` -> Written         here, with a second process for what needs no tiles
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import nullcontext
from functools import partial
from pathlib import Path

from layout.frame.solve import Frame, solve
from layout.pipeline.draft import draft
from layout.pipeline.files import DXF, DataFile, Output, file_report, write
from layout.pipeline.forms import write_form
from layout.pipeline.lay import Laying, notices
from layout.pipeline.order import Order, check_order
from layout.pipeline.second_process import SecondProcess, second_process
from layout.pipeline.staged import stage_folder
from layout.pipeline.stale import stale_notices
from layout.report.written import Written
from layout.spec.load import FrameSpec

Say = Callable[[str], None]


def draw_spec(spec: FrameSpec, out: Path, order: Order, say: Say = lambda _: None) -> Written:
    """Solve a spec and draw it, files named after its own. Raises as `solve` and `draw` do."""
    frame = solve(spec)
    written = draw(frame, spec.file, out, order, say=say)
    warnings = (*written.warnings, *frame.placed.notices("tubes", "rear_end"))
    return Written(written.files, tuple(dict.fromkeys(warnings)))


def draw(frame: Frame, source: str, out: Path, order: Order, say: Say = lambda _: None) -> Written:
    """Draw a solved frame into the folder `out`.

    `source` is the spec's path: files are named after it. `say` hears a line as each stage begins.
    Raises SheetError where a medium cannot hold the drawing, WriteError where a file cannot be
    written or does not read back true.
    """
    check_order(order)
    helper = second_process(_prepare) if DXF in order.formats_wanted else nullcontext(SecondProcess())
    with stage_folder(out) as stage, helper as other:
        say("drafting")
        drafted = draft(frame, source)
        say("laying sheets")
        laying = Laying(drafted, order)
        files = laying.whole()
        elsewhere = [f.output for f in files if not f.is_form]
        for output in elsewhere:
            say(f"writing {output.name} beside")
        other.begin(partial(_write_all, elsewhere, stage))
        say("laying tiles")
        tiled = laying.tiled()
        for output in (f.output for f in tiled if not f.is_form):
            say(f"writing {output.name}")
            write(output, stage)
        files = (*files, *tiled)
        forms = [f.output for f in files if isinstance(f.output, DataFile)]
        kept = [notice for form in forms for notice in write_form(form, stage, out)]
        other.finish()
    names = [f.output.name for f in files]
    stale = stale_notices(out, drafted.stem, frame.mark, names)
    said = (*notices(drafted, order, files), *kept, *stale)
    return Written(tuple(file_report(f.output, out) for f in files), tuple(dict.fromkeys(said)))


def _prepare() -> None:
    """Import what writing will need."""
    from layout.writers import svg
    from layout.writers.dxf import writer as dxf
    from layout.writers.pdf import writer as pdf

    dxf.prepare()
    svg.prepare()
    pdf.prepare()


def _write_all(outputs: Sequence[Output], stage: Path) -> None:
    for output in outputs:
        write(output, stage)

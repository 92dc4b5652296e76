"""draw: one spec becomes its full-size drawing, in every medium and format asked for.

    nothing asked for   DXF, the narrowest roll that holds it (SVG and PDF), A4 tiles (PDF)
    media               those sheets, in the formats asked for or SVG and PDF, and the DXF
    formats             of the media asked for or the default ones

With the sheets of each medium goes a form for tape readings. The DXF has a layout for each roll
and cut sheet, never compensated. Every file is read back and compared with what was drawn before
its name is reported.

    draft  frame            -> Draft           draft.py
    lay    draft, order     -> LaidFiles       lay.py
    write  the files, `out` -> Written         writing.py, in a second process
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from layout.frame.solve import Frame, solve
from layout.pipeline.draft import draft
from layout.pipeline.files import DataFile, file_report
from layout.pipeline.forms import write_form
from layout.pipeline.lay import Laying, notices
from layout.pipeline.order import Order, check_order
from layout.pipeline.stale import stale_notices
from layout.pipeline.writing import writing
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
    with writing(out, *order.formats_wanted, say=say) as files:
        say("drafting")
        drafted = draft(frame, source, kept=True)
        say("laying sheets")
        laying = Laying(drafted, order)
        whole = laying.whole()
        files.beside(*(f.output for f in whole if not f.is_form))
        say("laying tiles")
        tiled = laying.tiled()
        files.beside(*(f.output for f in tiled if not f.is_form))
        laid = (*whole, *tiled)
        forms = [f.output for f in laid if isinstance(f.output, DataFile)]
        kept = [notice for form in forms for notice in write_form(form, files.stage, out)]
    names = [f.output.name for f in laid]
    stale = stale_notices(out, drafted.stem, frame.mark, names)
    said = (*notices(drafted, order, laid), *kept, *stale)
    return Written(tuple(file_report(f.output, out) for f in laid), tuple(dict.fromkeys(said)))


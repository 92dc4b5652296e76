"""A sheet as HP-GL/2 for roll plotters: 40 plotter units to the millimetre, strokes only.

    IN;PS73200,36560;       the page, along its x and up its y
    WU0;PW0.25,1;...        pens by line width, mm
    PA0,0;PR;               from the paper's lower left corner, in steps from there on
    SP3;PU..;PD..,..;       each width's strokes together
    PU;SP0;PG;

Steps are rounded from absolute places, so that rounding does not add up; none is over 32767,
where some plotters cut numbers off without a word. Arcs, lettering and dashes are drawn as
straight pieces: plotters differ in how finely they draw their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from layout.drafting.entities import Arc, Circle, Drawing, Line, Point, Polyline, Stroke
from layout.drafting.lettering import flatten, strokes
from layout.drafting.rect import Rect
from layout.drafting.style import LETTERING_WIDTHS, SCRIBE, THICK, THIN, Pen, lettering_pen
from layout.errors import Fault, WriteError
from layout.sheets.sheet import Placement, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.polylines import chords, clip_run, dash_run
from layout.writers.strokes import Drawn, Matrix, marks_of, placement_matrix, plain
from layout.writers.whole import write_whole

UNITS_PER_MM = 40
"""One plotter unit is 0.025 mm."""

PENS = {
    width: pen
    for pen, width in enumerate(sorted({THIN, SCRIBE, THICK, *(w for _, w in LETTERING_WIDTHS)}), start=1)
}
"""The pen of each line width, mm."""

FLATNESS = 0.005
"""Farthest a chord may leave its curve, mm: a fifth of a plotter unit."""

LONGEST_STEP = 32767
"""The most that a plotter with numbers of 16 bits takes, units: 819 mm."""

_PER_LINE = 16
"""Steps on one line of the file, so that it can be read by people and by programs with line limits."""

Run = tuple[Point, ...]
Runs = dict[float, list[tuple[Rect, Run]]]
"""Straight runs with their bounds, by line width."""


def write(sheet: Sheet, path: Path, info: DocumentInfo) -> None:
    """Write one sheet; `info` has no place in the format.

    Raises WriteError where the file cannot be written or the sheet cannot be drawn.
    """
    write_whole(path, _document(sheet).encode("ascii"))


def _document(sheet: Sheet) -> str:
    pens = "".join(f"PW{plain(width)},{pen};" for width, pen in PENS.items())
    size = f"{_units(sheet.width)},{_units(sheet.height)}"
    out = [f"IN;\nPS{size};\nWU0;{pens}\nPA;PU0,0;PR;\n"]
    pen_at = (0, 0)
    found: dict[float, list[Run]] = {width: [] for width in PENS}
    for placement in (*sheet.placements, None):
        for width, runs in _on_page(sheet, placement).items():
            if width not in PENS:
                message = f"a line of {plain(width)} mm is drawn and there is no pen of that width"
                raise WriteError(Fault(message, "output"))
            found[width] += runs
    for width, pen in PENS.items():
        if found[width]:
            out.append(f"SP{pen};\n")
        for run in found[width]:
            words, pen_at = _told(run, pen_at)
            out.append(words)
    out.append("PU;SP0;PG;\n")
    return "".join(out)


def _on_page(sheet: Sheet, placement: Placement | None) -> dict[float, list[Run]]:
    """What a placement (None: the furniture) draws on the page, by width, cut at its clip and the paper."""
    drawing = sheet.furniture if placement is None else placement.drawing
    window = Rect(0.0, 0.0, sheet.width, sheet.height)
    if placement is not None and placement.clip is not None:
        clip = placement.clip
        low, high = sheet.to_page((clip.left, clip.bottom)), sheet.to_page((clip.right, clip.top))
        window = Rect(
            max(low[0], 0.0), max(low[1], 0.0), min(high[0], sheet.width), min(high[1], sheet.height)
        )
    matrix = placement_matrix(sheet, placement)
    return {
        width: [piece for box, run in runs for piece in _in_window(box, run, matrix, window)]
        for width, runs in _runs(drawing).items()
    }


def _in_window(box: Rect, run: Run, m: Matrix, window: Rect) -> list[Run]:
    """A run through the matrix, cut at the window; what lies wholly outside is dropped unseen."""
    a, b, c, d, e, f = m
    (x0, y0), (x1, y1) = (
        (a * x + c * y + e, b * x + d * y + f) for x, y in ((box.left, box.bottom), (box.right, box.top))
    )
    on_page = Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    if not window.contains(on_page) and (
        on_page.right < window.left
        or on_page.left > window.right
        or on_page.top < window.bottom
        or on_page.bottom > window.top
    ):
        return []
    points = [(a * x + c * y + e, b * x + d * y + f) for x, y in run]
    return [tuple(points)] if window.contains(on_page) else clip_run(points, window)


@lru_cache(maxsize=4)
def _runs(drawing: Drawing) -> Runs:
    """Everything a pen draws of a drawing as straight runs in its own coordinates."""
    found: Runs = {}
    for mark in marks_of(drawing):
        if isinstance(mark, Drawn):
            pen, runs = mark.pen, [run for stroke in mark.strokes for run in _pieces(stroke, mark.pen)]
        else:
            pen, runs = lettering_pen(mark.text.height), [flatten(s, FLATNESS) for s in strokes(mark.text)]
        found.setdefault(pen.width, []).extend((_bounds(run), run) for run in runs)
    return found


def _pieces(stroke: Stroke, pen: Pen) -> Iterator[Run]:
    """A stroke as straight runs, its dashes taken apart."""
    match stroke:
        case Line():
            run: Run = (stroke.start, stroke.end)
        case Polyline():
            run = (*stroke.points, stroke.points[0]) if stroke.closed and stroke.points else stroke.points
        case Arc():
            run = chords(stroke.centre, stroke.radius, stroke.start_angle, stroke.end_angle, sagitta=FLATNESS)
        case Circle():
            run = chords(stroke.centre, stroke.radius, 0.0, 360.0, sagitta=FLATNESS)
    yield from dash_run(run, pen.dashes)


def _bounds(run: Run) -> Rect:
    xs, ys = [p[0] for p in run], [p[1] for p in run]
    return Rect(min(xs), min(ys), max(xs), max(ys))


def _told(run: Run, pen_at: tuple[int, int]) -> tuple[str, tuple[int, int]]:
    """The words that draw a run from where the pen is, and where it is then."""
    places = [(_units(x), _units(y)) for x, y in run]
    steps = list(_steps(pen_at, places[0]))
    words = [f"PU{','.join(f'{x},{y}' for x, y in steps)};"] if steps else ["PU;"]
    down: list[str] = []
    at = places[0]
    for place in places[1:]:
        down += [f"{x},{y}" for x, y in _steps(at, place)]
        at = place
    for i in range(0, len(down), _PER_LINE):
        words.append(f"PD{','.join(down[i : i + _PER_LINE])};\n")
    if not down:
        words.append("PD0,0;\n")
    return "".join(words), at


def _steps(a: tuple[int, int], b: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """From `a` to `b` in as few equal steps as plotters take; none where they are one place."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    count = max(-(-abs(dx) // LONGEST_STEP), -(-abs(dy) // LONGEST_STEP))
    x, y = 0, 0
    for i in range(1, count + 1):
        nx, ny = round(dx * i / count), round(dy * i / count)
        yield nx - x, ny - y
        x, y = nx, ny


def _units(mm: float) -> int:
    """Plotter units, halves up, so that a length rounds alike on every machine."""
    return int((round(mm, 6) * UNITS_PER_MM + 0.5) // 1)

"""Reading written files back, by code that shares nothing with the writers.

A control point must be where the solver put it, under the name it has; the arms of its
cross must be drawn through it; and nothing may be missing or extra. Positions are
compared after the printer compensation is undone, so one tolerance holds for all.

    DXF   raw group codes        POINT entities, LINEs on layer POINT, $INSUNITS
    SVG   the standard XML parser  circles, paths in the group `point`, size and viewBox
    PDF   the file's own bytes   named destinations, strokes through every matrix and clip, page boxes
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from pathlib import Path

from layout.checks.readback_dxf import read_dxf
from layout.checks.readback_pdf import read_pdf
from layout.checks.readback_seen import Seen, Segment, UnreadableError
from layout.checks.readback_svg import read_svg
from layout.drafting.entities import Drawing, Line, Point
from layout.drafting.style import Layer
from layout.errors import Fault, WriteError
from layout.sheets.sheet import Placement, Sheet

Arm = tuple[Point, Point]

TOLERANCE = 0.01
"""Farthest a control point or its cross may lie from the solver's, mm: surface.md's bound."""

SIZE_TOLERANCE = 0.001
"""Farthest a page's size may be from its sheet's, mm."""

_EDGE = 1e-6
"""Coordinates in files are no finer than this, mm: a point on an edge counts as inside."""

_READERS = {".dxf": read_dxf, ".svg": read_svg, ".pdf": read_pdf}


def read_points(path: Path) -> dict[str, list[Point]]:
    """Every control point of a written file by name, mm; a list, since a broken file may repeat one.

    DXF: drawing coordinates. SVG and PDF: from the paper's lower left corner.
    Raises WriteError (code read_back) where the file cannot be read.
    """
    found: dict[str, list[Point]] = {}
    for page in _read(path):
        for name, at in page.points:
            found.setdefault(name, []).append(at)
    return found


def verify_dxf(path: Path, drawing: Drawing) -> None:
    """Compare a DXF with the drawing it was written from. Raises WriteError (code read_back)."""
    (seen,) = _read(path)
    faults = _compare_points(seen.points, drawing.points(), lambda p: p)
    for name, at, arms in _crosses(drawing):
        faults += _compare_arms(name, at, arms, seen.segments, lambda p: p, "")
    _report(path, faults)


def verify_svg(path: Path, sheet: Sheet) -> None:
    """Compare an SVG with its sheet. Raises WriteError (code read_back)."""
    (seen,) = _read(path)
    faults = _compare_size(seen, sheet)
    faults += _compare_points(seen.points, _held(sheet), _undone(sheet))
    faults += _compare_crosses(seen, sheet, "")
    _report(path, faults)


def verify_pdf(path: Path, sheets: Sequence[Sheet]) -> None:
    """Compare a PDF with its sheets, page by page. Raises WriteError (code read_back)."""
    pages = _read(path)
    if len(pages) != len(sheets):
        _report(path, [f"it has {len(pages)} pages, not {len(sheets)}"])
    faults: list[str] = []
    named: set[str] = set()
    for page, sheet in zip(pages, sheets, strict=True):
        where = f" on page {sheet.name}" if len(sheets) > 1 else ""
        held = _held(sheet)
        faults += _compare_size(page, sheet)
        here = {name: held[name] for name, _ in page.points if name in held}
        faults += _compare_points(page.points, here, _undone(sheet), where)
        faults += _repeated(name for name, _ in page.points if name in named)
        named |= set(here)
        faults += _compare_crosses(page, sheet, where)
    every = {name for sheet in sheets for name in _held(sheet)}
    faults += [f"the point {name} has no named destination" for name in sorted(every - named)]
    _report(path, faults)


def _read(path: Path) -> list[Seen]:
    try:
        reader = _READERS[path.suffix.lower()]
    except KeyError:
        raise WriteError(Fault("no reader for this kind of file", "read_back", file=str(path))) from None
    try:
        return reader(path.read_bytes())
    except OSError as e:
        raise WriteError(
            Fault(f"cannot read the file back: {e.strerror}", "read_back", file=str(path))
        ) from e
    except UnreadableError as e:
        raise WriteError(Fault(f"does not read back: {e}", "read_back", file=str(path))) from e


def _report(path: Path, faults: Sequence[str]) -> None:
    if faults:
        raise WriteError(
            *(Fault(f"does not read back true: {f}", "read_back", file=str(path)) for f in faults)
        )


def _held(sheet: Sheet) -> dict[str, Point]:
    """The control points a sheet should carry, in sheet coordinates (before compensation)."""
    held: dict[str, Point] = {}
    for placement in sheet.placements:
        for name, at in placement.drawing.points().items():
            p = placement.to_sheet(at)
            if _shown(sheet, placement, p):
                held[name] = p
    return held


def _shown(sheet: Sheet, placement: Placement, p: Point) -> bool:
    """Whether a point of the sheet is inside the placement's clip and on the paper."""
    x, y = sheet.to_page(p)
    on_paper = -_EDGE <= x <= sheet.width + _EDGE and -_EDGE <= y <= sheet.height + _EDGE
    return on_paper and (placement.clip is None or placement.clip.holds(p, _EDGE))


def _undone(sheet: Sheet) -> Callable[[Point], Point]:
    """The way back from the page to the sheet: the printer compensation undone."""
    cx, cy = sheet.width / 2, sheet.height / 2
    sx, sy = sheet.stretch
    return lambda p: (cx + (p[0] - cx) / sx, cy + (p[1] - cy) / sy)


def _compare_size(seen: Seen, sheet: Sheet) -> list[str]:
    if seen.width is None or seen.height is None:
        return [f"page {sheet.name} has no size"]
    off = max(abs(seen.width - sheet.width), abs(seen.height - sheet.height))
    if off <= SIZE_TOLERANCE:
        return []
    return [
        f"page {sheet.name} is {seen.width:.3f} x {seen.height:.3f} mm,"
        f" not {sheet.width:.3f} x {sheet.height:.3f}"
    ]


def _compare_points(
    found: Iterable[tuple[str, Point]],
    expected: dict[str, Point],
    undo: Callable[[Point], Point],
    where: str = "",
) -> list[str]:
    faults: list[str] = []
    names: list[str] = []
    for name, at in found:
        names.append(name)
        if name not in expected:
            faults.append(f"there is a point {name}{where} that should not be there")
            continue
        (x, y), (ex, ey) = undo(at), expected[name]
        off = math.hypot(x - ex, y - ey)
        if not off <= TOLERANCE:
            faults.append(
                f"the point {name}{where} is {off:.4f} mm off:"
                f" found at ({x:.4f}, {y:.4f}), should be at ({ex:.4f}, {ey:.4f})"
            )
    faults += _repeated(n for i, n in enumerate(names) if n in names[:i])
    return faults + [f"the point {n}{where} is missing" for n in expected if n not in names]


def _repeated(names: Iterable[str]) -> list[str]:
    return [f"the point {name} is there twice" for name in names]


def _compare_crosses(seen: Seen, sheet: Sheet, where: str) -> list[str]:
    """Faults of the crosses of all points the sheet holds, after the compensation is undone."""
    undo = _undone(sheet)
    faults: list[str] = []
    for placement in sheet.placements:
        for name, at, arms in _crosses(placement.drawing):
            p = placement.to_sheet(at)
            if not _shown(sheet, placement, p):
                continue
            there = [(placement.to_sheet(a), placement.to_sheet(b)) for a, b in arms]
            faults += _compare_arms(name, p, there, seen.segments, undo, where)
    return faults


def _compare_arms(
    name: str,
    at: Point,
    arms: Iterable[Arm],
    segments: Iterable[Segment],
    undo: Callable[[Point], Point],
    where: str,
) -> list[str]:
    """A fault for each arm of a point's cross that is not drawn end to end and visible at the point."""
    drawn = [(undo(s.start), undo(s.end), s) for s in segments]
    faults: list[str] = []
    for a, b in arms:
        here = [
            s
            for start, end, s in drawn
            if (_near(start, a) and _near(end, b)) or (_near(start, b) and _near(end, a))
        ]
        if not here:
            faults.append(f"no stroke is drawn{where} where the cross at {name} should be")
        elif not any(_through(s, at, undo) for s in here):
            faults.append(f"the cross at {name} is clipped away{where}")
    return faults


def _through(segment: Segment, at: Point, undo: Callable[[Point], Point]) -> bool:
    """Whether the point of the segment at `at` lies inside all its windows."""
    for left, bottom, right, top in segment.windows:
        (x0, y0), (x1, y1) = undo((left, bottom)), undo((right, top))
        if not (x0 - TOLERANCE <= at[0] <= x1 + TOLERANCE and y0 - TOLERANCE <= at[1] <= y1 + TOLERANCE):
            return False
    return True


def _near(a: Point, b: Point) -> bool:
    return math.dist(a, b) <= TOLERANCE


@lru_cache(maxsize=8)
def _crosses(drawing: Drawing) -> tuple[tuple[str, Point, tuple[Arm, ...]], ...]:
    """Each control point with the lines on layer POINT that the drawing draws through it."""
    lines = [e for e in drawing if isinstance(e, Line) and e.layer is Layer.POINT]
    return tuple(
        (name, at, tuple((e.start, e.end) for e in lines if _on_line(at, e)))
        for name, at in drawing.points().items()
    )


def _on_line(p: Point, line: Line) -> bool:
    length = math.dist(line.start, line.end)
    return math.dist(line.start, p) + math.dist(p, line.end) - length <= _EDGE

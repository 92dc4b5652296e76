"""Reading written files back, by code that shares nothing with the writers.

A control point must be where the solver put it, under the name it has; the arms of its
cross must be drawn through it; and nothing may be missing or extra. Positions are
compared after the printer compensation is undone, so one tolerance holds for all.

    DXF   raw group codes        POINT entities, LINEs on layer POINT, $INSUNITS, viewports of layouts
    SVG   the standard XML parser  circles, paths in the group `point`, size and viewBox
    PDF   the file's own bytes   named destinations, strokes through every matrix and clip, page boxes
    HP-GL/2  its own few commands  straight strokes; points have no names there, their crosses stand for them
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple, TypeVar

from layout.checks.readback.dxf import model_space, read_dxf
from layout.checks.readback.dxf_layouts import PaperLayout, read_layouts
from layout.checks.readback.dxf_tags import read_tags
from layout.checks.readback.pdf import read_pdf
from layout.checks.readback.plt import cut_stroke, read_plt
from layout.checks.readback.seen import SeenInFile, Segment, UnreadableError
from layout.checks.readback.svg import read_svg
from layout.drafting.entities import Drawing, Line, Point
from layout.drafting.style import Layer
from layout.errors import Fault, WriteError
from layout.sheets.sheet import Placement, Sheet

Arm = tuple[Point, Point]
_Found = TypeVar("_Found")

TOLERANCE = 0.01
"""Farthest a control point or its cross may lie from the solver's, mm."""

PLOTTER_TOLERANCE = 0.025
"""The same for HP-GL/2, whose unit it is, mm."""

SIZE_TOLERANCE = 0.001
"""Farthest a page's size may be from its sheet's, mm."""

_EDGE = 1e-6
"""Coordinates in files are no finer than this, mm: a point on an edge counts as inside."""


class Cross(NamedTuple):
    """A control point and the arms drawn through it, end to end."""

    name: str
    at: Point
    arms: tuple[Arm, ...]


_READERS = {".dxf": read_dxf, ".svg": read_svg, ".pdf": read_pdf, ".plt": read_plt}

NOT_TRUE = "does not read back true: {fault}. Do not use it: draw it again."


def verify_dxf(path: Path, drawing: Drawing, sheets: Sequence[Sheet] = ()) -> None:
    """Compare a DXF with the drawing and the sheets it was written from; WriteError (code read_back)."""

    def read(data: bytes) -> tuple[SeenInFile, dict[str, PaperLayout]]:
        tags = read_tags(data)
        return model_space(tags), read_layouts(tags) if sheets else {}

    seen, layouts = _read_with(read, path)
    crosses = _crosses(drawing)
    faults = _compare_points(seen.points, {c.name: c.at for c in crosses}, _as_it_is, "")
    faults += _compare_crosses(crosses, seen.segments, _as_it_is, "")
    for sheet in sheets:
        faults += _compare_layout(layouts.get(sheet.name), sheet, drawing)
    _report(path, faults)


def _compare_layout(layout: PaperLayout | None, sheet: Sheet, model: Drawing) -> list[str]:
    """Faults of a layout: its paper, its plot settings, and each control point seen through it once."""
    if layout is None:
        return [f"the layout {sheet.name} is missing"]
    faults = _compare_size(SeenInFile(layout.width, layout.height), sheet)
    if not layout.one_to_one:
        faults.append(f"the layout {sheet.name} is not set to plot 1:1 in mm")
    at = model.points()
    for cross in _crosses_on(sheet, {}):
        seen = layout.shows(at[cross.name]) if cross.name in at else []
        if not any(math.dist(p, cross.at) <= TOLERANCE for p in seen):
            faults.append(f"the point {cross.name} is not seen where it should be on layout {sheet.name}")
    return faults


def verify_svg(path: Path, sheet: Sheet) -> None:
    """Compare an SVG with its sheet. Raises WriteError (code read_back)."""
    (seen,) = read_pages(path)
    crosses, undo = _crosses_on(sheet, {}), _undone(sheet)
    faults = _compare_size(seen, sheet)
    faults += _compare_points(seen.points, {c.name: c.at for c in crosses}, undo, "")
    _report(path, faults + _compare_crosses(crosses, seen.segments, undo, ""))


def verify_pdf(path: Path, sheets: Sequence[Sheet]) -> None:
    """Compare a PDF with its sheets, page by page. Raises WriteError (code read_back)."""
    pages = read_pages(path)
    if len(pages) != len(sheets):
        _report(path, [f"it has {len(pages)} pages, not {len(sheets)}"])
    faults: list[str] = []
    named: list[str] = []
    every: set[str] = set()
    known: dict[int, tuple[Cross, ...]] = {}
    for page, sheet in zip(pages, sheets, strict=True):
        where = f" on page {sheet.name}" if len(sheets) > 1 else ""
        crosses, undo = _crosses_on(sheet, known), _undone(sheet)
        names = {name for name, _ in page.points}
        faults += _compare_size(page, sheet)
        faults += _compare_points(
            page.points, {c.name: c.at for c in crosses if c.name in names}, undo, where
        )
        faults += _repeated_names(names.intersection(named))
        faults += _compare_crosses(crosses, page.segments, undo, where)
        named += names
        every |= {c.name for c in crosses}
    faults += [f"the point {name} has no named destination" for name in sorted(every.difference(named))]
    _report(path, faults)


def verify_plt(path: Path, sheet: Sheet) -> None:
    """Compare an HP-GL/2 file with its sheet, cross by cross. Raises WriteError (code read_back)."""
    (seen,) = read_pages(path)
    faults = _compare_size(seen, sheet, PLOTTER_TOLERANCE)
    paper = (0.0, 0.0, sheet.width, sheet.height)
    crosses: list[Cross] = []
    for placement in sheet.placements:
        clip = placement.clip
        window = (clip.left, clip.bottom, clip.right, clip.top) if clip else paper
        for cross in _crosses_on(replace(sheet, placements=(placement,)), {}):
            arms = [cut_stroke(a, b, window) for a, b in cross.arms]
            crosses.append(Cross(cross.name, cross.at, tuple(arm for arm in arms if arm)))
    _report(
        path,
        faults + _compare_crosses(crosses, seen.segments, _undone(sheet), "", tolerance=PLOTTER_TOLERANCE),
    )


def read_pages(path: Path) -> list[SeenInFile]:
    """What is in each page of a written file: points by name, strokes, sizes.

    Raises WriteError (code read_back) where the file cannot be read.
    """
    try:
        reader = _READERS[path.suffix.lower()]
    except KeyError:
        raise WriteError(Fault("no reader for this kind of file", "read_back", file=str(path))) from None
    return _read_with(reader, path)


def _read_with(reader: Callable[[bytes], _Found], path: Path) -> _Found:
    """What a reader finds in a file; a file that cannot be read at all is a WriteError too."""
    try:
        return reader(path.read_bytes())
    except OSError as e:
        message = f"cannot read the file back: {e.strerror}. Draw it again."
        raise WriteError(Fault(message, "read_back", file=str(path))) from e
    except UnreadableError as e:
        message = f"does not read back: {e}. Do not use it: draw it again."
        raise WriteError(Fault(message, "read_back", file=str(path))) from e


def _report(path: Path, faults: Sequence[str]) -> None:
    if faults:
        raise WriteError(
            *(Fault(NOT_TRUE.format(fault=f), "read_back", file=str(path)) for f in faults)
        )


def _crosses(drawing: Drawing) -> tuple[Cross, ...]:
    """Each control point with the lines on layer POINT that the drawing draws through it."""
    lines = [
        (e.start, e.end, math.dist(e.start, e.end) + _EDGE)
        for e in drawing
        if isinstance(e, Line) and e.layer is Layer.POINT
    ]
    return tuple(
        Cross(name, p, tuple((a, b) for a, b, most in lines if math.dist(a, p) + math.dist(p, b) <= most))
        for name, p in drawing.points().items()
    )


def _crosses_on(sheet: Sheet, known: dict[int, tuple[Cross, ...]]) -> list[Cross]:
    """The crosses a sheet should carry, in sheet coordinates (before compensation).

    `known` keeps those of each drawing by identity, for sheets that share a drawing.
    """
    crosses: list[Cross] = []
    for placement in sheet.placements:
        key = id(placement.drawing)
        if key not in known:
            known[key] = _crosses(placement.drawing)
        for cross in known[key]:
            p = placement.to_sheet(cross.at)
            if _is_shown(sheet, placement, p):
                arms = tuple((placement.to_sheet(a), placement.to_sheet(b)) for a, b in cross.arms)
                crosses.append(Cross(cross.name, p, arms))
    return crosses


def _is_shown(sheet: Sheet, placement: Placement, p: Point) -> bool:
    """Whether a point of the sheet is inside the placement's clip and on the paper."""
    x, y = sheet.to_page(p)
    on_paper = -_EDGE <= x <= sheet.width + _EDGE and -_EDGE <= y <= sheet.height + _EDGE
    return on_paper and (placement.clip is None or placement.clip.holds(p, _EDGE))


def _as_it_is(p: Point) -> Point:
    return p


def _undone(sheet: Sheet) -> Callable[[Point], Point]:
    """The way back from the page to the sheet: the printer compensation undone."""
    cx, cy = sheet.width / 2, sheet.height / 2
    sx, sy = sheet.stretch
    return lambda p: (cx + (p[0] - cx) / sx, cy + (p[1] - cy) / sy)


def _compare_size(seen: SeenInFile, sheet: Sheet, tolerance: float = SIZE_TOLERANCE) -> list[str]:
    if seen.width is None or seen.height is None:
        return [f"page {sheet.name} has no size"]
    off = max(abs(seen.width - sheet.width), abs(seen.height - sheet.height))
    if off <= tolerance:
        return []
    return [
        f"page {sheet.name} is {seen.width:.3f} x {seen.height:.3f} mm,"
        f" not {sheet.width:.3f} x {sheet.height:.3f}"
    ]


def _compare_points(
    found: Iterable[tuple[str, Point]],
    expected: dict[str, Point],
    undo: Callable[[Point], Point],
    where: str,
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
    faults += _repeated_names(n for i, n in enumerate(names) if n in names[:i])
    return faults + [f"the point {n}{where} is missing" for n in expected if n not in names]


def _repeated_names(names: Iterable[str]) -> list[str]:
    return [f"the point {name} is there twice" for name in names]


def _compare_crosses(
    crosses: Iterable[Cross],
    segments: Iterable[Segment],
    undo: Callable[[Point], Point],
    where: str,
    tolerance: float = TOLERANCE,
) -> list[str]:
    """A fault for each arm of a cross that is not drawn end to end and visible at its point."""
    drawn = [(undo(s.start), undo(s.end), s) for s in segments]
    faults: list[str] = []
    for cross in crosses:
        for a, b in cross.arms:
            here = [
                s
                for start, end, s in drawn
                if (math.dist(start, a) <= tolerance and math.dist(end, b) <= tolerance)
                or (math.dist(start, b) <= tolerance and math.dist(end, a) <= tolerance)
            ]
            if not here:
                faults.append(f"no stroke is drawn{where} where the cross at {cross.name} should be")
            elif not any(_through(s, cross.at, undo) for s in here):
                faults.append(f"the cross at {cross.name} is clipped away{where}")
    return faults


def _through(segment: Segment, at: Point, undo: Callable[[Point], Point]) -> bool:
    """Whether the point of the segment at `at` lies inside all its windows."""
    for left, bottom, right, top in segment.windows:
        (x0, y0), (x1, y1) = undo((left, bottom)), undo((right, top))
        if not (x0 - TOLERANCE <= at[0] <= x1 + TOLERANCE and y0 - TOLERANCE <= at[1] <= y1 + TOLERANCE):
            return False
    return True

"""What is wrong with a row of READINGS for one frame: a name that it does not have, a number nobody can read.

One wording for the tape check and the inspection: the same slip is told in the same words by both.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from layout.checks.built import able
from layout.errors import Fault
from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.spec.readings import PrintedSheet, Reading, ReadingKind, Readings, range_of

COINCIDENT = 0.01
"""Points nearer than this are one point, mm."""

_CLOSE = 0.72
"""Likeness (difflib's ratio) from which a name is offered."""

_KEYS = {ReadingKind.DISTANCE: ("from", "to")}
"""The keys that a row's names stand at, where that is not the kind's own."""


@dataclass(frozen=True)
class Known:
    """What may be read: the points by name, mm, the dimensions, and the kinds of rows that are taken.

    `frame_mark` is what a plotted sheet of the frame bears; None where no sheet is read.
    """

    points: Mapping[str, tuple[float, float]]
    dimensions: Collection[str] = ()
    kinds: Collection[ReadingKind] = tuple(ReadingKind)
    frame_mark: str | None = None


def known_of(frame: Frame) -> Known:
    """What may be read of a built frame: its points, and the dimensions that its spec determines."""
    plane, known = Plane(frame.plane.parameters), frame.plane.dimensions
    return Known(frame.plane.points, [n for n in REGISTRY if known[n] is not None and able(plane, n)])


def reading_faults(known: Known, readings: Readings) -> Iterator[Fault]:
    """A fault, with its place, for each row that names what is not there, or cannot have been read."""
    for fault in _sheet_faults(known, readings.sheet):
        yield fault.located(*readings.place(fault.key or ""))
    for row in readings.rows:
        for fault in _row_faults(known, row):
            yield fault.located(*readings.place(fault.key or ""))


def _sheet_faults(known: Known, sheet: PrintedSheet) -> Iterator[Fault]:
    """Readings of the wrong thing: of paper where a frame is meant, of a sheet of other numbers."""
    if known.frame_mark is None and sheet.media:
        message = (
            "these are readings of a plotted sheet, for `layout tape`; `layout inspect` takes the form of the"
            " frame, which `layout setup` writes"
        )
        yield Fault(message, "type", "sheet")
    elif known.frame_mark is not None and sheet.frame not in ("", known.frame_mark):
        message = (
            "the spec's numbers have changed since this sheet was drawn: its distances are no longer the"
            " frame's; draw the sheet again and read that one, or judge this one with the spec as it was"
        )
        yield Fault(message, "contradictory", "sheet.frame")


def _row_faults(known: Known, row: Reading) -> Iterator[Fault]:
    if row.kind not in known.kinds:
        message = f"is for `layout inspect`; `layout tape` takes distances: from and to, not {row.kind.value}"
        yield Fault(message, "type", f"{row.key}.{row.kind.value}")
        return
    strange = list(_strange(known, row))
    yield from strange
    if row.kind is ReadingKind.DISTANCE and not strange:
        yield from _one_place(known, row)
    if row.measured is not None:
        yield from _unreadable(row, row.measured)


def _strange(known: Known, row: Reading) -> Iterator[Fault]:
    """The names that are not of this frame."""
    if row.kind is ReadingKind.ALIGNMENT:
        return
    names = known.dimensions if row.kind is ReadingKind.DIMENSION else known.points
    for key, name in zip(_KEYS.get(row.kind, (row.kind.value,)), row.names, strict=True):
        if name not in names:
            yield Fault(_unknown_fault(name, names, row.kind), "unknown_key", f"{row.key}.{key}")


def _one_place(known: Known, row: Reading) -> Iterator[Fault]:
    """Two points with no distance between them."""
    start, end = row.names
    if math.dist(known.points[start], known.points[end]) < COINCIDENT:
        message = f"is {end}, which lies on {start} in this frame; expected a point away from it"
        yield Fault(message, "range", f"{row.key}.to")


def _unreadable(row: Reading, measured: float) -> Iterator[Fault]:
    """A number that nobody can have read of any frame."""
    if row.kind is ReadingKind.DISTANCE:
        message = "" if measured > 0.0 else f"is {measured:g}; expected a distance over 0 mm"
    else:
        readable = range_of(row.kind, row.names[0])
        message = "" if readable is None or readable.holds(measured) else readable.refusal(measured)
    if message:
        yield Fault(f"{message}, or nothing where none was read", "range", f"{row.key}.measured")


def _unknown_fault(name: str, known: Iterable[str], kind: ReadingKind) -> str:
    what = "dimension" if kind is ReadingKind.DIMENSION else "point"
    if kind is ReadingKind.DIMENSION and name in REGISTRY:
        return f"is {name}, which the spec does not determine: give the numbers it needs, or delete the row"
    near = difflib.get_close_matches(name, list(known), 2, _CLOSE)
    hint = f"did you mean {' or '.join(near)}?" if near else f"expected one of {', '.join(known)}"
    return f"is {name!r}, no {what} of this frame; {hint}"

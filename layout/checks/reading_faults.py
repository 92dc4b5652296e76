"""What is wrong with a row of READINGS for one frame: a name that it does not have, a number nobody can read.

One wording for the tape check and the inspection: the same slip is told in the same words by both.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from layout.checks.built import able
from layout.errors import Fault
from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.spec import words
from layout.spec.readings import PrintedSheet, Reading, ReadingKind, Readings, range_of
from layout.spec.text import shown
from layout.spec.units import INCH

COINCIDENT = 0.01
"""Points nearer than this are one point, mm."""

_CLOSE = 0.72
"""Likeness (difflib's ratio) from which a name is offered."""

_MANY = 4
"""Rows of strange names that are each told; more, and most of a file, are another frame's."""

SAME_LENGTH = 0.05
"""A reading in another unit is this near the frame's own length, as a share of it."""

_KEYS = {ReadingKind.DISTANCE: ("from", "to")}
"""The keys that a row's names stand at, where that is not the kind's own."""


class Known(NamedTuple):
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
    told = [(row, f) for row in readings.rows for f in _row_faults(known, row)]
    strange = {row.key: f for row, f in told if f.code == "unknown_key"}
    other = len(strange) > _MANY and 2 * len(strange) > len(readings.rows)
    if other:
        yield _other_frame(strange, readings)
    if not told:
        yield from _other_unit(known, readings)
    for row, fault in told:
        if not (other and row.key in strange):
            yield fault.located(*readings.place(fault.key or ""))


def _other_frame(strange: Mapping[str, Fault], readings: Readings) -> Fault:
    """One fault for a whole file of names that the frame does not have."""
    key, first = next(iter(strange.items()))
    row = next(r for r in readings.rows if r.key == key)
    name = next(n for n in row.names if shown(n) in first.message)
    counts = {"count": len(strange), "total": len(readings.rows)}
    said = words.OTHER_FRAME.format(name=name, **counts)
    return Fault(said, "unknown_key", first.key).located(*readings.place(first.key or ""))


def _other_unit(known: Known, readings: Readings) -> Iterator[Fault]:
    """One fault for a file whose distances are all those of the frame, in cm or in inches."""
    taped = [(r, r.measured, math.dist(*(known.points[n] for n in r.names))) for r in readings.rows
             if r.kind is ReadingKind.DISTANCE and r.measured is not None]  # fmt: skip
    for units, unit, size in (("centimetres", "cm", 10.0), ("inches", "in", INCH)):
        if taped and all(abs(measured * size / true - 1.0) < SAME_LENGTH for _, measured, true in taped):
            row, measured, true = taped[0]
            name = " to ".join(row.names)
            told = {"units": units, "unit": unit, "name": name}
            said = words.OTHER_UNIT.format(measured=measured, true=true, **told)
            place = readings.place(f"{row.key}.measured")
            yield Fault(said, "range", f"{row.key}.measured").located(*place)


def _sheet_faults(known: Known, sheet: PrintedSheet) -> Iterator[Fault]:
    """Readings of the wrong thing: of paper where a frame is meant, of a sheet of other numbers."""
    if known.frame_mark is None and sheet.media:
        yield Fault(words.FOR_TAPE, "type", "sheet")
    elif known.frame_mark is not None and sheet.frame not in ("", known.frame_mark):
        yield Fault(words.OLD_SHEET, "contradictory", "sheet.frame")


def _row_faults(known: Known, row: Reading) -> Iterator[Fault]:
    if row.kind not in known.kinds:
        message = words.FOR_INSPECT.format(kind=row.kind.value)
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
        yield Fault(words.SAME_POINT, "range", f"{row.key}.to")


def _unreadable(row: Reading, measured: float) -> Iterator[Fault]:
    """A number that nobody can have read of any frame."""
    if row.kind is ReadingKind.DISTANCE:
        message = "" if measured > 0.0 else words.NO_DISTANCE.format(measured=measured)
    else:
        readable = range_of(row.kind, row.names[0])
        good = readable is None or readable.holds(measured)
        message = "" if good else words.NO_VALUE_READ.format(refusal=readable and readable.refusal(measured))
    if message:
        yield Fault(message, "range", f"{row.key}.measured")


def _unknown_fault(name: str, known: Iterable[str], kind: ReadingKind) -> str:
    if kind is ReadingKind.DIMENSION and name in REGISTRY:
        return words.UNDETERMINED.format(name=name)
    near = difflib.get_close_matches(name, list(known), 2, _CLOSE)
    hint = words.ONE_OF_KEYS.format(names=words.listed(list(known)))
    if near:
        hint = words.DID_YOU_MEAN.format(names=" or ".join(near))
    said = words.NO_DIMENSION if kind is ReadingKind.DIMENSION else words.NO_POINT
    return said.format(name=shown(name), hint=hint)

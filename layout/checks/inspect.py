"""What was really built: readings of a frame become its geometry, judged by the spec's tolerances.

In its plane by weighted least squares on the registry of dimensions (`built`), out of its plane
quantity by quantity (`alignment`). All uncertainties are one standard deviation.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from layout.checks.alignment import SPACING, Aligned, align, is_angle
from layout.checks.built import Built, Judged, Move, Suspect, able, sigma_of, tolerance_of
from layout.errors import Fault, Notice, SpecError
from layout.frame import Frame, plane_parameters
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import Plane
from layout.spec.model import Tolerance
from layout.spec.readings import Kind, Reading, Readings

COINCIDENT = 0.01
"""Points nearer than this are one point, mm."""


class Verdict(StrEnum):
    """Whether the frame is in tolerance."""

    PASS = "pass"
    FAIL = "fail"
    UNDETERMINED = "undetermined"


@dataclass(frozen=True)
class Inspection:
    """The verdict with all it rests on; `wrong` is how many of the suspects are misread at least."""

    verdict: Verdict
    dimensions: Mapping[str, Judged]
    suspects: tuple[Suspect, ...]
    wrong: int
    moves: tuple[Move, ...]
    notices: tuple[Notice, ...]
    taken: int
    scatter: float


def inspect(
    frame: Frame, tolerance: Tolerance, readings: Readings, spacing: float | None = None
) -> Inspection:
    """Estimate what was built from readings of it, and judge it by the spec's tolerances.

    `spacing` is the hub's, mm. Raises SpecError where a row names no point or dimension of this frame.
    """
    faults = list(reading_faults(frame, readings))
    if faults:
        raise SpecError(*faults)
    measured = [r for r in readings.rows if r.measured is not None]
    flat = [r for r in measured if r.kind in (Kind.DISTANCE, Kind.DIMENSION)]
    built = Built(frame, flat, tolerance)
    out = [r for r in measured if r.kind in (Kind.HEIGHT, Kind.ALIGNMENT)]
    sigmas = [sigma_of(r, tolerance) for r in out]
    lengths = {n: frame.dimensions[n] or 1.0 for n in ("head_tube_length", "seat_tube_length")}
    aligned = align(out, sigmas, lengths)
    judged = {j.name: j for j in (*built.judged(), *_aligned(aligned, tolerance, spacing))}
    aside = [Suspect(out[i], a.estimate) for a in aligned for i in a.suspects]
    suspects = (*built.suspects(), *aside)
    wrong = built.fit.wrong + sum(1 for a in aligned if a.suspects)
    notices = (*built.notices(), *_spacing_notice(aligned, spacing))
    return Inspection(
        verdict(judged.values()),
        judged,
        suspects,
        wrong,
        tuple(built.moves()),
        notices,
        len(measured),
        built.fit.scatter,
    )


def verdict(judged: Iterable[Judged]) -> Verdict:
    """The verdict over all dimensions that were reached; none reached is undetermined."""
    reached = [j for j in judged if j.within is not None]
    if any(j.surely_out for j in reached):
        return Verdict.FAIL
    if reached and all(j.within for j in reached):
        return Verdict.PASS
    return Verdict.UNDETERMINED


def _aligned(aligned: Iterable[Aligned], tolerance: Tolerance, spacing: float | None) -> Iterator[Judged]:
    for a in aligned:
        unit = "deg" if is_angle(a.name) else "mm"
        design = spacing if a.name == SPACING else 0.0
        yield Judged(a.name, unit, design, a.estimate, a.uncertainty, tolerance_of(unit, tolerance))


def _spacing_notice(aligned: Iterable[Aligned], spacing: float | None) -> Iterator[Notice]:
    if spacing is None and any(a.name == SPACING for a in aligned):
        message = "dropout_spacing cannot be judged: the spec has no rear_end.spacing"
        yield Notice("no_spacing", message)


def reading_faults(frame: Frame, readings: Readings) -> Iterator[Fault]:
    """A fault for each row that names what this frame does not have, or cannot have been read."""
    plane = Plane(plane_parameters(frame))
    dimensions = [n for n in REGISTRY if frame.dimensions[n] is not None and able(plane, n)]
    for row in readings.rows:
        if row.kind is Kind.ALIGNMENT:
            continue
        keys = ("from", "to") if row.kind is Kind.DISTANCE else (row.kind.value,)
        known = dimensions if row.kind is Kind.DIMENSION else list(frame.points)
        strange = [(k, n) for k, n in zip(keys, row.names, strict=True) if n not in known]
        for key, name in strange:
            yield _fault(readings, f"{row.key}.{key}", _unknown(name, known, row.kind), "unknown_key")
        if row.kind is Kind.DISTANCE and not strange:
            yield from _distance_faults(frame, readings, row)


def _distance_faults(frame: Frame, readings: Readings, row: Reading) -> Iterator[Fault]:
    start, end = row.names
    if math.dist(frame.points[start], frame.points[end]) < COINCIDENT:
        message = f"is {end}, which lies on {start} in this frame; expected a point away from it"
        yield _fault(readings, f"{row.key}.to", message, "type")
    if row.measured is not None and row.measured <= 0.0:
        message = f"is {row.measured:g}; a distance between two points is more than 0"
        yield _fault(readings, f"{row.key}.measured", message, "range")


def _fault(readings: Readings, key: str, message: str, code: str) -> Fault:
    return Fault(message, code, key).located(*readings.place(key))


def _unknown(name: str, known: Iterable[str], kind: Kind) -> str:
    what = "dimension" if kind is Kind.DIMENSION else "point"
    if kind is Kind.DIMENSION and name in REGISTRY:
        return f"is {name}, which the spec does not determine: give the numbers it needs, or delete the row"
    near = difflib.get_close_matches(name, list(known), 2, 0.6)
    hint = f"did you mean {' or '.join(near)}?" if near else f"expected one of {', '.join(known)}"
    return f"is {name!r}, no {what} of this frame; {hint}"


def result_json(found: Inspection) -> dict[str, Any]:
    """The inspection as plain data, full precision: what `inspect --json` prints."""
    return {
        "verdict": found.verdict.value,
        "dimensions": {
            name: {
                "design": j.design,
                "estimate": j.estimate,
                "uncertainty": j.uncertainty,
                "tolerance": j.tolerance,
                "within": j.within,
            }
            for name, j in found.dimensions.items()
        },
        "suspects": [_suspect_json(s) for s in found.suspects],
    }


def _suspect_json(suspect: Suspect) -> dict[str, Any]:
    row = suspect.reading
    if row.kind is Kind.DISTANCE:
        named: dict[str, Any] = {"from": row.names[0], "to": row.names[1]}
    else:
        named = {row.kind.value: row.names[0]}
    return {**named, "measured": row.measured, "expected": suspect.expected}

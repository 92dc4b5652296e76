"""What was really built: readings of a frame become its geometry, judged by the spec's tolerances.

In its plane by weighted least squares on the registry of dimensions (`built`), out of its plane
quantity by quantity (`alignment`). All uncertainties are one standard deviation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from typing import NamedTuple

from layout.checks.alignment import SPACING, Aligned, align, is_angle
from layout.checks.built import Built, Judged, Move, SuspectReading, sigma_of, tolerance_of
from layout.checks.reading_faults import known_of, reading_faults
from layout.errors import Notice, SpecError
from layout.frame.solve import Frame
from layout.spec.model import Tolerance
from layout.spec.readings import ReadingKind, Readings


class FrameVerdict(StrEnum):
    """Whether the frame is in tolerance."""

    PASS = "pass"
    FAIL = "fail"
    UNDETERMINED = "undetermined"


class Inspection(NamedTuple):
    """The verdict with all it rests on; `wrong` is how many of the suspects are misread at least.

    `zero_off` is by how many degrees the gauge's zero, or the frame's level, is likely off: angles from the
    level are all suspect then, for one cause. `leans`: it is the frame that is not level, and lengths read
    plumb or level are suspect with them.
    """

    verdict: FrameVerdict
    dimensions: Mapping[str, Judged]
    suspects: tuple[SuspectReading, ...]
    wrong: int
    moves: tuple[Move, ...]
    notices: tuple[Notice, ...]
    taken: int
    scatter: float
    zero_off: float | None = None
    leans: bool = False


def inspect(
    frame: Frame, tolerance: Tolerance, readings: Readings, spacing: float | None = None
) -> Inspection:
    """Estimate what was built from readings of it, and judge it by the spec's tolerances.

    `spacing` is the hub's, mm. Raises SpecError where a row names no point or dimension of this frame.
    """
    faults = list(reading_faults(known_of(frame), readings))
    if faults:
        raise SpecError(*faults)
    measured = [r for r in readings.rows if r.measured is not None]
    flat = [r for r in measured if r.kind in (ReadingKind.DISTANCE, ReadingKind.DIMENSION)]
    built = Built(frame, flat, tolerance)
    out = [r for r in measured if r.kind in (ReadingKind.HEIGHT, ReadingKind.ALIGNMENT)]
    sigmas = [sigma_of(r, tolerance) for r in out]
    lengths = {n: frame.plane.dimensions[n] or 1.0 for n in ("head_tube_length", "seat_tube_length")}
    aligned = align(out, sigmas, lengths)
    judged = {j.name: j for j in (*built.judged(), *_aligned(aligned, tolerance, spacing))}
    aside = [SuspectReading(out[i], a.estimate) for a in aligned for i in a.suspects]
    suspects = (*built.suspects(), *aside)
    wrong = built.fit.wrong + sum(1 for a in aligned if a.suspects)
    notices = (*built.notices(), *_spacing_notice(aligned, spacing))
    return Inspection(
        verdict(judged.values()),
        judged,
        suspects,
        wrong,
        moves=tuple(built.moves()),
        notices=notices,
        taken=len(measured),
        scatter=built.fit.scatter,
        zero_off=built.zero_off,
        leans=built.leans,
    )


def verdict(judged: Iterable[Judged]) -> FrameVerdict:
    """The verdict over all dimensions that were reached; none reached is undetermined."""
    reached = [j for j in judged if j.within is not None]
    if any(j.surely_out for j in reached):
        return FrameVerdict.FAIL
    if reached and all(j.within for j in reached):
        return FrameVerdict.PASS
    return FrameVerdict.UNDETERMINED


def _aligned(aligned: Iterable[Aligned], tolerance: Tolerance, spacing: float | None) -> Iterator[Judged]:
    for a in aligned:
        unit = "deg" if is_angle(a.name) else "mm"
        design = spacing if a.name == SPACING else 0.0
        yield Judged(
            a.name,
            unit,
            design,
            a.estimate,
            uncertainty=a.uncertainty,
            tolerance=tolerance_of(unit, tolerance),
        )


def _spacing_notice(aligned: Iterable[Aligned], spacing: float | None) -> Iterator[Notice]:
    if spacing is None and any(a.name == SPACING for a in aligned):
        message = "dropout_spacing cannot be judged: the spec has no rear_end.spacing. Add it."
        yield Notice("no_spacing", message)

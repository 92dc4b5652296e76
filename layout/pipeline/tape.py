"""tape: readings of a plotted sheet become a verdict, in data and in words.

Distances are those of the drawing as it lies on paper, heading left or right, so that the
axes of the fit are the paper's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from layout.bench.tape import TapeCheck, checks, fingerprint
from layout.checks.reading_faults import Known, reading_faults
from layout.checks.tape import Axes, Distance, Judgement, SheetVerdict, TapedDistance, judge
from layout.drafting.vector import Point
from layout.errors import Exit
from layout.frame.solve import solve
from layout.report.tape import report
from layout.spec.load import load
from layout.spec.readings import ReadingKind, Readings, load_readings
from layout.views.side.plan import plan


class TapeResult(NamedTuple):
    """The judgement, as plain data for `--json`, in words, and as an exit status."""

    judgement: Judgement
    data: Mapping[str, Any]
    words: str
    exit_status: int


def tape(spec_path: str | Path, readings_path: str | Path) -> TapeResult:
    """Judge a plotted sheet of a spec by the readings in a file.

    Raises SpecError or SolveError where spec or readings are at fault, each fault with its line.
    """
    spec = load(spec_path)
    points = plan(solve(spec)).points
    listed = checks(points)
    known = Known(points, kinds=(ReadingKind.DISTANCE,), frame_mark=fingerprint(listed))
    readings = load_readings(readings_path, partial(reading_faults, known))
    taped = _taped_distances(readings, points, spec.spec.tolerance.instruments.tape)
    distances = [_distance(c.start, c.end, points) for c in listed]
    sigma = spec.spec.tolerance.instruments.tape
    judgement = judge(distances, taped, readings.sheet.printer, readings.sheet.turned, sigma=sigma)
    words = report(judgement, taped, readings.sheet, _letters(listed))
    status = Exit.DONE if judgement.verdict is SheetVerdict.USE else Exit.CHECK_SAYS_NO
    return TapeResult(judgement, tape_json(judgement), words, status)


def tape_json(judgement: Judgement) -> dict[str, Any]:
    """What `tape --json` prints, full precision; null where a number is not known or not offered."""
    x, y = judgement.compensation or (None, None)
    return {
        "verdict": judgement.verdict.value,
        "scale": _axes_json(judgement.scale),
        "uncertainty": _axes_json(judgement.uncertainty),
        "suspects": [
            {"from": s.distance.start, "to": s.distance.end, "measured": s.measured, "expected": s.expected}
            for s in judgement.suspects
        ],
        "compensation": {"x": x, "y": y},
    }


def _axes_json(axes: Axes) -> dict[str, float | None]:
    return {"x": axes.x, "y": axes.y, "skew": axes.skew}


def _distance(start: str, end: str, points: Mapping[str, Point]) -> Distance:
    (x0, y0), (x1, y1) = points[start], points[end]
    return Distance(start, end, x1 - x0, y1 - y0)


def _letters(listed: Sequence[TapeCheck]) -> dict[frozenset[str], str]:
    """The letter of each check distance on the sheet, by its points."""
    return {frozenset((c.start, c.end)): c.letter for c in listed}


def _taped_distances(readings: Readings, points: Mapping[str, Point], sigma: float) -> list[TapedDistance]:
    """The rows that were filled in, as distances."""
    return [
        TapedDistance(_distance(row.names[0], row.names[1], points), row.measured, row.uncertainty or sigma)
        for row in readings.rows
        if row.measured is not None
    ]

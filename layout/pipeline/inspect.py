"""inspect: readings of a built frame become a verdict, in data and words, and a record for the file."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import count
from os.path import lexists
from pathlib import Path
from typing import Any

from layout.checks.built import SuspectReading
from layout.checks.inspect import FrameVerdict, Inspection, inspect
from layout.checks.reading_faults import known_of, reading_faults
from layout.errors import Exit, Notice
from layout.frame.solve import Frame, solve
from layout.pipeline.documents import data_text, form, job_info
from layout.pipeline.files import PDF, DataFile, Output, write_all
from layout.pipeline.staged import one_at_a_time
from layout.report.before import changes
from layout.report.inspect import because, blocks, headline, reached_dimensions, report
from layout.report.written import FileWritten, lettering_notices
from layout.spec.load import load
from layout.spec.readings import ReadingKind, load_readings
from layout.views.record import Record, RecordBlock, RecordLine, pages

"""Exit status: in tolerance; out of it, or the readings cannot tell."""
KIND, JSON = "record", "json"
DOCUMENT = "inspection record"


@dataclass(frozen=True)
class InspectResult:
    """The inspection, as plain data for `--json`, in words, as an exit status, and the files written."""

    inspection: Inspection
    data: Mapping[str, Any]
    words: str
    exit_status: int
    files: tuple[FileWritten, ...] = ()
    warnings: tuple[Notice, ...] = ()


def inspect_frame(spec_path: str | Path, readings_path: str | Path, out: Path | None = None) -> InspectResult:
    """Judge a built frame of a spec by the readings in a file; with `out`, write the record there.

    Raises SpecError or SolveError where spec or readings are at fault, each fault with its line;
    WriteError where the record cannot be written or does not read back.
    """
    spec = load(spec_path)
    frame = solve(spec)
    readings = load_readings(readings_path, partial(reading_faults, known_of(frame)))
    found = inspect(frame, spec.spec.tolerance, readings, spec.spec.rear_end.spacing)
    status = Exit.DONE if found.verdict is FrameVerdict.PASS else Exit.CHECK_SAYS_NO
    result = InspectResult(found, inspect_json(found), report(found), status, warnings=found.notices)
    if out is None:
        return result
    stem = Path(spec.file).stem
    with one_at_a_time(out):
        before = _last_record(out, stem, frame.mark)
        files, notices = _record(frame, found, _free_name(out, stem), before, out=out)
    said = report(found, _since(found, before))
    return replace(result, words=said, files=files, warnings=(*found.notices, *notices))


def _name(stem: str, number: int) -> str:
    """What a record is called: the second and those after it have their number."""
    return f"{stem}-{KIND}" if number == 1 else f"{stem}-{KIND}-{number}"


def _free_name(out: Path, stem: str) -> str:
    """The first name of a record that no file has: no record is ever written over."""
    names = (_name(stem, number) for number in count(1))
    return next(n for n in names if not any(lexists(out / f"{n}.{form}") for form in (PDF, JSON)))


def _last_record(out: Path, stem: str, mark: str) -> tuple[str, Mapping[str, Any]] | None:
    """The newest record of this very frame in a folder: its file's name, and its data."""
    for number in count(1):
        path = out / f"{_name(stem, number)}.{JSON}"
        if not path.exists():
            break
    for earlier in range(number - 1, 0, -1):
        path = out / f"{_name(stem, earlier)}.{JSON}"
        try:
            data = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(data, dict) and data.get("mark") == mark:
            return path.name, data
    return None


def _since(found: Inspection, before: tuple[str, Mapping[str, Any]] | None) -> Mapping[str, tuple[str, ...]]:
    """What has changed since an earlier record, under its title."""
    if before is None:
        return {}
    name, data = before
    return {f"Changed since {name}": tuple(changes(found, data, name))}


def _record(
    frame: Frame,
    found: Inspection,
    name: str,
    before: tuple[str, Mapping[str, Any]] | None,
    out: Path,
) -> tuple[tuple[FileWritten, ...], tuple[Notice, ...]]:
    record = Record(
        frame.job,
        headline(found),
        because(found),
        tuple(
            RecordLine(
                j.name,
                j.unit,
                j.design,
                j.estimate,
                uncertainty=j.uncertainty,
                tolerance=j.tolerance,
                within=j.within,
            )
            for j in reached_dimensions(found)
            if j.estimate is not None and j.uncertainty is not None
        ),
        blocks=tuple(RecordBlock(title, lines) for title, lines in blocks(found, _since(found, before))),
    )
    paper = form(name, KIND, partial(pages, record), job_info(frame, Path(frame.spec.file).stem, DOCUMENT))
    outputs: tuple[Output, ...] = (
        *paper.files(PDF),
        DataFile(f"{name}.{JSON}", KIND, _json(frame, found)),
    )
    return write_all(outputs, out), tuple(lettering_notices(paper.drawings))


def inspect_json(found: Inspection) -> dict[str, Any]:
    """What `inspect --json` prints, full precision; null where nothing is known."""
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


def _suspect_json(suspect: SuspectReading) -> dict[str, Any]:
    row = suspect.reading
    if row.kind is ReadingKind.DISTANCE:
        named: dict[str, Any] = {"from": row.names[0], "to": row.names[1]}
    else:
        named = {row.kind.value: row.names[0]}
    return {**named, "measured": row.measured, "expected": suspect.expected}


def _json(frame: Frame, found: Inspection) -> str:
    """The record as data: what `inspect --json` prints, with the job it belongs to."""
    job = frame.job
    heading = {"number": job.number, "title": job.title, "date": job.date, "revision": job.revision}
    data = {"job": heading, "mark": frame.mark, "readings": found.taken, **inspect_json(found)}
    return data_text(data)

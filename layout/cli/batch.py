"""Many specs on every core: what one command does with each, told and reported together."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.cli.outcome import (
    Outcome,
    Result,
    errors_json,
    json_text,
    messages,
    note,
    warnings_json,
    written_json,
)

if TYPE_CHECKING:
    from layout.pipeline.batch import Batch, Work
    from layout.pipeline.order import Order
    from layout.pipeline.setup import SetupResult
    from layout.report.written import Written


def draw_one(spec: Path, out: Path, order: Order, printer_given: bool, loud: bool) -> Written:
    """Load, solve and draw one spec; its own `printer` block holds where no profile was given."""
    from layout.pipeline.draw import draw_spec
    from layout.sheets.media import Printer
    from layout.spec.load import load

    read = load(spec)
    if not printer_given:
        of = read.spec.printer
        order = order._replace(printer=Printer(of.x, of.y, of.margins))
    return draw_spec(read, out, order, partial(_say, spec, loud))


def setup_one(spec: Path, out: Path, loud: bool) -> SetupResult:
    """Load, solve and set up one spec."""
    from layout.pipeline.setup import setup

    return setup(spec, out, partial(_say, spec, loud))


def each(specs: Sequence[Path], work: Work[Any], jobs: int, as_json: bool) -> Outcome:
    """Do `work` with every spec; the exit status is the worst of them.

    A result has files and warnings; its `data`, where it has any, goes into the JSON, lists
    joined over the specs, and its `words` before the table of files.
    """
    from layout.pipeline.batch import run

    batch = run(specs, work, jobs, note if loud() else lambda _: None)
    faults = batch.faults
    if as_json:
        return Outcome(json_text(_json(batch)), messages(faults), batch.status)
    if not batch.results:
        return Outcome("", messages(faults), batch.status)
    from layout.report.tables import drawn_report
    from layout.report.written import told

    files = tuple(f for r in batch.results for f in r.files)
    done = [(d.spec, d.result.warnings) for d in batch.done if d.result]
    warnings = [line for spec, said in done for line in told(said, str(spec))]
    words = "".join(f"{r.words}\n" for r in batch.results if r.words)
    return Outcome(words + drawn_report(files, warnings), messages(faults), batch.status)


def loud() -> bool:
    """Whether somebody watches stderr: then each stage is told as it begins."""
    return sys.stderr is not None and sys.stderr.isatty()


def _say(spec: Path, loud: bool, line: str) -> None:
    if loud:
        note(f"{spec}: {line}")


def _json(batch: Batch[Result]) -> dict[str, Any]:
    """Files, warnings and data of the specs that went well, errors of those that did not."""
    data: dict[str, Any] = {}
    if batch.results:
        data["files"] = written_json(f for r in batch.results for f in r.files)
        data["warnings"] = [
            {**w, "file": str(d.spec)}
            for d in batch.done
            if d.result is not None
            for w in warnings_json(d.result.warnings)
        ]
    for result in batch.results:
        for key, value in result.data.items():
            data.setdefault(key, []).extend(value)
    return {**data, **({"errors": errors_json(batch.faults)} if batch.faults else {})}

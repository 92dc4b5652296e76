"""draw: many specs on both cores; a faulty one does not stop the rest."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layout.cli.outcome import (
    NOT_WRITTEN,
    Outcome,
    errors_json,
    json_text,
    messages,
    note,
    reason,
    warnings_json,
    written_json,
)
from layout.errors import Fault, LayoutError, Notice

if TYPE_CHECKING:
    from layout.pipeline.draw import Order
    from layout.pipeline.written import FileWritten


@dataclass(frozen=True)
class Drawn:
    """What came of one spec: files and warnings, or faults and their exit status."""

    spec: Path
    files: tuple[FileWritten, ...] = ()
    warnings: tuple[Notice, ...] = ()
    faults: tuple[Fault, ...] = ()
    status: int = 0


def draw_all(specs: Sequence[Path], out: Path, order: Order, jobs: int, as_json: bool) -> Outcome:
    """Draw every spec into `out`; the exit status is the worst of them."""
    clash = _same_names(specs)
    if clash:
        raise LayoutError(*clash)
    loud = sys.stderr.isatty()
    done = list(_results(specs, partial(draw_one, out=out, order=order, loud=loud), jobs))
    faults = tuple(fault for d in done for fault in d.faults)
    status = max((d.status for d in done), default=0)
    if as_json:
        return Outcome(json_text(_json(done, faults)), messages(faults), status)
    from layout.report import drawn_report

    files = tuple(f for d in done for f in d.files)
    warnings = tuple(f"{d.spec}: {w.message}" for d in done for w in d.warnings)
    return Outcome(drawn_report(files, warnings) if files else "", messages(faults), status)


def draw_one(spec: Path, out: Path, order: Order, loud: bool) -> Drawn:
    """Load, solve and draw one spec; faults are returned, not raised, so that they cross processes."""
    from layout.frame import solve
    from layout.pipeline.draw import draw
    from layout.sheets.media import Printer
    from layout.spec.load import load

    try:
        read = load(spec)
        if order.printer.true:
            order = replace(order, printer=Printer(read.spec.printer.x, read.spec.printer.y))
        written = draw(solve(read), spec.stem, out, order, lambda line: _say(spec, line, loud))
    except LayoutError as e:
        faults = tuple(f if f.file else f.located(str(spec), f.line) for f in e.faults)
        return Drawn(spec, faults=faults, status=e.exit_status)
    except OSError as e:
        fault = Fault(f"cannot be written: {reason(e)}", "output", file=str(e.filename or out))
        return Drawn(spec, faults=(fault,), status=NOT_WRITTEN)
    return Drawn(spec, written.files, written.warnings)


def _results(specs: Sequence[Path], work: Any, jobs: int) -> Iterator[Drawn]:
    """Each spec's result, in the order of the specs."""
    workers = min(jobs or os.cpu_count() or 1, len(specs))
    if workers == 1:
        yield from map(work, specs)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(work, specs)


def _say(spec: Path, line: str, loud: bool) -> None:
    if loud:
        note(f"{spec}: {line}")


def _same_names(specs: Sequence[Path]) -> list[Fault]:
    """A fault for each spec whose files would overwrite those of one before it."""
    first: dict[str, Path] = {}
    faults = []
    for spec in specs:
        if spec.stem in first:
            other = first[spec.stem]
            message = f"its files would overwrite those of {other}: rename it or draw it with another --out"
            faults.append(Fault(message, "syntax", file=str(spec)))
        first.setdefault(spec.stem, spec)
    return faults


def _json(done: Sequence[Drawn], faults: Sequence[Fault]) -> dict[str, Any]:
    """Files and warnings of the specs that were drawn, errors of those that were not."""
    files = written_json(f for d in done for f in d.files)
    warnings = [{**w, "file": str(d.spec)} for d in done for w in warnings_json(d.warnings)]
    drawn = {"files": files, "warnings": warnings} if any(not d.faults for d in done) else {}
    return {**drawn, **({"errors": errors_json(faults)} if faults else {})}

"""The READINGS form that goes with a sheet: its check distances, to be filled in and given to `tape`."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from layout.bench.tape import TapeCheck, fingerprint
from layout.drafting.numbers import format_number
from layout.errors import Fault, LayoutError, Notice, SpecError, WriteError
from layout.sheets.lay import lies_turned
from layout.sheets.media import Printer
from layout.sheets.sheet import Sheet
from layout.spec.readings import FormRow, PrintedSheet, ReadingKind, form_text, load_readings, loads_readings
from layout.spec.text import typed
from layout.writers.document import DocumentInfo
from layout.writers.whole import why, write_whole


def tape_form(
    info: DocumentInfo, files: tuple[str, str], checks: Sequence[TapeCheck], sheet: Sheet, printer: Printer
) -> str:
    """The form of one sheet, or of the tiles that `sheet` is one of.

    `files` are the names of the spec's and of the form's own, without folders: the same spec gives the
    same form wherever it is drawn.
    """
    heading = (
        f"Tape readings of {info.title}, {sheet.medium}, {info.mark}.",
        "Let the paper settle for an hour. Measure between the centres of the crosses, in mm.",
        "Write each reading after its `measured:`. Leave it empty if you did not measure it.",
        "Next to each row stand the letter on the sheet and the true distance.",
        "Then type, with the files' folders:",
        f"    layout tape {' '.join(map(typed, files))}",
    )
    rows = [
        FormRow(ReadingKind.DISTANCE, (c.start, c.end), f"{c.letter}  {format_number(c.value, 1)}")
        for c in checks
    ]
    printed = PrintedSheet(sheet.medium, lies_turned(sheet), (printer.x, printer.y), fingerprint(checks))
    return form_text(heading, rows, printed)


def write_form(path: Path, text: str) -> tuple[Notice, ...]:
    """Write a form and read it back; one that was filled in before is kept under another name, and said.

    Raises WriteError, before anything is touched, for a text that is no form; and where it cannot be
    written or does not read back.
    """
    try:
        expected = loads_readings(text)
    except SpecError as e:
        message = f"would not be a form that can be read. Rename the spec: {e.faults[0].message}"
        raise WriteError(Fault(message, "output", file=str(path))) from e
    notices = _keep_filled_form(path, text)
    write_whole(path, text.encode("utf-8"))
    found = load_readings(path)
    if (found.sheet, found.rows) != (expected.sheet, expected.rows):
        raise WriteError(Fault("does not read back as written. Draw it again.", "read_back", file=str(path)))
    return notices


def _keep_filled_form(path: Path, text: str) -> tuple[Notice, ...]:
    """Move what stands at `path` aside if somebody wrote in it: measuring is work."""
    if not _is_filled(path, text):
        return ()
    number = 1
    while (aside := path.with_name(f"{path.stem}-{number}{path.suffix}")).exists():
        number += 1
    try:
        os.replace(path, aside)
    except OSError as e:
        message = f"the readings filled in there cannot be kept as {aside.name}: {why(e)}"
        raise WriteError(Fault(message, "output", file=str(path))) from e
    return (Notice("readings_kept", f"the readings filled in before are kept as {aside.name}."),)


def _is_filled(path: Path, text: str) -> bool:
    """Whether a file stands there that is no empty form."""
    if not path.is_file():
        return False
    try:
        return any(row.measured is not None for row in load_readings(path).rows)
    except LayoutError:
        return path.read_bytes() != text.encode("utf-8")

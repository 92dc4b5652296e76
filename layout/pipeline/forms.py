"""The READINGS form that goes with a sheet: its check distances, to be filled in and given to `tape`."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

from layout.bench.tape import TapeCheck, fingerprint
from layout.drafting.numbers import format_number
from layout.errors import Fault, Notice, SpecError, WriteError
from layout.pipeline.files import DataFile
from layout.pipeline.staged import free_name
from layout.sheets.media import Printer
from layout.sheets.page import lies_turned
from layout.sheets.sheet import Sheet
from layout.spec.readings import (
    FormRow,
    PrintedSheet,
    ReadingKind,
    form_text,
    is_blank_form,
    load_readings,
    loads_readings,
)
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


def write_form(form: DataFile, stage: Path, out: Path) -> tuple[Notice, ...]:
    """Write a form into a stage and read it back.

    One in the folder `out` that was filled in is kept under another name, and said: its copy is staged,
    so that it comes into place with the new form or not at all. Raises WriteError for a text that is no form;
    and where it cannot be written or does not read back.
    """
    path = stage / form.name
    try:
        expected = loads_readings(form.text)
    except SpecError as e:
        message = f"would not be a form that can be read. Rename the spec: {e.faults[0].message}"
        raise WriteError(Fault(message, "output", file=str(path))) from e
    notices = _keep_filled_form(out / form.name, stage)
    write_whole(path, form.text.encode("utf-8"))
    found = load_readings(path)
    if (found.sheet, found.rows) != (expected.sheet, expected.rows):
        raise WriteError(Fault("does not read back as written. Draw it again.", "read_back", file=str(path)))
    return notices


def _keep_filled_form(home: Path, stage: Path) -> tuple[Notice, ...]:
    """Stage what stands at `home` under another name if somebody wrote in it: measuring is work."""
    if not is_filled(home):
        return ()
    aside = free_name(home)
    try:
        shutil.copy2(home, stage / aside.name)
    except OSError as e:
        message = f"the form filled in there cannot be kept as {aside.name}: {why(e)}"
        raise WriteError(Fault(message, "output", file=str(home))) from e
    return (Notice("readings_kept", f"the form filled in before is kept as {aside.name}."),)


def is_filled(path: Path) -> bool:
    """Whether a file stands there that is no empty form: a reading, a remark, a row that was added."""
    if not path.is_file():
        return False
    try:
        return not is_blank_form(path.read_bytes().decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError):
        return True

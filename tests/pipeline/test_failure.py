"""Whatever goes wrong becomes faults and a status: known errors, the system's, and the program's own."""

from __future__ import annotations

import errno

from layout.errors import Fault, SheetError
from layout.pipeline.failure import failure_of


def test_a_known_error_keeps_its_faults_and_gets_its_file():
    error = SheetError(Fault("too small", "media"), Fault("is odd", "type", file="b.yaml"))
    faults, status = failure_of(error, "a.yaml")
    assert [f.file for f in faults] == ["a.yaml", "b.yaml"]
    assert status == 2


def test_an_error_of_the_system_names_the_file():
    faults, status = failure_of(OSError(errno.ENOSPC, "No space left", "x.pdf"), "a.yaml")
    said = "x.pdf: cannot be written: No space left. Choose another folder with --out."
    assert (str(faults[0]), status) == (said, 3)


def test_an_error_of_the_program_says_where():
    try:
        raise ZeroDivisionError("by nothing")
    except ZeroDivisionError as e:
        faults, status = failure_of(e)
    assert status == 3
    assert "ZeroDivisionError: by nothing (test_failure.py, line" in faults[0].message

"""Files of the same spec that still show other numbers: last month's sheet beside this month's.

Each file that a job writes holds the frame's mark as text, but a plotter's, which has it on the page alone.
Records of what was measured, and forms that were filled in, are not drawings: they are left alone.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path

from layout.errors import Notice
from layout.frame.mark import PATTERN
from layout.pipeline.forms import is_filled

OURS = re.compile(
    r"(-(roll-\d|a\d|letter|ansi-|arch-|\d+x\d|sheets|templates|cutting|rear|fork|setup|settings|cuts|frame-|plate"
    r"|drops).*)?\.(dxf|svg|pdf|csv|json|yaml)"
)
"""How the names of our files go on after the spec's own."""
KEPT = re.compile(r".*-readings-\d+\.yaml|.*-record(-\d+)?\..*")
FORM = re.compile(r".*-readings\.yaml")
MOST_NAMED = 12
"""Files named in the warning; more are counted."""


def stale_notices(out: Path, stem: str, mark: str, written: Collection[str]) -> tuple[Notice, ...]:
    """One warning that names the files of `stem` in the folder `out` that carry another mark than `mark`.

    `written` are the names of the files just written.
    """
    others = (path for path in sorted(_files(out, stem)) if path.name not in written)
    found = [path.name for path in others if _is_other(path, mark)]
    if not found:
        return ()
    more = f" and {len(found) - MOST_NAMED} more" if len(found) > MOST_NAMED else ""
    names = f"{', '.join(found[:MOST_NAMED])}{more}"
    message = f"older files in {out} show other numbers. Delete them or draw them again: {names}."
    return (Notice("stale_files", message),)


def _files(out: Path, stem: str) -> Iterator[Path]:
    """The files of a spec, by their names."""
    for path in out.iterdir():
        rest = path.name.removeprefix(stem)
        if rest != path.name and OURS.fullmatch(rest) and not KEPT.fullmatch(rest) and path.is_file():
            yield path


def _is_other(path: Path, mark: str) -> bool:
    """Whether a file carries a mark, and another; one that cannot be read or was filled in is not judged."""
    try:
        if FORM.fullmatch(path.name) and is_filled(path):
            return False
        text = path.read_bytes().decode("latin-1")
    except OSError:
        return False
    found = PATTERN.search(text)
    return found is not None and found[1] != mark

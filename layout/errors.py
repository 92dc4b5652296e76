"""What can go wrong, one class a stage; each carries faults that a person can act on.

A fault says where (file, line, key), what is wrong with which value, the rule, and
what to change. Stages that do not know the file leave `file` and `line` empty;
the stage that does fills them in with `Fault.located`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import NamedTuple


class Exit(IntEnum):
    """What a command's exit status says."""

    DONE = 0
    CHECK_SAYS_NO = 1
    INPUT_AT_FAULT = 2
    NOT_WRITTEN = 3


_ITEMS = {
    "readings": "reading", "fittings": "fitting", "bends": "bend", "parts": "part", "walls": "wall",
    "butts": "butt", "shims": "shim", "media": "medium", "taper": "taper", "section": "section",
    "size": "size", "range": "range", "sheet": "sheet", "lug": "lug",
}  # fmt: skip
"""What one item of a list is called, by the list's key."""
_ITEM = re.compile(rf"\b({'|'.join(_ITEMS)})\.(\d+)(\.(?=\w))?")


def spoken(key: str) -> str:
    """A dotted key in words: the items of a list are counted from 1.

    >>> spoken("fittings.0.at"), spoken("tubes.chain_stay.bends.1"), spoken("geometry.head_angle")
    ('fitting 1, at', 'tubes.chain_stay.bend 2', 'geometry.head_angle')
    """
    return _ITEM.sub(lambda m: f"{_ITEMS[m[1]]} {int(m[2]) + 1}{', ' if m[3] else ''}", key)


class Conflict(NamedTuple):
    """One member of a contradictory set: what was given, what the others need (mm or degrees)."""

    name: str
    given: float
    needs: float | None


@dataclass(frozen=True)
class Fault:
    """One thing to correct.

    `code` is one of syntax, unknown_key, type, range, duplicate, insufficient,
    contradictory, no_frame, ambiguous, media, output, read_back.
    `free` lists, for each freedom left, the dimensions any one of which settles it. A key counts the
    items of a list from 0, as scripts do; the message that is printed counts them from 1.
    """

    message: str
    code: str
    key: str | None = None
    file: str | None = None
    line: int | None = None
    free: tuple[tuple[str, ...], ...] = ()
    conflict: tuple[Conflict, ...] = ()

    def located(self, file: str | None, line: int | None) -> Fault:
        """Return the same fault with its place in a file."""
        return replace(self, file=file, line=line)

    def __str__(self) -> str:
        parts = [p for p in (self.file, None if self.line is None else str(self.line)) if p]
        place = ":".join(parts)
        heads = [h for h in (place, spoken(self.key or "")) if h]
        return ": ".join([*heads, self.message])


NOTES = frozenset({"points_left_out", "cut_partial", "bridge_curved", "readings_kept", "held_reading"})
"""Codes of what is normal and said once: a sheet that ends close to the frame shows no contacts, a stay
at the side of the seat tube is mitred on one side only, a form that was filled in is kept."""


@dataclass(frozen=True)
class Notice:
    """A warning or a note: the work goes on, the builder should know. `code` is stable for scripts."""

    code: str
    message: str

    @property
    def kind(self) -> str:
        """What it is called where it is said: a note where nothing has to be done."""
        return "note" if self.code in NOTES else "warning"


class LayoutError(Exception):
    """Base of all errors the program raises on purpose; `exit_status` is the command's."""

    exit_status = Exit.INPUT_AT_FAULT

    def __init__(self, *faults: Fault) -> None:
        super().__init__("\n".join(str(f) for f in faults))
        self.faults: tuple[Fault, ...] = faults

    def __reduce__(self) -> tuple[type[LayoutError], tuple[Fault, ...]]:
        """Cross to another process with the faults, not only their words."""
        return type(self), self.faults


class SpecError(LayoutError):
    """The YAML cannot be read or does not follow the model."""


class SolveError(LayoutError):
    """The numbers fix no frame, more than one, or contradict each other."""


class SheetError(LayoutError):
    """The drawing does not fit the medium asked for, or the medium is unknown."""


class PlateError(LayoutError):
    """A fixture plate has no place in the fixture, or breaks a rule of the cutting process."""


class WriteError(LayoutError):
    """A file could not be written, or what was written does not read back true."""

    exit_status = Exit.NOT_WRITTEN

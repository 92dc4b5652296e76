"""What a job reports of the files it wrote, and what every job that writes files needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from layout.drafting.dimensions import explode
from layout.drafting.entities import Drawing, Text
from layout.drafting.lettering import missing
from layout.errors import Fault, Notice, WriteError
from layout.frame.words import words


class FileWritten(NamedTuple):
    """One file: where it is, what it is, and the size of its pages (mm) where it has any.

    `sheet` names the page where a file holds one of several, else None.
    """

    path: str
    format: str
    media: str | None
    sheet: str | None
    kind: str
    size: tuple[float, float] | None = None
    pages: int = 1


@dataclass(frozen=True)
class Written:
    """All files of one spec in the order written; warnings, JSON data and words that go with them."""

    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]
    data: Mapping[str, Any] = field(default_factory=dict)
    words: str = ""


MANY_UNUSUAL = "{count} dimensions are outside what is usual (common practice). Check them:"
_ALONE = " (common practice). Check it."
_MANY = 3
"""Unusual dimensions that have a warning each; more are told in one."""


def told(notices: Sequence[Notice], about: str = "") -> list[str]:
    """A line for each notice, dimensions that are many and unusual in one; `about` stands before each."""
    about = about and f"{about}: "
    unusual = [n for n in notices if n.code == "unusual"]
    lines = [
        f"{n.kind}: {about}{n.message}"
        for n in notices
        if n.code != "unusual" or len(unusual) <= _MANY
    ]
    if len(unusual) > _MANY:
        listed = "".join(f"\n  {n.message.removesuffix(_ALONE)}" for n in unusual)
        said = MANY_UNUSUAL.format(count=len(unusual)) + listed
        lines.append(f"{unusual[0].kind}: {about}{said}")
    return lines


NO_FOLDER = "the folder cannot be made: {reason}. Name another with --out."
FILE_NOT_FOLDER = "is a file, not a folder. Name another with --out."
CROWDED = "these have no clear place on the {where} and are in the tables only: {names}."
LETTERING = "the lettering does not have these characters and draws empty boxes. Replace them: {letters}"


def make_folder(out: Path) -> None:
    """Make the folder that files go to. Raises WriteError where that cannot be done."""
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        file = next((p for p in (out, *out.parents) if p.exists() and not p.is_dir()), None)
        message = NO_FOLDER.format(reason=e.strerror) if file is None else FILE_NOT_FOLDER
        raise WriteError(Fault(message, "output", file=str(file or out))) from e


def crowded_notices(where: str, names: Sequence[str]) -> Iterator[Notice]:
    """A word where callouts of the drawing called `where` found no clean place."""
    if names:
        said = ", ".join(words(n) for n in names)
        yield Notice("crowded", CROWDED.format(where=where, names=said))


def lettering_notices(drawings: Iterable[Drawing]) -> Iterator[Notice]:
    """A word where the alphabet lacks characters that a drawing has."""
    texts = (part for d in drawings for e in d for part in explode(e) if isinstance(part, Text))
    letters = {c for text in texts for c in missing(text.text)}
    if letters:
        shown = " ".join(sorted(letters))
        yield Notice("lettering", LETTERING.format(letters=shown))

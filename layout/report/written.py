"""What a job reports of the files it wrote, and what every job that writes files needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from layout.drafting.dimensions import explode
from layout.drafting.entities import Drawing, Text
from layout.drafting.lettering import missing
from layout.errors import Fault, Notice, WriteError
from layout.frame.words import words


@dataclass(frozen=True)
class FileWritten:
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


def make_folder(out: Path) -> None:
    """Make the folder that files go to. Raises WriteError where that cannot be done."""
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        file = next((p for p in (out, *out.parents) if p.exists() and not p.is_dir()), None)
        what = f"the folder cannot be made: {e.strerror}" if file is None else "is a file, not a folder"
        raise WriteError(Fault(f"{what}; name another with --out", "output", file=str(file or out))) from e


def crowded_notices(where: str, names: Sequence[str]) -> Iterator[Notice]:
    """A word where callouts of the drawing called `where` found no clean place."""
    if names:
        said = ", ".join(words(n) for n in names)
        message = f"no clear place was found on the {where} for: {said}; they are in the tables alone"
        yield Notice("crowded", message)


def lettering_notices(drawings: Iterable[Drawing]) -> Iterator[Notice]:
    """A word where the alphabet lacks characters that a drawing has."""
    texts = (part for d in drawings for e in d for part in explode(e) if isinstance(part, Text))
    letters = {c for text in texts for c in missing(text.text)}
    if letters:
        shown = " ".join(sorted(letters))
        yield Notice("lettering", f"the lettering lacks these characters, drawn as empty boxes: {shown}")

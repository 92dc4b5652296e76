"""What a job reports of the files it wrote."""

from __future__ import annotations

from dataclasses import dataclass

from layout.errors import Notice


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
    """All files of one spec, in the order written, with the warnings that go with them."""

    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]

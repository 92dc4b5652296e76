"""What every file says about itself. No clock is read: an undated spec gives an undated file."""

from __future__ import annotations

from typing import NamedTuple


class DocumentInfo(NamedTuple):
    """Title, author, date (ISO 8601 day or empty) and the frame's mark as said: a file's own metadata."""

    title: str
    author: str = ""
    date: str = ""
    subject: str = ""
    mark: str = ""

"""The file as text: small enough, UTF-8, and free of characters that no editor shows.

Whatever is wrong with the bytes is said with the line it stands on, before YAML is tried.
"""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

from layout.errors import Fault, SpecError
from layout.spec import words

MAX_BYTES = 256 * 1024
"""A full spec with comments is under 20 kB; anything much larger is another file taken by mistake."""

SHOWN_LENGTH = 40
"""Characters of a faulty value that a message repeats."""

INPUT, INPUT_NAME = "-", "stdin"
"""The word for standard input on a command line, and what messages and files of it are called."""

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_OTHER_FILES = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"PK\x03\x04": "a zip file or a spreadsheet",
}
"""What files that are given by mistake begin with, and what they are."""
NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What YAML 1.1 allows in a stream (section 5.1 of its specification), negated.

No value holds these either: an escape in quotation marks could bring them in.
"""


def read_text(path: str | Path, source: str = "`layout new FILE` writes one to start from.") -> str:
    """The file's text without a byte order mark. Pipes are read too; `source` says what writes such files.

    Raises SpecError where the file cannot be read, is larger than MAX_BYTES, is not UTF-8
    or holds control characters.
    """
    file = str(path)
    try:
        with open(path, "rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except (OSError, ValueError) as e:
        raise SpecError(Fault(_unreadable(e, source), "syntax", file=file)) from e
    return decode(data, file)


def read_input() -> str:
    """The text of standard input; as `read_text` for what is raised."""
    try:
        return decode(sys.stdin.buffer.read(MAX_BYTES + 1), INPUT_NAME)
    except (OSError, ValueError, AttributeError) as e:
        reason = e.strerror if isinstance(e, OSError) and e.strerror else str(e)
        raise SpecError(Fault(words.UNREADABLE.format(reason=reason), "syntax", file=INPUT_NAME)) from e


def is_input(path: str | Path) -> bool:
    """Whether a path is the word for standard input."""
    return str(path) == INPUT


def decode(data: bytes, file: str) -> str:
    """Decode the bytes of a spec; see `read_text` for what is raised."""
    if len(data) > MAX_BYTES:
        message = words.TOO_LARGE.format(size=MAX_BYTES // 1024)
        raise SpecError(Fault(message, "syntax", file=file))
    kind = next((kind for mark, kind in _OTHER_FILES.items() if data.startswith(mark)), None)
    if kind is not None:
        raise SpecError(Fault(words.NOT_TEXT_FILE.format(kind=kind), "syntax", file=file))
    if data.startswith(_UTF16_MARKS):
        raise SpecError(Fault(words.UTF_16, "syntax", file=file, line=1))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        line = data.count(b"\n", 0, e.start) + 1
        message = words.NOT_UTF_8.format(byte=data[e.start])
        raise SpecError(Fault(message, "syntax", file=file, line=line)) from e
    return check_characters(text, file)


def check_characters(text: str, file: str) -> str:
    """Return `text` unchanged, or raise SpecError naming the first character YAML does not allow."""
    found = NOT_TEXT.search(text)
    if found:
        line = text.count("\n", 0, found.start()) + 1
        message = words.NO_CHARACTER.format(code=ord(found[0]))
        raise SpecError(Fault(message, "syntax", file=file, line=line))
    return text


def shown(value: str) -> str:
    r"""`value` as a message repeats it: in quotes, on one line, printable, not too long.

    >>> shown("head\tangle")
    "'head\\tangle'"
    """
    short = value if len(value) <= SHOWN_LENGTH else value[: SHOWN_LENGTH - 3] + "..."
    return repr(short)


def typed(path: str) -> str:
    """A path as it is typed in a shell, quoted where it must be.

    >>> typed("my frame.yml"), typed("-new.yaml")
    ("'my frame.yml'", './-new.yaml')
    """
    return shlex.quote(f"./{path}" if path.startswith("-") and path != INPUT else path)


def key_text(key: str) -> str:
    """A key as it stands in a dotted path: as written if that is plain to read, else as `shown`."""
    plain = key.isprintable() and 0 < len(key) <= SHOWN_LENGTH and key.strip() == key
    return key if plain else shown(key)


def _unreadable(error: OSError | ValueError, source: str) -> str:
    if isinstance(error, FileNotFoundError):
        return words.NO_FILE.format(source=source)
    if isinstance(error, IsADirectoryError):
        return words.FOLDER
    if isinstance(error, PermissionError):
        return words.FORBIDDEN
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return words.UNREADABLE.format(reason=reason)

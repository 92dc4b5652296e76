"""Files appear whole or not at all: written beside their place under a name of chance, then renamed."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path
from secrets import token_hex

from layout.errors import Fault, WriteError

_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
"""A file that was not there: a link that somebody planted is never followed."""

IN_THE_WAY = "a folder of that name is in the way. Move it, or choose another folder."
_PLAIN: dict[int, str] = {
    errno.ENOENT: "the folder does not exist. Make it first.",
    errno.ENOTDIR: "part of the path is a file, not a folder. Choose another folder.",
    errno.EACCES: "no permission to write there. Choose another folder.",
    errno.EPERM: "no permission to write there. Choose another folder.",
    errno.EROFS: "the disk can only be read. Choose another folder.",
    errno.ENOSPC: "the disk is full. Free some space.",
    errno.EDQUOT: "the disk quota is used up. Free some space.",
    errno.EFBIG: "the file is larger than is allowed here. Choose another folder.",
    errno.EISDIR: IN_THE_WAY,
    errno.ENAMETOOLONG: "the file name is too long. Rename the spec.",
}
CANNOT_WRITE = "cannot write the file: {reason}"
"""What is said of a file that could not be written; the reason is a sentence with what to do."""


def why(error: OSError) -> str:
    """Why a file could not be written, and what to do."""
    return _PLAIN.get(error.errno or 0, f"{error.strerror or error}. Choose another folder.")


def write_whole(path: Path, data: bytes) -> None:
    """Put `data` at `path`; a reader sees the old file or the new one, never a part.

    Raises WriteError (code output) with a plain message where that cannot be done; then
    what was there before is untouched and nothing is left behind.
    """
    part = path.with_name(f".{path.name[:200]}.{token_hex(8)}.part")
    try:
        with open(os.open(part, _NEW, 0o666), "wb") as file:
            try:
                file.write(data)
                file.flush()
                os.replace(part, path)
            except BaseException:
                with suppress(OSError):
                    os.unlink(part)
                raise
    except OSError as e:
        message = CANNOT_WRITE.format(reason=why(e))
        raise WriteError(Fault(message, "output", file=str(path))) from e

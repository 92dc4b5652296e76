"""Importing ezdxf apart from the machine it runs on.

When imported, ezdxf reads ezdxf.ini from the home and the current folder (a broken one
ends the program), scans the machine's fonts and keeps a list of them in the home folder.
None of that may change what is written, fail in a read-only home, or cost time: this
package letters with its own alphabet. So for the length of the import no configuration
is read, and an empty font list in a temporary folder stands in for the home's.
"""

from __future__ import annotations

import json
import logging
import os
import tempfile
from collections.abc import Iterator
from configparser import ConfigParser
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Any

_FONT_LIST_VERSION = 2
"""Of ezdxf's font list. Where it has moved on, fonts are scanned, into the temporary folder."""

_CACHE_HOME = "XDG_CACHE_HOME"


@contextmanager
def apart() -> Iterator[None]:
    """Keep configuration files and the home folder out of what is imported inside."""
    parser: Any = ConfigParser
    read, home = parser.read, os.environ.get(_CACHE_HOME)

    def nothing(self: ConfigParser, filenames: object, encoding: str | None = None) -> list[str]:
        return []

    quiet = logging.NullHandler()
    with ExitStack() as stack:
        with suppress(OSError):
            folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="layout-"))
            fonts = Path(folder, "ezdxf", "font_manager_cache.json")
            fonts.parent.mkdir()
            fonts.write_text(json.dumps({"version": _FONT_LIST_VERSION, "font-faces": []}))
            os.environ[_CACHE_HOME] = folder
        logging.getLogger("ezdxf").addHandler(quiet)
        parser.read = nothing
        try:
            yield
        finally:
            parser.read = read
            logging.getLogger("ezdxf").removeHandler(quiet)
            os.environ.pop(_CACHE_HOME, None)
            if home is not None:
                os.environ[_CACHE_HOME] = home

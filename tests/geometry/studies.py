"""How much of a study is run: a tenth of it in the suite, the whole where WHOLE_STUDIES is set."""

from __future__ import annotations

import os

WHOLE = bool(os.environ.get("WHOLE_STUDIES"))


def share_of(cases: int) -> int:
    """How many of a study's cases are run."""
    return cases if WHOLE else cases // 10

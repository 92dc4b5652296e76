"""The starting spec that `layout new` writes: it solves as it stands, with a comment on each key.

Lines that begin with `#` and no blank are keys to be used by deleting the `#`; lines that
begin with `# ` are for reading. The text stands in `template.yaml` beside this module.
"""

from __future__ import annotations

from importlib.resources import files


def template() -> str:
    """The text of a new spec."""
    return files("layout.spec").joinpath("template.yaml").read_text(encoding="utf-8")

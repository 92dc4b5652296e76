"""The `layout` command.

`commands` has the application and what turns a spec into a drawing, `papers`, `workshop` and `screen` those
for the printer, the bench and the browser; `outcome` reports, `batch` works through many specs.
"""

from __future__ import annotations

from layout.cli import papers, screen, workshop  # noqa: F401  importing them registers their commands
from layout.cli.commands import main

__all__ = ["main"]

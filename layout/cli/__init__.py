"""The `layout` command: `commands` parses and calls, `outcome` reports, `batch` draws many specs."""

from __future__ import annotations

from layout.cli.commands import main

__all__ = ["main"]

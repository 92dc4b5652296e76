"""`python -m layout` is the `layout` command."""

from __future__ import annotations

from layout.cli import main

if __name__ == "__main__":
    main()

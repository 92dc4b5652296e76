"""Sheets to write and read: one sample for all folders that need it."""

from __future__ import annotations

import sys
from pathlib import Path

for folder in ("writers", "outside"):
    sys.path.insert(0, str(Path(__file__).parents[1] / folder))

from sheet_samples import info, roll, sample, stretched_roll, tiles

__all__ = ["info", "roll", "sample", "stretched_roll", "tiles"]

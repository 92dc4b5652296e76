"""Sheets to write and read: one sample for all folders that need it."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "writers"))
sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from sheet_samples import info, roll, sample, stretched_roll, tiles

__all__ = ["info", "roll", "sample", "stretched_roll", "tiles"]

"""A spec that tests save again and again, and whether there is a browser."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from preview_specs import TEXT

CHROMIUM = shutil.which("chromium")
collect_ignore = [] if CHROMIUM or os.environ.get("CI") else ["test_page.py"]
"""Without the browser its tests are left out, but never where CI is set: there they must run."""


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "frame.yaml"
    path.write_text(TEXT, "utf-8")
    return path

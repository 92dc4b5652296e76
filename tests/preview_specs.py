"""The spec that tests of the page save again and again: good, changed, at fault."""

from __future__ import annotations

import re
from pathlib import Path

SPECS = Path(__file__).parent.parent / "specs"

TEXT = (SPECS / "all-road.yaml").read_text("utf-8")
FAULTY = TEXT.replace("head_angle:", "head_angel:")


def with_head_angle(degrees: float) -> str:
    text, count = re.subn(r"head_angle: [0-9.]+", f"head_angle: {degrees}", TEXT)
    assert count == 1
    return text

"""The committed sample in output/ is what the code draws today.

`pytest tests/test_output.py --update` draws it anew; where CI is set that is refused.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from watch_picture import mark_in

from layout.drafting.entities import Drawing
from layout.frame.solve import Frame, solve
from layout.pipeline.draw import draw_spec
from layout.pipeline.order import Order
from layout.sheets.sheet import Placement, Sheet
from layout.spec.load import load
from layout.views.side.picture import picture
from layout.writers import svg
from layout.writers.document import DocumentInfo

ROOT = Path(__file__).parent.parent
OUTPUT = ROOT / "output"
NAME = "all-road"
SCREEN = f"{NAME}-watch.png"
"""The page of `watch`, as `tests/watch_picture.py` makes it: no browser paints the same bytes twice."""


def write_picture(frame: Frame, path: Path) -> None:
    """Write the reduced side view, for the README, as SVG."""
    drawing, room = picture(frame)
    placement = Placement(drawing, round(-room.left, 6), round(-room.bottom, 6))
    size = (round(room.width, 3), round(room.height, 3))
    sheet = Sheet(
        "picture",
        f"{size[0]}x{size[1]}",
        "picture",
        width=size[0],
        height=size[1],
        placements=(placement,),
        furniture=Drawing("picture"),
    )
    svg.write(sheet, path, DocumentInfo(frame.job.title, frame.job.drawn_by, frame.job.date))


def sample(folder: Path) -> set[str]:
    """Draw the sample into a folder and return the names of its files."""
    spec = load(ROOT / "specs" / f"{NAME}.yaml")
    draw_spec(spec, folder, Order())
    write_picture(solve(spec), folder / f"{NAME}-picture.svg")
    return {p.name for p in folder.iterdir()}


def differing(folder: Path, kept: Path) -> list[str]:
    """Names of files that one folder lacks or that differ by a byte, the picture of the screen apart."""
    here, there = ({p.name for p in f.iterdir()} - {SCREEN} for f in (folder, kept))
    both = sorted(here & there)
    return sorted(here ^ there) + [n for n in both if (folder / n).read_bytes() != (kept / n).read_bytes()]


def test_the_sample_is_what_the_code_draws(tmp_path: Path, request: pytest.FixtureRequest):
    sample(tmp_path)
    if request.config.getoption("--update"):
        assert not os.environ.get("CI"), "the sample is not updated where it is checked"
        if (OUTPUT / SCREEN).exists():
            shutil.copy(OUTPUT / SCREEN, tmp_path)
        shutil.rmtree(OUTPUT, ignore_errors=True)
        shutil.copytree(tmp_path, OUTPUT)
        OUTPUT.chmod(0o755)
    assert differing(tmp_path, OUTPUT) == []


def test_the_picture_of_the_page_shows_this_frame():
    """Its mark is that of the spec: else `tests/watch_picture.py` has to make it again."""
    assert mark_in(OUTPUT / SCREEN) == solve(load(ROOT / "specs" / f"{NAME}.yaml")).mark


def test_the_comparison_sees_one_changed_byte(tmp_path: Path):
    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        folder.mkdir()
        (folder / "same.svg").write_bytes(b"<svg/>")
    (one / "changed.dxf").write_bytes(b"0\nEOF\n")
    (other / "changed.dxf").write_bytes(b"0\nEOG\n")
    (other / "extra.pdf").write_bytes(b"%PDF")
    assert differing(one, other) == ["extra.pdf", "changed.dxf"]

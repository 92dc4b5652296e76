"""The committed sample in output/ is what the code draws today, and its pictures show it.

`.venv/bin/python tests/sample.py` makes it anew; so does `pytest tests/test_output.py --update`. Where CI is
set both are refused.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import sample
from watch_picture import mark_in

from layout.frame.solve import solve
from layout.spec.load import load


def differing(folder: Path, kept: Path) -> list[str]:
    """Names of files that one folder lacks or that differ by a byte, pictures apart."""
    here, there = ({p.name for p in f.iterdir() if p.suffix != ".png"} for f in (folder, kept))
    both = sorted(here & there)
    return sorted(here ^ there) + [n for n in both if (folder / n).read_bytes() != (kept / n).read_bytes()]


def test_the_sample_is_what_the_code_draws(tmp_path: Path, request: pytest.FixtureRequest):
    if request.config.getoption("--update"):
        sample.remake()
    sample.draw_files(tmp_path)
    assert differing(tmp_path, sample.OUTPUT) == []


def test_the_picture_of_the_page_shows_this_frame():
    """Its mark is that of the spec: else `tests/sample.py` has to make it again."""
    assert mark_in(sample.OUTPUT / sample.SCREEN) == solve(load(sample.SPEC)).mark


@pytest.mark.parametrize("of", sample.SMALL)
def test_a_small_picture_shows_the_page_as_it_is(of: str):
    assert sample.shows(sample.OUTPUT / sample.small_name(of), sample.OUTPUT / f"{sample.NAME}-{of}.pdf")


def test_a_small_picture_of_another_page_is_seen(tmp_path: Path):
    for name in ("one.pdf", "other.pdf"):
        (tmp_path / name).write_bytes(name.encode())
    png = sample.SIGNATURE + bytes(25)
    (tmp_path / "one.png").write_bytes(sample.with_mark(png, sample.digest(tmp_path / "one.pdf")))
    assert sample.shows(tmp_path / "one.png", tmp_path / "one.pdf")
    assert not sample.shows(tmp_path / "one.png", tmp_path / "other.pdf")


def test_the_comparison_sees_one_changed_byte(tmp_path: Path):
    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        folder.mkdir()
        (folder / "same.svg").write_bytes(b"<svg/>")
    (one / "changed.dxf").write_bytes(b"0\nEOF\n")
    (other / "changed.dxf").write_bytes(b"0\nEOG\n")
    (other / "extra.pdf").write_bytes(b"%PDF")
    assert differing(one, other) == ["extra.pdf", "changed.dxf"]

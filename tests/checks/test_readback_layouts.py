"""Reading the layouts of a DXF back: paper, plot settings and every point seen through a viewport."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from sheet_samples import roll_sheet

from layout.checks.readback.dxf_layouts import read_layouts
from layout.checks.readback.dxf_tags import read_tags
from layout.checks.readback.verify import verify_dxf
from layout.drafting.entities import Drawing, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.errors import WriteError
from layout.sheets.sheet import Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf

WINDOW = Rect(-500.0, -200.0, 700.0, 620.0)


def windowed(sample: Drawing, turn: int = 0) -> Sheet:
    """A sheet whose placement is another arrangement of the model: a view in a window, words outside."""
    arranged = sample.with_entities([Text((-700.0, 0.0), "panel", 5.0)])
    sheet = roll_sheet(sample, turn=turn)
    (placement,) = sheet.placements
    return replace(sheet, placements=(replace(placement, drawing=arranged, window=WINDOW),))


def written(folder: Path, drawing: Drawing, sheet: Sheet) -> Path:
    path = folder / "one.dxf"
    dxf.write(drawing, path, DocumentInfo("one"), [sheet])
    return path


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_layouts_read_back(tmp_path: Path, sample: Drawing, turn: int):
    for sheet in (roll_sheet(sample, turn=turn), windowed(sample, turn)):
        path = written(tmp_path, sample, sheet)
        verify_dxf(path, sample, [sheet])
        layout = read_layouts(read_tags(path.read_bytes()))["roll"]
        assert layout.one_to_one
        assert {v.scale for v in layout.viewports} == {1.0}
        for name, at in sample.points().items():
            assert layout.shows(at) == [pytest.approx(sheet.placements[0].to_sheet(at), abs=1e-6)], name


def test_a_window_does_not_show_the_papers_own_layers(tmp_path: Path, sample: Drawing):
    layout = read_layouts(read_tags(written(tmp_path, sample, windowed(sample)).read_bytes()))["roll"]
    assert {v.frozen for v in layout.viewports} == {(Layer.DATUM.value, Layer.SHEET.value)}


def record(text: str, kind: str, number: int) -> tuple[int, int]:
    """Where the last but `number` record of a kind stands."""
    starts = [m.start() for m in re.finditer(rf"  0\n{kind}\n", text)]
    begin = starts[-1 - number]
    end = text.index("\n  0\n", begin + 1)
    return begin, end


def changed(text: str, kind: str, code: int, change: Callable[[float], float]) -> str:
    """The text with the first value of a group in the last record of a kind changed."""
    begin, end = record(text, kind, 0)
    found = re.compile(rf"(\n *{code}\n)([-0-9.]+)").search(text, begin, end)
    assert found is not None
    return f"{text[: found.start(2)]}{change(float(found[2]))}{text[found.end(2) :]}"


@pytest.mark.parametrize(
    ("kind", "code", "change", "words"),
    [
        ("VIEWPORT", 45, lambda v: v * 1.001, "is not seen where it should be"),
        ("VIEWPORT", 17, lambda v: v + 0.02, "is not seen where it should be"),
        ("VIEWPORT", 51, lambda v: v + 0.01, "is not seen where it should be"),
        ("VIEWPORT", 12, lambda v: v + 1.0, "not look at its target"),
        ("LAYOUT", 44, lambda v: v + 0.1, "mm, not 1900.000"),
        ("LAYOUT", 142, lambda _: 2.0, "not set to plot 1:1"),
        ("LAYOUT", 73, lambda _: 1, "not set to plot 1:1"),
        ("LAYOUT", 72, lambda _: 0, "not set to plot 1:1"),
    ],
)
def test_a_layout_off_scale_is_refused(
    tmp_path: Path, sample: Drawing, kind: str, code: int, change: Callable[[float], float], words: str
):
    sheet = roll_sheet(sample)
    path = written(tmp_path, sample, sheet)
    text = path.read_text("utf-8")
    path.write_text(changed(text, kind, code, change), "utf-8")
    with pytest.raises(WriteError, match=words) as caught:
        verify_dxf(path, sample, [sheet])
    assert {fault.code for fault in caught.value.faults} == {"read_back"}


def test_a_layout_that_is_missing_is_said(tmp_path: Path, sample: Drawing):
    sheet = roll_sheet(sample)
    path = written(tmp_path, sample, sheet)
    with pytest.raises(WriteError, match="the layout other is missing"):
        verify_dxf(path, sample, [replace(sheet, name="other")])


def with_value(text: str, kind: str, code: int, value: str) -> str:
    """The text with the first value of a group in the last record of a kind replaced."""
    begin, end = record(text, kind, 0)
    found = re.compile(rf"(\n *{code}\n)([^\n]+)").search(text, begin, end)
    assert found is not None
    return f"{text[: found.start(2)]}{value}{text[found.end(2) :]}"


@pytest.mark.parametrize(
    ("kind", "code", "value", "words"),
    [
        ("VIEWPORT", 45, "wide", "a VIEWPORT has the value 'wide', which is not a number"),
        ("VIEWPORT", 331, "FFFF", "a viewport hides a layer that is not there"),
        ("LAYOUT", 142, "", "a LAYOUT has the value '', which is not a number"),
        ("LINE", 10, "left", "a LINE has the value 'left', which is not a number"),
    ],
)
def test_a_layout_that_is_damaged_is_said_to_be_unreadable(
    tmp_path: Path, sample: Drawing, kind: str, code: int, value: str, words: str
):
    sheet = windowed(sample)
    path = written(tmp_path, sample, sheet)
    path.write_text(with_value(path.read_text("utf-8"), kind, code, value), "utf-8")
    with pytest.raises(WriteError, match="does not read back: " + re.escape(words)) as caught:
        verify_dxf(path, sample, [sheet])
    assert {fault.code for fault in caught.value.faults} == {"read_back"}


def test_a_layout_without_its_own_part_is_unreadable(tmp_path: Path, sample: Drawing):
    sheet = roll_sheet(sample)
    path = written(tmp_path, sample, sheet)
    path.write_text(path.read_text("utf-8").replace("AcDbLayout", "AcDbOther"), "utf-8")
    with pytest.raises(WriteError, match="a LAYOUT has no AcDbLayout in it"):
        verify_dxf(path, sample, [sheet])

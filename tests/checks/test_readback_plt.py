"""Reading HP-GL/2 back: what was written is accepted, every way of being wrong is found."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from sheet_samples import POINTS, roll_sheet, tile_sheets

from layout.checks.readback.plt import cut_stroke, read_plt
from layout.checks.readback.seen import UnreadableError
from layout.checks.readback.verify import verify_plt
from layout.drafting.entities import ControlPoint, Drawing, Entity, Line
from layout.errors import WriteError
from layout.sheets.sheet import Sheet
from layout.writers import plt
from layout.writers.document import DocumentInfo

INFO = DocumentInfo("read-back")
HEAD = b"IN;PS4000,4000;WU0;PW0.25,1;PA;PU0,0;PR;SP1;"


def written(folder: Path, sheet: Sheet) -> Path:
    path = folder / "one.plt"
    plt.write(sheet, path, INFO)
    return path


def refused(path: Path, sheet: Sheet) -> str:
    with pytest.raises(WriteError) as caught:
        verify_plt(path, sheet)
    assert {fault.code for fault in caught.value.faults} == {"read_back"}
    assert caught.value.exit_status == 3
    return str(caught.value)


def test_what_is_written_reads_back(tmp_path: Path, roll: Sheet, stretched_roll: Sheet):
    for sheet in (roll, stretched_roll):
        path = written(tmp_path, sheet)
        verify_plt(path, sheet)
        assert "mm, not" in refused(path, replace(sheet, width=sheet.width + 0.05))


def test_tiles_read_back_with_their_crosses_cut(tmp_path: Path, sample: Drawing):
    for stretch in ((1.0, 1.0), (1.003, 0.995)):
        crosses = 0
        for sheet in tile_sheets(sample, stretch):
            path = written(tmp_path, sheet)
            verify_plt(path, sheet)
            shifted = replace(sheet, placements=tuple(replace(p, dx=p.dx + 0.1) for p in sheet.placements))
            if any(shown(sheet, at) for at in POINTS.values()):
                crosses += 1
                assert "no stroke is drawn where the cross at" in refused(path, shifted)
        assert crosses >= len(POINTS)


def shown(sheet: Sheet, at: tuple[float, float]) -> bool:
    """Whether a point is well inside what a tile shows."""
    windows = [(p.to_sheet(at), p.clip) for p in sheet.placements]
    return any(clip is not None and clip.grown(-1.0).holds(p, 0.0) for p, clip in windows)


def moved(drawing: Drawing, by: float) -> Drawing:
    """Crosses moved by so much along x, their points left."""
    return Drawing(
        drawing.title,
        tuple(
            replace(e, start=(e.start[0] + by, e.start[1]), end=(e.end[0] + by, e.end[1]))
            if isinstance(e, Line) and e.layer.value == "POINT"
            else e
            for e in drawing
        ),
    )


def scaled(drawing: Drawing, by: float) -> Drawing:
    def one(e: Entity) -> Entity:
        if isinstance(e, Line):
            return replace(e, start=(e.start[0] * by, e.start[1] * by), end=(e.end[0] * by, e.end[1] * by))
        return e

    return Drawing(drawing.title, tuple(one(e) for e in drawing))


@pytest.mark.parametrize("wrong", ["moved", "scaled", "gone"])
def test_a_file_that_is_off_is_refused(tmp_path: Path, sample: Drawing, wrong: str):
    changed = {
        "moved": moved(sample, 0.06),
        "scaled": scaled(sample, 1.001),
        "gone": Drawing("gone", tuple(e for e in sample if isinstance(e, ControlPoint))),
    }[wrong]
    path = written(tmp_path, roll_sheet(changed))
    assert "no stroke is drawn where the cross at" in refused(path, roll_sheet(sample))


def test_compensation_left_out_is_refused(tmp_path: Path, sample: Drawing):
    path = written(tmp_path, roll_sheet(sample))
    assert "cross at" in refused(path, roll_sheet(sample, (1.002, 1.0)))


def test_a_page_of_another_size_is_refused(tmp_path: Path, roll: Sheet):
    path = written(tmp_path, roll)
    path.write_text(re.sub(r"PS76000", "PS75990", path.read_text()))
    assert "is 1899.750 x 1067.000 mm, not 1900.000 x 1067.000" in refused(path, roll)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"IN;SP1;PU;", "size is not declared"),
        (HEAD + b"PE;", "the command PE has no place"),
        (HEAD + b"RO90;PU;", "the command RO has no place"),
        (HEAD + b"PD1e3,0;PU;", "not HP-GL/2 from"),
        (HEAD + b"PD1,2,3;PU;", "wrong count"),
        (HEAD + b"PD+1,2;PU;", "not a plain number"),
        (HEAD + b"PD40000,0;PU;", "16 bits"),
        (HEAD + b"PD10,0;", "left down"),
        (HEAD + b"SP0;PD10,0;PU;", "no pen selected"),
        (HEAD + b"PD10,0", "not HP-GL/2 from"),
        (b"IN;PS1;PU;", "wrong count"),
        (b"\xff\xfe", "not a text of HP-GL/2"),
        (b"%PDF-1.7", "not HP-GL/2 from"),
    ],
)
def test_what_plotters_might_take_wrongly_is_refused(data: bytes, words: str):
    with pytest.raises(UnreadableError, match=words):
        read_plt(data)


def test_strokes_are_read_absolute_and_relative():
    (seen,) = read_plt(HEAD + b"PU40,80;PD40,0,0,40;PU;PA;PU400,400;PD440,400;PU;")
    assert (seen.width, seen.height) == (100.0, 100.0)
    assert [(s.start, s.end) for s in seen.segments] == [((10.0, 10.0), (11.0, 10.0))]


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ((-5.0, 2.0), (15.0, 2.0), ((0.0, 2.0), (10.0, 2.0))),
        ((2.0, 2.0), (3.0, 3.0), ((2.0, 2.0), (3.0, 3.0))),
        ((5.0, -10.0), (5.0, 5.0), ((5.0, 0.0), (5.0, 5.0))),
        ((-5.0, -2.0), (15.0, -2.0), None),
    ],
)
def test_arms_are_cut_at_a_window(a: tuple[float, float], b: tuple[float, float], expected: object):
    found = cut_stroke(a, b, (0.0, 0.0, 10.0, 10.0))
    if expected is None:
        assert found is None
    else:
        assert found == (pytest.approx(expected[0], abs=1e-6), pytest.approx(expected[1], abs=1e-6))  # type: ignore[index]

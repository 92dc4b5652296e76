"""calibrate as a job: files by medium, measured by readers that did not write them."""

from __future__ import annotations

import math
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest

from layout.errors import SheetError, WriteError
from layout.pipeline.calibrate import calibrate
from layout.sheets.media import MEDIA


def names(written) -> list[str]:
    return [Path(f.path).name for f in written.files]


def test_without_a_medium_it_is_a4(tmp_path: Path):
    assert names(calibrate(None, tmp_path)) == ["calibration-a4.pdf", "calibration-a4.svg"]


def test_a_roll_has_hpgl_as_well(tmp_path: Path):
    written = calibrate("ROLL-914", tmp_path / "new" / "folder")
    assert names(written) == [f"calibration-roll-914.{e}" for e in ("pdf", "svg", "plt")]
    assert {(f.media, f.kind, f.pages) for f in written.files} == {("roll-914", "drawing", 1)}


def test_a_medium_with_a_point_in_its_name_keeps_it(tmp_path: Path):
    assert names(calibrate("roll-913.5", tmp_path))[0] == "calibration-roll-913.5.pdf"


def test_every_medium_measures_true_in_pdf_and_svg(tmp_path: Path):
    written = calibrate([m.name for m in MEDIA], tmp_path)
    for pdf, svg in zip(
        (f for f in written.files if f.format == "pdf"),
        (f for f in written.files if f.format == "svg"),
        strict=True,
    ):
        reader = pypdf.PdfReader(pdf.path)
        box = reader.pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx([v / 25.4 * 72 for v in pdf.size or ()])
        on_pdf = {
            n.lstrip("/"): (float(d["/Left"]) * 25.4 / 72, float(d["/Top"]) * 25.4 / 72)
            for n, d in reader.named_destinations.items()
        }
        root = ElementTree.parse(svg.path).getroot()
        on_svg = {
            e.attrib["id"]: (float(e.attrib["cx"]), (svg.size or (0, 0))[1] - float(e.attrib["cy"]))
            for e in root.iter("{http://www.w3.org/2000/svg}circle")
            if e.attrib.get("id", "").startswith("point-")
        }
        assert on_pdf.keys() == on_svg.keys() and len(on_pdf) in (3, 7)
        assert math.dist(on_pdf["point-corner"], on_pdf["point-along_end"]) == pytest.approx(200.0, abs=1e-4)
        for name, at in on_pdf.items():
            assert math.dist(at, on_svg[name]) < 1e-4


def test_two_runs_give_the_same_bytes(tmp_path: Path):
    for folder in ("a", "b"):
        calibrate(["a4", "roll-914"], tmp_path / folder)
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes()


def test_an_unknown_medium_writes_nothing(tmp_path: Path):
    with pytest.raises(SheetError):
        calibrate(["a4", "a9"], tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_folder_that_cannot_be_made_is_a_write_error(tmp_path: Path):
    (tmp_path / "file").write_text("")
    with pytest.raises(WriteError):
        calibrate("a4", tmp_path / "file" / "out")

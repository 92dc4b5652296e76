"""mitres as a whole: files, what they report, what is wrong with a spec, the same bytes twice."""

from __future__ import annotations

import csv
import json
import math
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from layout.errors import SheetError, SolveError
from layout.pipeline.mitres import Mitres, mitres
from layout.spec.load import FrameSpec, load, loads

SPEC = """\
job: {number: "17", title: Test frame, date: 2024-01-01}
geometry:
  bb_drop: 70
  rear_centre: 435
  front_centre: 610
  head_angle: 72
  seat_angle: 73
  head_tube_length: 150
fork: {axle_to_crown: 395, offset: 45}
"""


def spec(more: str = "") -> FrameSpec:
    return loads(SPEC + more, "test.yaml")


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[Mitres, Path]:
    out = tmp_path_factory.mktemp("mitres") / "made" / "here"
    return mitres(spec(), out), out


def test_a_spec_without_tubes_draws_with_stated_defaults(done: tuple[Mitres, Path]):
    found, _ = done
    (assumed,) = [w for w in found.warnings if w.code == "assumed"]
    for key in ("rear_end.spacing 135", "rear_end.dropout.thickness 6", "rear_end.seat_stay_mount back",
                "drivetrain.chainline"):  # fmt: skip
        assert key in assumed.message


def test_what_is_written_when_nothing_is_asked_for(done: tuple[Mitres, Path]):
    found, out = done
    made = {(Path(f.path).name, f.format, f.media, f.kind) for f in found.files}
    assert {m[0] for m in made} == {p.name for p in out.iterdir()}
    assert ("test-templates.dxf", "dxf", None, "template") in made
    assert ("test-templates-a4.pdf", "pdf", "a4", "template") in made
    assert ("test-cutting-a4.pdf", "pdf", "a4", "table") in made
    assert ("test-cutting.csv", "csv", None, "table") in made
    assert ("test-rear.dxf", "dxf", None, "drawing") in made
    assert {("pdf", "drawing"), ("svg", "drawing"), ("pdf", "tiles")} <= {
        (f, k) for name, f, _, k in made if name.startswith("test-rear-")
    }


def test_pages_are_of_the_paper_and_the_strips_are_on_them(done: tuple[Mitres, Path]):
    _, out = done
    reader = PdfReader(out / "test-templates-a4.pdf", strict=True)
    for page in reader.pages:
        assert [float(v) * 25.4 / 72 for v in page.mediabox[2:]] == pytest.approx([210.0, 297.0], abs=0.001)
    said = " ".join(p.extract_text() for p in reader.pages)
    for name in ("top tube, seat end", "down tube, BB end", "chain stay left, BB end", "Test frame"):
        assert name in said
    assert "point-top_tube_seat_centre" in reader.named_destinations


def test_the_centre_that_a_strip_is_measured_from_is_the_joints(done: tuple[Mitres, Path]):
    """The centre alone may be taken for the middle of the tube."""
    reader = PdfReader(done[1] / "test-templates-a4.pdf", strict=True)
    said = " ".join(" ".join(p.extract_text() for p in reader.pages).split())
    assert said.count("from the joint's centre") >= 5
    assert "from the centre" not in said


def test_the_spreadsheet_has_a_row_for_each_end(done: tuple[Mitres, Path]):
    found, out = done
    with open(out / "test-cutting.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {(r["tube"], r["end"]) for r in rows} >= {(c.tube, c.end_name) for c in found.cuts}
    for row in rows:
        assert float(row["cut_length"]) == pytest.approx(found.tubes[row["tube"]].cut_length, abs=0.006)


def test_cuts_as_plain_data(done: tuple[Mitres, Path]):
    found, _ = done
    cuts = json.loads(json.dumps(found.data["cuts"], allow_nan=False))
    assert [c["tube"] for c in cuts][:5] == ["seat_tube", "top_tube", "top_tube", "down_tube", "down_tube"]
    for c in cuts:
        assert set(c) == {"tube", "end", "against", "angle", "offset", "curve", "mill"}
        assert len(c["mill"]) == len(c["against"])
        assert [p for p, _ in c["curve"]] == list(range(360))
        assert 0.0 <= c["angle"] <= 90.0 and c["offset"] >= 0.0
    seat = cuts[0]
    assert (seat["tube"], seat["end"], seat["against"]) == ("seat_tube", "bb", ["bottom_bracket"])
    # Seat tube 28.6 on a shell of 40 at right angles: s = sqrt(20^2 - (14.3 cos phi)^2).
    for phi, s in seat["curve"][::15]:
        assert s == pytest.approx(math.sqrt(400.0 - (14.3 * math.cos(math.radians(phi))) ** 2), abs=1e-9)


def test_tubes_as_plain_data(done: tuple[Mitres, Path]):
    found, _ = done
    tubes = json.loads(json.dumps(found.data["tubes"], allow_nan=False))
    assert set(tubes) >= {"seat_tube", "top_tube", "down_tube", "head_tube"}
    assert {f"{stay}_{side}" for stay in ("chain_stay", "seat_stay") for side in ("left", "right")} < set(
        tubes
    )
    for name, tube in tubes.items():
        least = [np.nanmin(c.s) for c in found.cuts if c.tube == name]
        assert tube["cut_length"] == pytest.approx(tube["centre_length"] - sum(least), abs=0.01)
        assert tube["length_needed"] >= tube["cut_length"]


def test_a_cut_that_misses_in_part_has_nulls(tmp_path: Path):
    found = mitres(spec("rear_end: {seat_stay_mount: side}\n"), tmp_path, formats=["csv"])
    (stay,) = [c for c in found.data["cuts"] if c["tube"] == "seat_stay_right"]
    missed = [s for _, s in stay["curve"] if s is None]
    assert 90 < len(missed) < 200
    assert "cut_partial" in {w.code for w in found.warnings}


def test_only_what_is_asked_for(tmp_path: Path):
    found = mitres(spec(), tmp_path, media=["Letter", "roll-610"], formats=["SVG", "pdf"])
    assert {f.format for f in found.files} == {"svg", "pdf"}
    assert {f.media for f in found.files} == {"letter", "roll-610"}
    strips = [f for f in found.files if f.kind == "template" and f.format == "svg" and f.media == "letter"]
    assert len(strips) >= 2
    assert [f.sheet for f in strips] == [str(k + 1) for k in range(len(strips))]
    assert all(Path(f.path).exists() for f in found.files)


def test_pen_plots_are_written_when_asked_for(tmp_path: Path):
    found = mitres(spec(), tmp_path, media=["roll-914"], formats=["plt"])
    assert {f.format for f in found.files} == {"plt"}
    assert {f.kind for f in found.files} == {"template", "table", "drawing"}


@pytest.mark.parametrize(("media", "formats"), [(["a9"], []), ([], ["step"])])
def test_an_unknown_medium_or_format_writes_nothing(tmp_path: Path, media: list[str], formats: list[str]):
    with pytest.raises(SheetError):
        mitres(spec(), tmp_path / "out", media, formats)
    assert not (tmp_path / "out").exists()


def test_bends_that_do_not_fit_name_their_line():
    text = SPEC + "tubes:\n  chain_stay:\n    bends: [{at: 430, angle: 20, plane: 90, radius: 200}]\n"
    with pytest.raises(SolveError) as caught:
        mitres(loads(text, "bent.yaml"), Path("/nonexistent"))
    (fault,) = caught.value.faults
    assert (fault.file, fault.line, fault.key) == ("bent.yaml", 12, "tubes.chain_stay.bends")
    assert "bend" in fault.message


def test_the_same_spec_writes_the_same_bytes(tmp_path: Path, done: tuple[Mitres, Path]):
    _, out = done
    mitres(spec(), tmp_path)
    for path in out.iterdir():
        assert (tmp_path / path.name).read_bytes() == path.read_bytes(), path.name


BEND = "{at: 22, angle: 5, plane: 90, radius: 200}"
INSIDE = "rear_end: {stay_spacing_at_shell: 40}\n"
WARNINGS = {
    "cut_past_end": "rear_end: {stay_spacing_at_shell: 60}\n",
    "gap_small": INSIDE + "drivetrain: {chainline: 43, chainring_teeth: 50}\n",
    "butt_eaten": "tubes: {down_tube: {diameter: 34.9, walls: [0.9, 0.6, 0.9], butts: [30, 30]}}\n",
    "cut_in_bend": f"tubes: {{chain_stay: {{diameter: 19, bends: [{BEND}]}}}}\n",
    "template_approximate": "tubes: {chain_stay: {section: [16, 30], taper: [0, 200]}}\n",
}


def codes(text: str, out: Path) -> set[str]:
    return {w.code for w in mitres(loads(text, "test.yaml"), out, formats=["csv"]).warnings}


@pytest.mark.parametrize("code", WARNINGS)
def test_what_is_wrong_with_a_cut_is_said(code: str, tmp_path: Path):
    assert code in codes(SPEC + WARNINGS[code], tmp_path)


def test_nothing_is_said_of_cuts_that_are_whole(tmp_path: Path):
    small = "tubes: {seat_stay: {diameter: 14}, chain_stay: {section: [16, 30]}}\n"
    said = codes(SPEC + INSIDE + small + "wheels: {rear: 25-622, front: 25-622}\n", tmp_path)
    assert {c for c in said if c.startswith(("cut_", "butt_", "template_"))} == set()


def test_a_seat_tube_wholly_beside_the_shell_has_no_mitre_and_that_is_said(tmp_path: Path):
    text = SPEC.replace("head_tube_length: 150", "head_tube_length: 150\n  seat_tube_offset: 36")
    found = mitres(loads(text, "test.yaml"), tmp_path, formats=["csv"])
    (missed,) = [w for w in found.warnings if w.code == "cut_missed"]
    assert "does not touch the bottom bracket" in missed.message
    assert "36.0 mm apart" in missed.message and "34.3" in missed.message
    assert ("seat_tube", "bb") not in {(c.tube, c.end_name) for c in found.cuts}
    seat = found.tubes["seat_tube"]
    assert seat.cut_length == pytest.approx(seat.centre_length)


def test_a_stretched_printer_is_compensated_on_paper_and_not_in_the_dxf(
    done: tuple[Mitres, Path], tmp_path: Path
):
    stretched, true = tmp_path / "a", done[1]
    mitres(spec("printer: {x: 1.01, y: 0.99}\n"), stretched, media=["a4"], formats=["pdf", "dxf"])
    assert (stretched / "test-templates.dxf").read_bytes() == (true / "test-templates.dxf").read_bytes()
    ends = []
    for out in (stretched, true):
        found = PdfReader(out / "test-rear-a4-tiles.pdf").named_destinations
        ends.append(len(found))
    assert ends[0] > 0 and ends[1] > 0
    assert (stretched / "test-templates-a4.pdf").read_bytes() != (true / "test-templates-a4.pdf").read_bytes()


def test_each_document_of_the_mitres_names_its_own_subject(tmp_path: Path) -> None:
    """Templates, cutting table and rear end all said "mitres" of themselves."""
    spec = load(Path(__file__).parents[2] / "specs" / "all-road.yaml")
    written = mitres(spec, tmp_path, formats=["pdf"], media=["a4"])
    subjects = {f.path: str(PdfReader(f.path).metadata.subject) for f in written.files}
    assert {Path(p).name.split("all-road-")[1].split("-a4")[0]: s for p, s in subjects.items()} == {
        "templates": "mitre templates", "cutting": "cutting table", "rear": "rear end",
    }  # fmt: skip

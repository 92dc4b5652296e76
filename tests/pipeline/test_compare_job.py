"""compare as a job: the files of both frames, read back by other readers, and the data."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from layout.errors import SpecError
from layout.frame.solve import solve
from layout.pipeline.compare import CompareResult, compare
from layout.spec.load import load

SPECS = Path(__file__).parents[2] / "specs"
OLD, NEW = SPECS / "tourer.yaml", SPECS / "all-road.yaml"


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> CompareResult:
    return compare(OLD, NEW, tmp_path_factory.mktemp("compare"))


def test_every_file_is_there_and_named_after_both(result: CompareResult) -> None:
    names = [Path(f.path).name for f in result.files]
    assert [n.replace("tourer-to-all-road", "X") for n in names] == [
        "X.dxf", "X-sheets.dxf", "X-roll-914.pdf", "X-roll-914.svg", "X-a4-tiles.pdf", "X-table.pdf",
        "X-table.csv", "X-table.json",
    ]  # fmt: skip
    assert [f.kind for f in result.files] == ["drawing"] * 4 + ["tiles"] + ["table"] * 3
    assert all(Path(f.path).stat().st_size > 500 for f in result.files)


def test_both_frames_points_are_in_the_dxf_at_true_scale(result: CompareResult) -> None:
    """POINT entities with their names, by raw group codes: 0 POINT, 10 and 20 its place, 1000 its name."""
    lines = Path(result.files[0].path).read_text(encoding="utf-8").splitlines()
    tags = [(lines[i].strip(), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]
    found: dict[str, tuple[float, float]] = {}
    here: dict[str, str] = {}
    kind = ""
    for code, value in tags:
        if code == "0":
            if kind == "POINT":
                found[here["1000"]] = float(here["10"]), float(here["20"])
            kind, here = value, {}
        elif kind == "POINT":
            here.setdefault(code, value)
    for prefix, spec in (("first_", OLD), ("", NEW)):
        frame = solve(load(spec))
        for name in ("rear_axle", "front_axle", "head_tube_top", "seat_tube_top"):
            assert found[prefix + name] == pytest.approx(frame.plane.points[name], abs=0.001)


def test_the_data_agree_with_both_frames(result: CompareResult) -> None:
    a, b = solve(load(OLD)), solve(load(NEW))
    data = json.loads(json.dumps(result.data, allow_nan=False))["dimensions"]
    for name in ("stack", "reach", "wheelbase", "trail", "seat_angle"):
        first, second = a.plane.dimensions[name] or 0.0, b.plane.dimensions[name] or 0.0
        assert data[name] == {"first": first, "second": second, "difference": second - first}
    assert data["saddle_height"]["first"] is None


def test_the_spreadsheet_has_a_row_for_each_dimension(result: CompareResult) -> None:
    path = next(f.path for f in result.files if f.format == "csv")
    with open(path, encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [r["name"] for r in rows] == [d.name for d in result.differences]
    rear = next(r for r in rows if r["name"] == "rear_centre")
    assert rear == {"name": "rear_centre", "unit": "mm", "first": "450.000", "second": "430.000",
                    "difference": "-20.000", "note": ""}  # fmt: skip


def test_the_words_show_both_and_the_difference(result: CompareResult) -> None:
    line = next(x for x in result.words.splitlines() if x.startswith("rear_centre "))
    assert line.split() == ["rear_centre", "450.0", "430.0", "-20.0"]


def test_two_specs_of_one_name_are_told_apart(tmp_path: Path) -> None:
    for folder in ("old", "new"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "frame.yaml").write_text(NEW.read_text(encoding="utf-8"), encoding="utf-8")
    told = compare(tmp_path / "old" / "frame.yaml", tmp_path / "new" / "frame.yaml", tmp_path / "out")
    assert told.names == ("frame-1", "frame-2")


def test_a_faulty_spec_is_told_with_its_file(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text("geometry: {head_angle: 720}\n", encoding="utf-8")
    with pytest.raises(SpecError, match=r"wrong\.yaml:1"):
        compare(NEW, wrong, tmp_path)
    assert list(tmp_path.iterdir()) == [wrong]

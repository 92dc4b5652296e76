"""draw: one spec and many, in JSON and in words; a faulty spec does not stop the rest."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from layout.cli.commands import run

GEOMETRY = """\
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150}
fork: {axle_to_crown: 395, offset: 45}
"""
QUICK = ["--media", "roll-1067", "--format", "svg"]


def spec(folder: Path, name: str, more: str = "") -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(GEOMETRY + more)
    return path


def test_draw_writes_what_its_json_lists(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert run(["draw", str(spec(tmp_path, "one")), "--out", str(out), *QUICK, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert all(set(f) == {"path", "format", "media", "sheet", "kind"} for f in told["files"])
    file = told["files"][0]
    assert (file["format"], file["media"], file["kind"]) == ("svg", "roll-1067", "drawing")
    assert Path(file["path"]).read_text().startswith("<?xml")
    assert sorted(map(str, out.iterdir())) == sorted(f["path"] for f in told["files"])
    assert all({"code", "message"} <= set(w) for w in told["warnings"])


def test_draw_ends_with_a_summary(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert run(["draw", str(spec(tmp_path, "one")), "--out", str(out), *QUICK]) == 0
    told = capsys.readouterr()
    assert str(out / "one-roll-1067.svg") in told.out
    assert told.err == ""


def test_a_faulty_spec_does_not_stop_the_rest(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    paths = [spec(tmp_path, "a"), tmp_path / "missing.yaml", spec(tmp_path, "b", "jobs: {}\n")]
    arguments = ["draw", *map(str, paths), "--out", str(out), *QUICK, "--jobs", "2", "--json"]
    assert run(arguments) == 2
    told = capsys.readouterr()
    found = json.loads(told.out)
    assert {Path(f["path"]).name.split("-")[0] for f in found["files"]} == {"a"}
    assert "a-roll-1067.svg" in [Path(f["path"]).name for f in found["files"]]
    assert [(e["file"], e["code"]) for e in found["errors"]] == [
        (str(paths[1]), "syntax"),
        (str(paths[2]), "unknown_key"),
    ]
    assert len(told.err.splitlines()) == 2


def test_where_nothing_is_drawn_there_are_errors_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = spec(tmp_path, "a", "jobs: {}\n")
    assert run(["draw", str(path), "--out", str(tmp_path / "out"), "--json"]) == 2
    assert set(json.loads(capsys.readouterr().out)) == {"errors"}
    assert not (tmp_path / "out").exists()


def test_a_roll_too_narrow_is_two_with_the_spec_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = spec(tmp_path, "a")
    arguments = ["draw", str(path), "--out", str(tmp_path / "out"), "--media", "roll-300", "--json"]
    assert run(arguments) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    assert (error["code"], error["file"]) == ("media", str(path))


def test_two_specs_of_one_name_would_overwrite_each_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    paths = [spec(tmp_path, "a"), spec(other, "a")]
    assert run(["draw", *map(str, paths), "--out", str(tmp_path / "out"), *QUICK]) == 2
    assert f"{paths[1]}: its files would overwrite those of {paths[0]}" in capsys.readouterr().err
    assert list((tmp_path / "out").iterdir()), "the first is drawn all the same"


def test_a_folder_that_cannot_be_made_is_three(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("")
    arguments = ["draw", str(spec(tmp_path, "a")), "--out", str(tmp_path / "file" / "out"), *QUICK]
    assert run(arguments) == 3
    assert "Traceback" not in capsys.readouterr().err


def test_the_printer_of_the_command_line_goes_before_the_specs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = spec(tmp_path, "a", "printer: {x: 1.01, y: 1.01}\n")
    measured = tmp_path / "printer.yaml"
    measured.write_text("printer: {x: 1.002, y: 0.998}\n")
    steps = []
    for name, extra in (("spec", []), ("file", ["--printer", str(measured)])):
        out = tmp_path / name
        assert run(["draw", str(path), "--out", str(out), *QUICK, *extra]) == 0
        steps.append(step((out / "a-roll-1067.svg").read_text()))
    capsys.readouterr()
    level = (425.0**2 - 70.0**2) ** 0.5
    assert steps[0] == pytest.approx((level / 1.01, 70.0 / 1.01), abs=1e-5)
    assert steps[1] == pytest.approx((level / 1.002, 70.0 / 0.998), abs=1e-5)


def step(svg: str) -> tuple[float, float]:
    """How far the rear axle lies from the BB on the paper, mm along and across it."""
    points = {
        c.get("id"): (float(c.get("cx", "nan")), float(c.get("cy", "nan")))
        for c in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}circle")
    }
    (x, y), (u, v) = points["point-bb"], points["point-rear_axle"]
    return abs(u - x), abs(v - y)

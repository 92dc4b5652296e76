"""plates: the files of a spec, what is reported of them, and nothing written where a rule is broken."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import PlateError, WriteError
from layout.pipeline.plates import PlatesWritten, plates
from layout.spec.load import FrameSpec, load, loads

SPEC = "specs/track.yaml"


def bars_alone() -> FrameSpec:
    text = Path(SPEC).read_text("utf-8")
    return loads(f"{text}\nplates: {{parts: [length_bars]}}\n", "s.yaml")


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[PlatesWritten, Path]:
    out = tmp_path_factory.mktemp("plates") / "new" / "folder"
    return plates(load(SPEC), "track", out), out


def test_every_file_is_there_and_of_its_kind(done: tuple[PlatesWritten, Path]) -> None:
    result, out = done
    assert {Path(f.path) for f in result.files} == set(out.iterdir())
    kinds = {(f.kind, f.format) for f in result.files}
    assert kinds == {
        ("part", "dxf"),
        ("table", "csv"),
        ("assembly", "pdf"),
        ("assembly", "svg"),
        ("nest", "pdf"),
        ("nest", "svg"),
    }
    assert sum(f.kind == "part" for f in result.files) == len(result.plates) == 22
    media = {f.media for f in result.files if f.kind == "assembly"}
    assert "a3" in media
    assert any(m is not None and m.startswith("roll-") for m in media)


def test_the_list_is_reported_with_areas_and_weights(done: tuple[PlatesWritten, Path]) -> None:
    result, _ = done
    for row in result.plates:
        assert row.weight == pytest.approx(row.area * row.thickness * 7.85e-6)
        assert (row.material, row.thickness) == ("steel S235", 6.0)
    assert [r.quantity for r in result.plates if r.name == "bb_post"] == [2]
    assert ("thickness", "6", False) in result.numbers


def test_the_solved_frames_warnings_are_passed_on(done: tuple[PlatesWritten, Path]) -> None:
    result, _ = done
    assert len(result.warnings) == len(set(result.warnings))


def test_the_same_spec_gives_the_same_bytes(done: tuple[PlatesWritten, Path], tmp_path: Path) -> None:
    _, out = done
    again = {Path(f.path).name: Path(f.path) for f in plates(load(SPEC), "track", tmp_path).files}
    assert again.keys() == {path.name for path in out.iterdir()}
    for path in sorted(out.iterdir()):
        assert again[path.name].read_bytes() == path.read_bytes(), path.name


def test_a_broken_rule_writes_nothing_and_says_where(tmp_path: Path) -> None:
    text = Path(SPEC).read_text("utf-8")
    out = tmp_path / "out"
    with pytest.raises(PlateError) as raised:
        plates(loads(f"{text}\nplates:\n  thickness: 12\n  bolt: 6\n", "s.yaml"), "s", out)
    assert not out.exists()
    for fault in raised.value.faults:
        assert (fault.code, fault.file, fault.line) == ("range", "s.yaml", text.count("\n") + 2)
        assert fault.key is not None
    messages = str(raised.value)
    assert "bolt hole of seat cradle lower: is 6.60 wide; plate of 12 takes no hole under 12" in messages
    assert "axle_table, hole for the rear axle" in messages
    assert raised.value.exit_status == 2


def test_a_folder_that_cannot_be_made_is_an_error_of_writing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(WriteError, match="file: is a file, not a folder"):
        plates(bars_alone(), "track", tmp_path / "file" / "folder")


def test_loose_parts_alone_need_no_assembly(tmp_path: Path) -> None:
    result = plates(bars_alone(), "s", tmp_path)
    assert {f.kind for f in result.files} == {"part", "table", "nest"}

"""plates: the files of a spec, what is reported of them, and nothing written where a rule is broken."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from layout.bench.plates.settings import Number
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
    assert Number("thickness", "6", "mm", given=False) in result.numbers


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
    assert "is 6.60 mm wide; expected at least 12 mm in plate of 12 mm" in messages
    assert raised.value.exit_status == 2


@pytest.mark.parametrize(
    ("block", "key", "said"),
    [
        (
            "inner_radius: 3",
            "plates.inner_radius",
            "is 3 mm; a relief of that radius would take 4.24 mm. The step from bolt to nut of M6 is "
            "1.95 mm. Take 1.37 mm or less.",
        ),
        (
            "thickness: 2\n  inner_radius: 0.8",
            "plates.inner_radius",
            "is 0.8 mm; two reliefs of that radius would take 2.26 mm. A slot's width (thickness and "
            "fit) is 2.20 mm. Take 0.77 mm or less, or thicker plate.",
        ),
        (
            "thickness: 30\n  smallest_web: 4",
            "plates.smallest_web",
            "is 4. With 120 mm of material under its nut, a foot's bolt would be 176 mm long. The longest "
            "made is 120 mm. Take 2.13 or less, or thinner plate.",
        ),
    ],
)
def test_a_process_that_leaves_a_foot_no_room_is_said_with_its_place(
    tmp_path: Path, block: str, key: str, said: str
) -> None:
    text = Path(SPEC).read_text("utf-8")
    out = tmp_path / "out"
    with pytest.raises(PlateError) as raised:
        plates(loads(f"{text}\nplates:\n  {block}\n", "s.yaml"), "s", out)
    assert not out.exists()
    (fault,) = raised.value.faults
    line = text.count("\n") + 2 + len(block.splitlines())
    assert str(fault) == f"s.yaml:{line}: {key}: {said}"


def test_one_rule_broken_at_many_holes_is_one_message_with_a_count(tmp_path: Path) -> None:
    """Plate thicker than the holes are wide was told once for each of dozens of holes."""
    text = Path(SPEC).read_text("utf-8")
    with pytest.raises(PlateError) as raised:
        plates(loads(f"{text}\nplates:\n  thickness: 12\n  bolt: 6\n", "s.yaml"), "s", tmp_path)
    keys = [fault.key for fault in raised.value.faults]
    assert len(keys) == len(set(keys))
    holes = next(f for f in raised.value.faults if f.key == "plates.smallest_hole")
    assert re.search(r"The same rule is broken in \d\d+ more places\.$", holes.message)


def test_a_material_that_the_alphabet_cannot_write_is_said(tmp_path: Path) -> None:
    text = Path(SPEC).read_text("utf-8")
    block = 'plates: {parts: [length_bars], material: "Stahl steel ß☃"}'
    result = plates(loads(f"{text}\n{block}\n", "s.yaml"), "s", tmp_path)
    (notice,) = [w for w in result.warnings if w.code == "lettering"]
    assert notice.message == (
        "the lettering does not have these characters and draws empty boxes. Replace them: ☃"
    )


def test_a_choice_of_which_nothing_can_be_made_is_an_error(tmp_path: Path) -> None:
    """Every tube is wider than what it is cut against, the down tube beside the shell: no gauge can be."""
    text = Path("specs/tourer.yaml").read_text("utf-8")
    for tube, size in (("seat", 40.6), ("top", 41.0), ("down", 41.0), ("head", 31.8)):
        text = re.sub(rf"  {tube}_tube: {{[^}}]*}}", f"  {tube}_tube: {{diameter: {size}}}", text)
    text = text.replace("geometry:\n", "geometry:\n  down_tube_offset: 30\n", 1)
    spec = loads(f"{text}\nplates: {{parts: [mitre_gauges], thickness: 3}}\n", "s.yaml")
    with pytest.raises(PlateError, match=r"s\.yaml:\d+: plates\.parts: leaves nothing to make"):
        plates(spec, "s", tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_folder_that_cannot_be_made_is_an_error_of_writing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(WriteError, match="file: is a file, not a folder"):
        plates(bars_alone(), "track", tmp_path / "file" / "folder")


def test_loose_parts_alone_need_no_assembly(tmp_path: Path) -> None:
    result = plates(bars_alone(), "s", tmp_path)
    assert {f.kind for f in result.files} == {"part", "table", "nest"}


def test_one_gauge_that_cannot_be_made_does_not_refuse_all_parts(tmp_path: Path) -> None:
    """A bar longer than the sheet stopped every part; a larger sheet, as the warning says, brings it."""
    text = Path(SPEC).read_text("utf-8").split("\nplates:")[0]
    parts = "parts: [length_bars, angle_gauges]"
    small = plates(loads(f"{text}\nplates: {{{parts}, sheet: [560, 500]}}\n", "s.yaml"), "s", tmp_path)
    made = {p.name for p in small.plates}
    assert made == {"rear_centre_bar", "head_angle_gauge", "seat_angle_gauge"}
    (left_out,) = (w for w in small.warnings if w.code == "part_left_out")
    assert "front centre bar is left out" in left_out.message and "sheet" in left_out.message
    more = plates(loads(f"{text}\nplates: {{{parts}, sheet: [760, 500]}}\n", "s.yaml"), "s", tmp_path)
    assert {p.name for p in more.plates} == made | {"front_centre_bar"}
    assert not any(w.code == "part_left_out" for w in more.warnings)

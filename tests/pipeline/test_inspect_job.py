"""inspect as a job: from the form that setup writes to verdict, words, status and record."""

from __future__ import annotations

import json
import math
import os
import re
from pathlib import Path

import pytest

from layout.errors import SpecError
from layout.frame.solve import Frame, solve
from layout.pipeline.documents import data_text
from layout.pipeline.inspect import inspect_frame
from layout.pipeline.setup import setup
from layout.spec.load import load
from layout.spec.readings import ReadingKind, load_readings

SPEC = Path(__file__).parents[2] / "specs" / "all-road.yaml"


@pytest.fixture(scope="module")
def form(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("setup")
    return next(Path(f.path) for f in setup(SPEC, out).files if f.kind == "readings")


def filled(form: Path, frame: Frame, where: Path, **off: float) -> Path:
    """The form with the design's own values written in, some of them `off`."""
    lines = []
    for line in form.read_text(encoding="utf-8").splitlines():
        found = re.search(r"from: (\w+), +to: (\w+)", line)
        name = re.search(r"(?:dimension|height|alignment): (\w+)", line)
        if found:
            value = math.dist(frame.plane.points[found[1]], frame.plane.points[found[2]])
            value += off.get("_to_".join(found.groups()), 0.0)
        elif name:
            known = frame.plane.dimensions
            design = known.get(name[1]) if "dimension" in line else 142.0 * ("spacing" in line)
            value = (design or 0.0) + off.get(name[1], 0.0)
        if found or name:
            line = line.replace("measured: }", f"measured: {value:.3f}}}")
        lines.append(line)
    path = where / "filled.yaml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def frame() -> Frame:
    return solve(load(SPEC))


def test_the_form_reads_back_and_covers_the_whole_frame(form: Path, frame: Frame) -> None:
    rows = load_readings(form).rows
    assert all(r.measured is None for r in rows)
    assert {r.kind for r in rows} == set(ReadingKind)
    assert {r.names[0] for r in rows if r.kind is ReadingKind.ALIGNMENT} == {
        "head_twist", "dropout_height", "wheel_centring", "dropout_spacing",
    }  # fmt: skip
    assert len([r for r in rows if r.kind is ReadingKind.DISTANCE]) >= 12


def test_a_frame_as_designed_passes(form: Path, frame: Frame, tmp_path: Path) -> None:
    result = inspect_frame(SPEC, filled(form, frame, tmp_path))
    assert (result.data["verdict"], result.exit_status, result.files) == ("pass", 0, ())
    assert result.words.startswith("PASS")
    reached = [n for n, d in result.data["dimensions"].items() if d["estimate"] is not None]
    assert {"trail", "wheelbase", "stack", "reach", "head_angle", "standover"} <= set(reached)
    assert all(result.data["dimensions"][n]["within"] for n in reached)


def test_a_frame_that_is_off_fails_with_what_to_pull(form: Path, frame: Frame, tmp_path: Path) -> None:
    result = inspect_frame(SPEC, filled(form, frame, tmp_path, dropout_spacing=4.0, head_twist=0.1))
    assert (result.data["verdict"], result.exit_status) == ("fail", 1)
    assert "Beyond tolerance: dropout spacing." in " ".join(result.words.split())
    assert result.data["dimensions"]["dropout_spacing"]["within"] is False


def test_a_misreading_is_named_with_what_it_should_be(form: Path, frame: Frame, tmp_path: Path) -> None:
    result = inspect_frame(SPEC, filled(form, frame, tmp_path, bb_to_front_axle=-20.0))
    (suspect,) = result.data["suspects"]
    assert (suspect["from"], suspect["to"]) == ("bb", "front_axle")
    assert suspect["measured"] == pytest.approx(592.0, abs=0.001)
    assert suspect["expected"] == pytest.approx(612.0, abs=0.05)
    assert "BB to front axle: read 592 mm, the others make it 612.0 mm." in result.words
    assert result.words.splitlines()[0].endswith("are in tolerance. One reading to take again.")
    assert result.exit_status == 0


def test_an_empty_form_cannot_tell(form: Path) -> None:
    result = inspect_frame(SPEC, form)
    assert (result.data["verdict"], result.exit_status) == ("undetermined", 1)
    assert result.data["suspects"] == []


def test_in_tolerance_but_off_gets_advice_with_its_caution(form: Path, frame: Frame, tmp_path: Path) -> None:
    result = inspect_frame(SPEC, filled(form, frame, tmp_path, dropout_spacing=0.8))
    assert result.exit_status == 0
    assert "pull each dropout by half" in result.words
    assert "steel frames only" in result.words


def test_the_record_carries_the_job_and_is_the_same_twice(form: Path, frame: Frame, tmp_path: Path) -> None:
    readings = filled(form, frame, tmp_path, bb_to_front_axle=30.0)
    first = inspect_frame(SPEC, readings, tmp_path / "a")
    second = inspect_frame(SPEC, readings, tmp_path / "b")
    assert [(Path(f.path).name, f.kind) for f in first.files] == [
        ("all-road-record.pdf", "record"), ("all-road-record.json", "record"),
    ]  # fmt: skip
    for a, b in zip(first.files, second.files, strict=True):
        assert Path(a.path).read_bytes() == Path(b.path).read_bytes()
    data = json.loads(Path(first.files[1].path).read_text(encoding="utf-8"))
    assert (data["job"]["number"], data["job"]["date"]) == ("2024-07", "2024-03-18")
    assert {k: data[k] for k in ("verdict", "dimensions", "suspects")} == json.loads(data_text(first.data))


def test_the_records_words_can_be_read_from_the_pdf(form: Path, frame: Frame, tmp_path: Path) -> None:
    """pypdf, a reader that shares nothing with the writer."""
    from pypdf import PdfReader

    result = inspect_frame(SPEC, filled(form, frame, tmp_path), tmp_path / "out")
    text = " ".join(page.extract_text() for page in PdfReader(result.files[0].path).pages)
    for words in ("PASS", "2024-07", "head angle", "measured by"):
        assert words in text


def test_faults_of_the_readings_are_told_with_their_lines(tmp_path: Path) -> None:
    readings = tmp_path / "r.yaml"
    rows = "- {dimension: head_angel, measured: 71}\n- {from: bb, to: axle, measured: 1}\n"
    readings.write_text(f"readings:\n{rows}", encoding="utf-8")
    with pytest.raises(SpecError) as caught:
        inspect_frame(SPEC, readings)
    assert [(f.line, f.key, f.code) for f in caught.value.faults] == [
        (2, "readings.0.dimension", "unknown_key"), (3, "readings.1.to", "unknown_key"),
    ]  # fmt: skip


def test_a_slip_in_one_row_does_not_hide_an_unknown_name_in_the_next(tmp_path: Path) -> None:
    readings = tmp_path / "r.yaml"
    rows = "- {from: bb, to: rear_axle, measured: 430,5}\n- {dimension: head_angel, measured: 71}\n"
    readings.write_text(f"readings:\n{rows}", encoding="utf-8")
    with pytest.raises(SpecError) as caught:
        inspect_frame(SPEC, readings)
    places = [(f.line, f.key) for f in caught.value.faults]
    assert places == [(2, "readings.0.5"), (3, "readings.1.dimension")]
    assert ":2: reading 1, 5: is not a key of reading 1." in str(caught.value)
    assert ":3: reading 2, dimension: is 'head_angel'" in str(caught.value)


def test_the_json_has_what_it_promises(tmp_path: Path) -> None:
    readings = tmp_path / "r.yaml"
    rows = (
        "dimension: rear_centre, measured: 430", "from: bb, to: rear_axle, measured: 445",
        "dimension: head_angle, measured: 71.4", "alignment: head_twist, measured: 0.1",
    )  # fmt: skip
    readings.write_text("readings:\n" + "".join(f"- {{{row}}}\n" for row in rows), encoding="utf-8")
    data = json.loads(json.dumps(inspect_frame(SPEC, readings).data, allow_nan=False))
    assert set(data) == {"verdict", "dimensions", "suspects"}
    assert set(data["dimensions"]["stack"]) == {"design", "estimate", "uncertainty", "tolerance", "within"}
    assert data["dimensions"]["stack"]["estimate"] is None
    assert data["dimensions"]["head_angle"]["within"] is True
    assert data["suspects"] == [
        {"dimension": "rear_centre", "measured": 430.0, "expected": None},
        {"from": "bb", "to": "rear_axle", "measured": 445.0, "expected": None},
    ]


def test_readings_of_paper_are_refused(form: Path, frame: Frame, tmp_path: Path) -> None:
    path = filled(form, frame, tmp_path)
    sheet = 'sheet: {media: a4, turned: false, printer: {x: 1.0, y: 1.0}, frame: "0a1b2c3d"}\n'
    path.write_text(sheet + path.read_text(encoding="utf-8"), encoding="utf-8")
    with pytest.raises(SpecError, match="readings of a printed sheet, for `layout tape`"):
        inspect_frame(SPEC, path)


def test_a_pass_says_how_much_was_measured_and_what_was_not(form: Path, frame: Frame, tmp_path: Path) -> None:
    """It said "every dimension that the readings reach": three readings sounded like all."""
    readings = tmp_path / "few.yaml"
    rows = ("head_angle, measured: 71.5", "seat_angle, measured: 73.0", "rear_centre, measured: 430")
    listed = "".join(f"- {{dimension: {row}}}\n" for row in rows)
    readings.write_text(f"readings:\n{listed}", encoding="utf-8")
    result = inspect_frame(SPEC, readings)
    known = [n for n, d in result.data["dimensions"].items() if d["estimate"] is not None]
    assert {"head_angle", "seat_angle", "rear_centre"} <= set(known)
    verdict, rest = result.words.split("\n", 1)
    missing = rest.split("Not measured\n")[1].split("\n\n")[0].strip(" .").split(", ")
    assert verdict == (
        f"PASS: the {len(known)} dimensions measured are in tolerance; {len(missing)} were not measured."
    )
    assert {"stack", "reach", "seat tube length", "standover"} <= set(missing)
    # What is bolted on, or the rider's, is held at the spec: it is not to be measured on a frame.
    assert not {"front radius", "fork offset", "stem length", "saddle height"} & set(missing)


def test_a_second_record_is_numbered_and_compared_with_the_first(
    form: Path, frame: Frame, tmp_path: Path
) -> None:
    """The record of the finished frame was written over that of the tacked one."""
    out = tmp_path / "out"
    first = inspect_frame(SPEC, filled(form, frame, tmp_path), out)
    before = {Path(f.path).name: Path(f.path).read_bytes() for f in first.files}
    assert set(before) == {"all-road-record.pdf", "all-road-record.json"}
    second = inspect_frame(SPEC, filled(form, frame, tmp_path, dropout_spacing=1.5), out)
    assert [Path(f.path).name for f in second.files] == ["all-road-record-2.pdf", "all-road-record-2.json"]
    assert {name: (out / name).read_bytes() for name in before} == before
    assert "Changed since all-road-record.json" in second.words
    said = " ".join(second.words.split())
    assert "dropout spacing: 142.0 mm then, 143.5 mm now, change 1.5 mm." in said
    assert "Changed since" not in first.words


def test_two_inspections_at_once_make_two_records(form: Path, frame: Frame, tmp_path: Path) -> None:
    """Both took the name that neither had written yet, and the later one was written over the other."""
    readings, out = filled(form, frame, tmp_path), tmp_path / "out"
    children = []
    for _ in range(3):
        child = os.fork()
        if child == 0:
            status = 1
            try:
                status = inspect_frame(SPEC, readings, out).exit_status
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0, 0]
    names = {f"all-road-record{n}.{form}" for n in ("", "-2", "-3") for form in ("pdf", "json")}
    assert {p.name for p in out.iterdir()} == names

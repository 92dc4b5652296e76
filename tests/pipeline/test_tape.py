"""tape as a job: a form that draw wrote is filled in and judged; faults have their lines."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from layout.errors import SpecError
from layout.frame.solve import solve
from layout.pipeline.draw import draw_spec
from layout.pipeline.order import Order
from layout.pipeline.tape import TapeResult, tape
from layout.sheets.media import Printer
from layout.spec.load import load

SPEC = """
job: {title: "A: b # c"}
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
"""
LEFT = SPEC + "drawing: {heading: left}\n"
TRUE = (1.0, 1.0, 0.0)
KEYS = {"verdict", "scale", "uncertainty", "suspects", "compensation"}


def form(folder: Path, text: str = SPEC, medium: str = "roll-1067", printer: Printer | None = None) -> Path:
    """The form that draw writes for a spec; the spec stands beside it."""
    spec = folder / "frame.yaml"
    spec.write_text(text)
    order = Order((medium,), ("svg",) if medium.startswith("roll") else ("pdf",), printer or Printer())
    written = draw_spec(load(spec), folder, order)
    return next(Path(f.path) for f in written.files if f.kind == "readings")


def fill(path: Path, axes: tuple[float, float, float], mirrored: bool = False, **off: float) -> None:
    """Write into a form what a tape reads on a print of these scales and this skew (degrees)."""
    x, y, skew = axes
    points = solve(load(path.parent / "frame.yaml")).plane.points
    lines = []
    for line in path.read_text().splitlines():
        if "from:" in line:
            words = line.replace(",", " ").split()
            a, b = (points[words[words.index(key) + 1]] for key in ("{from:", "to:"))
            dx, dy = (b[0] - a[0]) * (-1 if mirrored else 1), b[1] - a[1]
            lean = math.radians(skew)
            read = math.hypot(x * dx + y * math.sin(lean) * dy, y * math.cos(lean) * dy)
            read += off.get(line.split("# ")[1][0], 0.0)
            line = line.replace("measured: }", f"measured: {read:.2f}}}")
        lines.append(line)
    path.write_text("\n".join(lines) + "\n")


def judged(path: Path) -> TapeResult:
    return tape(path.parent / "frame.yaml", path)


def test_a_true_sheet_is_for_use(tmp_path: Path):
    path = form(tmp_path)
    fill(path, TRUE)
    found = judged(path)
    assert (found.exit_status, found.data["verdict"]) == (0, "use")
    assert set(found.data) == KEYS
    assert found.words.startswith("USE: ")


def test_a_stretched_sheet_is_to_be_printed_again_with_two_numbers(tmp_path: Path):
    path = form(tmp_path, printer=Printer(1.002, 0.999))
    fill(path, (1.006, 0.995, 0.05))
    found = judged(path)
    assert (found.exit_status, found.data["verdict"]) == (1, "reprint")
    assert found.data["scale"]["x"] == pytest.approx(1.006, abs=1e-4)
    assert found.data["compensation"]["x"] == pytest.approx(1.002 * 1.006, abs=2e-4)
    assert found.data["compensation"]["y"] == pytest.approx(0.999 * 0.995, abs=2e-4)
    assert "printer: {x: 1.00" in found.words and "x is along the roll" in found.words


def test_tiles_that_stand_upright_have_the_drawings_x_along_the_papers_y(tmp_path: Path):
    path = form(tmp_path, medium="300x200")
    fill(path, (1.006, 0.995, 0.0))
    level = judged(path).data["compensation"]
    text = path.read_text()
    turned = "turned: true" in text
    said = ["turned: false", "turned: true"]
    path.write_text(text.replace(said[turned], said[not turned]))
    other = judged(path).data["compensation"]
    assert (level["x"], level["y"]) == pytest.approx((other["y"], other["x"]))
    assert (level["y"] if turned else level["x"]) == pytest.approx(1.006, abs=2e-4)


def test_heading_left_the_axes_are_the_papers(tmp_path: Path):
    path = form(tmp_path, LEFT)
    fill(path, (1.004, 0.997, 0.2), mirrored=True)
    assert judged(path).data["scale"]["skew"] == pytest.approx(0.2, abs=0.01)


def test_a_misread_distance_is_named_in_data_and_words(tmp_path: Path):
    path = form(tmp_path)
    fill(path, TRUE, D=12.0)
    found = judged(path)
    assert found.exit_status == 0
    (suspect,) = found.data["suspects"]
    assert (suspect["from"], suspect["to"]) == ("bb", "head_tube_top")
    assert suspect["measured"] - suspect["expected"] == pytest.approx(12.0, abs=0.05)
    assert "D BB to head tube top" in found.words


def test_skew_alone_offers_no_numbers(tmp_path: Path):
    path = form(tmp_path)
    fill(path, (1.0, 1.0, 0.3))
    found = judged(path)
    assert (found.exit_status, found.data["verdict"]) == (1, "reprint")
    assert found.data["compensation"] == {"x": None, "y": None}
    assert "skewed" in found.words and "so none is offered" in found.words


def test_an_empty_form_tells_nothing(tmp_path: Path):
    found = judged(form(tmp_path))
    assert (found.exit_status, found.data["verdict"]) == (1, "undetermined")
    assert found.data["scale"] == {"x": None, "y": None, "skew": None}
    assert "No reading is filled in." in found.words


def test_missing_readings_are_fine_while_the_rest_tells(tmp_path: Path):
    path = form(tmp_path)
    fill(path, TRUE)
    lines = path.read_text().splitlines()
    kept = [line for line in lines if not any(f"# {letter} " in line for letter in "BIL")]
    assert len(kept) == len(lines) - 3
    path.write_text("\n".join(kept))
    assert judged(path).exit_status == 0


def test_the_specs_tape_is_the_readings_uncertainty(tmp_path: Path):
    path = form(tmp_path)
    fill(path, TRUE)
    at_half = judged(path).data["uncertainty"]["x"]
    (tmp_path / "frame.yaml").write_text(SPEC + "tolerance: {instruments: {tape: 0.25}}\n")
    assert judged(path).data["uncertainty"]["x"] == pytest.approx(at_half / 2)
    path.write_text(path.read_text().replace("}   #", ", uncertainty: 1.0}   #"))
    assert judged(path).data["uncertainty"]["x"] == pytest.approx(at_half * 2)


def test_every_row_at_fault_is_told_with_its_line(tmp_path: Path):
    (tmp_path / "frame.yaml").write_text(SPEC)
    path = tmp_path / "r.yaml"
    path.write_text(
        "readings:\n"
        "- {from: bb, to: front_axel, measured: 605}\n"
        "- {dimension: head_angle, measured: 72}\n"
        "- {from: bb, to: seat_tube_foot, measured: 1}\n"
        "- {from: bb, to: rear_axle, measured: 0}\n"
    )
    with pytest.raises(SpecError) as caught:
        tape(tmp_path / "frame.yaml", path)
    faults = caught.value.faults
    assert [(f.file, f.line, f.key, f.code) for f in faults] == [
        (str(path), 2, "readings.0.to", "unknown_key"),
        (str(path), 3, "readings.1.dimension", "type"),
        (str(path), 4, "readings.2.to", "range"),
        (str(path), 5, "readings.3.measured", "range"),
    ]
    assert "Did you mean front_axle?" in faults[0].message
    assert "`layout inspect`" in faults[1].message


def test_a_slip_in_one_row_does_not_hide_an_unknown_point_in_the_next(tmp_path: Path):
    (tmp_path / "frame.yaml").write_text(SPEC)
    path = tmp_path / "r.yaml"
    path.write_text(
        "readings:\n"
        "- {from: bb, to: rear_axel, measured: 430,5}\n"
        "- {from: bb, to: front_axel, measured: 605}\n"
        "- {from: bb, measured: 605}\n"
        "- {from: bb, to: rear_axle, measured: 0}\n"
        "- {from: bb, to: rear_axle, measured: 425}\n"
    )
    with pytest.raises(SpecError) as caught:
        tape(tmp_path / "frame.yaml", path)
    told = [str(f) for f in caught.value.faults]
    assert [(f.line, f.key) for f in caught.value.faults] == [
        (2, "readings.0.5"), (2, "readings.0.to"), (3, "readings.1.to"), (4, "readings.2"),
        (5, "readings.3.measured"),
    ]  # fmt: skip
    assert "is not a key of reading 1. " in told[0] and "decimal comma" in told[0]
    assert told[2].startswith(f"{path}:3: reading 2, to: is 'front_axel', not a point of this frame")
    assert told[3].startswith(f"{path}:4: reading 3: is not one reading")


def test_the_form_lists_at_least_eight_distances_along_across_and_diagonal(tmp_path: Path):
    path = form(tmp_path)
    points = solve(load(tmp_path / "frame.yaml")).plane.points
    steep = {"along": 0, "across": 0, "diagonal": 0}
    for line in path.read_text().splitlines():
        if "from:" not in line:
            continue
        words = line.replace(",", " ").split()
        a, b = (points[words[words.index(key) + 1]] for key in ("{from:", "to:"))
        angle = math.degrees(math.atan2(abs(b[1] - a[1]), abs(b[0] - a[0])))
        assert math.dist(a, b) > 250
        assert float(words[-1]) == pytest.approx(math.dist(a, b), abs=0.0501)
        steep["along" if angle < 20 else "across" if angle > 55 else "diagonal"] += 1
    assert sum(steep.values()) >= 8 and min(steep.values()) >= 2


def test_a_sheet_drawn_before_the_spec_changed_is_not_judged_by_it(tmp_path: Path):
    """A true print of front centre 605 was to be printed again once the spec said 606.5."""
    path = form(tmp_path)
    fill(path, TRUE)
    spec = tmp_path / "frame.yaml"
    spec.write_text(spec.read_text().replace("front_centre: 605", "front_centre: 606.5"))
    with pytest.raises(SpecError, match="this sheet was drawn from other numbers") as caught:
        judged(path)
    (fault,) = caught.value.faults
    assert (fault.key, fault.line) == ("sheet.frame", path.read_text().splitlines().index(
        next(x for x in path.read_text().splitlines() if x.startswith("sheet:"))) + 1)  # fmt: skip


def test_a_form_that_does_not_say_which_frame_is_judged(tmp_path: Path):
    path = form(tmp_path)
    fill(path, TRUE)
    path.write_text(re.sub(r', frame: "[0-9a-f]{8}"', "", path.read_text()))
    assert judged(path).data["verdict"] == "use"


def test_a_page_that_the_dialogue_scaled_is_told_from_a_printers_error(tmp_path: Path):
    path = form(tmp_path)
    fill(path, (0.97, 0.97, 0.0))
    found = judged(path)
    said = "REPRINT: do not use the sheet. It printed at 97.0 % along x, 97.0 % along y."
    assert found.words.startswith(said)
    assert "Print it again at 100 %" in found.words
    assert found.data["compensation"]["x"] == pytest.approx(0.97, abs=2e-4)


def test_files_in_the_wrong_order_are_told_as_that(tmp_path: Path):
    path = form(tmp_path)
    with pytest.raises(SpecError, match="this is a readings file, not a spec"):
        tape(path, tmp_path / "frame.yaml")
    with pytest.raises(SpecError, match="this is a spec, not a readings file"):
        tape(tmp_path / "frame.yaml", tmp_path / "frame.yaml")

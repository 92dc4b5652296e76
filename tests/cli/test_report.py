"""The terminal's tables: marks in words, weight only where a terminal wants it, nothing cut."""

from __future__ import annotations

import io
import math
import re

import pytest

from layout.errors import Notice
from layout.frame.plane import jig_tolerances, tolerances
from layout.frame.solve import Frame, solve
from layout.report.tables import drawn_report, frame_json, frame_report, tolerance_report, tolerance_reports
from layout.report.written import FileWritten
from layout.spec.load import loads

SPEC = """\
job: {title: A frame, number: 7}
geometry:
  bb_drop: 70
  rear_centre: 425
  front_centre: 605
  head_angle: 72
  seat_angle: 73
  head_tube_length: 150
fork: {axle_to_crown: 395, offset: 45}
"""
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")


class Terminal(io.StringIO):
    """A stdout that says it is a terminal."""

    encoding = "utf-8"  # type: ignore[assignment]

    def isatty(self) -> bool:
        return True


@pytest.fixture
def frame() -> Frame:
    return solve(loads(SPEC))


def test_piped_text_has_no_escape_codes(frame: Frame) -> None:
    assert "\x1b" not in frame_report(frame)


def test_a_terminal_gets_weight_beside_the_word(frame: Frame, monkeypatch: pytest.MonkeyPatch) -> None:
    piped = frame_report(frame)
    monkeypatch.setattr("sys.stdout", Terminal())
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    shown = frame_report(frame)
    assert ESCAPE.sub("", shown).replace("─", "-") == piped.replace("─", "-")
    styled = [line for line in shown.splitlines() if "\x1b" in line]
    assert styled
    for line in styled:
        assert line.startswith(("\x1b[1m", "\x1b[2m"))
        assert line.endswith("\x1b[0m")
        assert ESCAPE.sub("", line).split()[-1] == ("given" if line.startswith("\x1b[1m") else "default")


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_no_color_and_dumb_terminals_get_plain_text(
    frame: Frame, monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    monkeypatch.setattr("sys.stdout", Terminal())
    monkeypatch.setenv(name, value)
    assert "\x1b" not in frame_report(frame)


def test_a_narrow_terminal_cuts_nothing(frame: Frame, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    out = frame_report(frame)
    assert "front_centre_horizontal    600.9   mm     calculated" in out
    assert "…" not in out


def test_columns_line_up(frame: Frame) -> None:
    lines = frame_report(frame).splitlines()
    begin = next(n for n, line in enumerate(lines) if line.startswith("dimension"))
    at = lines[begin].index("unit")
    for line in lines[begin + 2 : begin + 40]:
        assert line[at - 1] == " "
        assert line[at : at + 3].strip() in ("mm", "deg")


def test_warnings_follow_the_table(frame: Frame) -> None:
    out = frame_report(frame)
    assert frame.plane.warnings
    for warning in frame.plane.warnings:
        assert f"\nwarning: {warning.message}\n" in out


def test_json_is_the_frame_itself(frame: Frame) -> None:
    found = frame_json(frame)
    assert found["dimensions"]["head_angle"] == frame.plane.dimensions["head_angle"]
    first = frame.plane.warnings[0]
    assert found["warnings"][0] == {"code": first.code, "message": first.message}


def test_the_closing_summary_names_files_sheets_and_warnings() -> None:
    files = [
        FileWritten("out/a.dxf", "dxf", None, None, "drawing"),
        FileWritten("out/a-a4-tiles.pdf", "pdf", "a4", None, "tiles", (297.0, 210.0), 27),
    ]
    found = (Notice("x", "look here"), Notice("points_left_out", "not on it: saddle"))
    out = drawn_report(files, [f"{w.kind}: a.yaml: {w.message}" for w in found])
    assert "out/a.dxf" in out
    row = next(line for line in out.splitlines() if "tiles" in line)
    assert row.split() == ["out/a-a4-tiles.pdf", "tiles", "a4", "297", "x", "210", "27"]
    assert out.endswith("\nwarning: a.yaml: look here\nnote: a.yaml: not on it: saddle\n")


def test_the_tolerance_table_names_the_chief_causes_with_their_sign() -> None:
    out = tolerance_report(tolerances(loads(SPEC)))
    assert "one standard deviation: lengths 0.5 mm, angles 0.15 deg." in out
    rows = {line.split()[0]: line for line in out.splitlines() if line}
    assert rows["head_angle"].split()[1:] == ["0.150", "deg", "head_angle", "+0.150"]
    assert rows["bb_height"].split()[1:] == ["0.50", "mm", "bb_drop", "-0.50"]
    angle = 0.15 * math.pi / 180 * 348.0 / math.sin(math.radians(72.0)) ** 2
    offset = 45.0 * math.cos(math.radians(72.0)) / math.sin(math.radians(72.0)) ** 2 * 0.15 * math.pi / 180
    assert f"head_angle {-(angle - offset):.2f}" in rows["trail"]
    assert "seat_tube_offset" not in rows
    assert rows["stack"].rstrip().endswith("smaller") == (rows["stack"].count(",") == 4)


def test_tolerances_of_a_table_and_its_json_agree() -> None:
    moved = tolerances(loads(SPEC + "tolerance: {instruments: {stop: 1.0, gauge: 0.3}}\n"))
    assert moved.errors["rear_centre"] == 1.0
    assert moved.errors["head_angle"] == 0.3
    told = frame_json(solve(loads(SPEC)), moved)["tolerances"]
    assert set(told) == {"errors", "effects", "combined"}
    assert told["combined"]["rear_centre"] == pytest.approx(1.0)
    assert "tolerances" not in frame_json(solve(loads(SPEC)))


def test_an_error_twice_as_large_moves_twice_as_far() -> None:
    small = tolerances(loads(SPEC)).combined
    large = tolerances(loads(SPEC + "tolerance: {instruments: {stop: 1.0, gauge: 0.3}}\n")).combined
    for name, value in small.items():
        assert large[name] == pytest.approx(2 * value, abs=1e-12), name


def test_the_table_foretells_what_a_moved_stop_does() -> None:
    moved = tolerances(loads(SPEC)).effects["front_centre"]
    before = solve(loads(SPEC)).plane.dimensions
    after = solve(loads(SPEC.replace("605", "605.5"))).plane.dimensions
    for name in ("wheelbase", "reach", "trail", "stack", "bb_drop"):
        assert (after[name] or 0.0) - (before[name] or 0.0) == pytest.approx(moved[name], abs=2e-4), name


RIDER_SET = """
geometry: {bb_drop: 70, rear_centre: 425, stack: 560, reach: 385, trail: 60, head_angle: 72, seat_angle: 73}
fork: {axle_to_crown: 395}
"""


def test_a_rider_s_set_is_shown_at_the_jigs_own_settings() -> None:
    """With stack, reach and trail given, the table told what an error of the stack does: no jig has such."""
    spec = loads(RIDER_SET)
    at_jig, of_given = jig_tolerances(spec), tolerances(spec)
    settings = ["bb_drop", "rear_centre", "front_centre", "head_angle", "seat_angle", "head_tube_height"]
    assert list(at_jig.errors) == settings
    assert at_jig.errors["head_tube_height"] == 0.5
    assert at_jig.effects["bb_drop"]["bb_height"] == pytest.approx(-0.5)
    head, up = math.radians(72.0), at_jig.effects["head_tube_height"]
    assert (up["stack"], up["reach"]) == pytest.approx((0.5 * math.sin(head), -0.5 * math.cos(head)))
    assert at_jig.combined["stack"] > 0.0 and of_given.combined["stack"] == pytest.approx(0.5)
    said = tolerance_reports(at_jig, of_given)
    assert "When the jig is set." in said and "When the given numbers are set or measured instead." in said


def test_a_spec_of_jig_settings_has_one_table() -> None:
    spec = loads(SPEC)
    said = tolerance_reports(jig_tolerances(spec), tolerances(spec))
    assert said.count("one standard deviation") == 1


def test_tolerances_of_every_demo_are_shown(demo_frame: Frame) -> None:
    """A wheel given by its marking is held to nothing at all, and the table failed on the division."""
    said = tolerance_reports(jig_tolerances(demo_frame.spec), tolerances(demo_frame.spec))
    assert "nan" not in said and "inf" not in said

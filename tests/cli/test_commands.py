"""The commands as people and scripts meet them: text, JSON, messages and exit status."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from layout.cli.commands import run
from layout.geometry.dimensions import REGISTRY
from layout.sheets.media import MEDIA
from layout.spec.load import load
from layout.spec.schema import schema_text

EIGHT = """\
geometry:
  bb_drop: 70
  rear_centre: 425
  front_centre: 605
  head_angle: 72
  seat_angle: 73
  head_tube_length: 150
fork: {axle_to_crown: 395, offset: 45}
"""
POINTS = {
    *("bb", "rear_axle", "front_axle", "fork_foot", "crown_race", "head_tube_bottom", "head_tube_top"),
    *("seat_tube_foot", "seat_tube_top", "top_tube_at_head", "top_tube_at_seat", "down_tube_at_head"),
    *("down_tube_at_bb", "rear_contact", "front_contact"),
}


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    path = tmp_path / "frame.yaml"
    path.write_text(EIGHT)
    return path


def test_solve_json_has_the_keys_of_the_contract(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["solve", str(spec), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    keys = ["dimensions", "points", "given", "defaults", "residuals", "sagged", "mark", "warnings"]
    assert list(found) == keys
    assert set(found["dimensions"]) == set(REGISTRY)
    assert set(found["points"]) == POINTS
    assert found["given"] == [
        *("bb_drop", "rear_centre", "front_centre", "head_angle", "seat_angle", "head_tube_length"),
        *("axle_to_crown", "fork_offset"),
    ]
    assert found["defaults"]["tubes.top_tube.diameter"] == 28.6
    assert found["defaults"]["wheels.rear"] == found["defaults"]["wheels.front"] == 348.0
    assert found["defaults"]["headset.lower_stack"] == 12.0
    assert (found["residuals"], found["sagged"]) == ({}, None)
    assert all(set(w) == {"code", "message"} for w in found["warnings"])
    assert found["dimensions"]["saddle_height"] is None


def test_solve_json_is_in_full_precision(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["solve", str(spec), "--json"])
    found = json.loads(capsys.readouterr().out)
    x, y = found["points"]["rear_axle"]
    assert abs((x * x + y * y) ** 0.5 - 425.0) < 1e-9


def test_solve_text_marks_given_found_and_default_in_words(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["solve", str(spec)]) == 0
    out = capsys.readouterr().out
    rows = {line.split()[0]: line.split()[1:] for line in out.splitlines() if len(line.split()) >= 4}
    assert rows["head_angle"] == ["72.00", "deg", "given"]
    assert rows["lower_stack"] == ["12.0", "mm", "default"]
    assert rows["trail"][2:] == ["calculated", "wheels.rear"]
    assert rows["wheelbase"][2:] == ["calculated"]
    assert next(line.split() for line in out.splitlines() if line.startswith("chain_stay")) == [
        *("chain_stay", "22.2", "to", "14.0", "mm", "default")
    ]
    assert "\x1b" not in out
    assert "saddle_height" in out.split("Not calculated")[1]


def test_solve_text_shows_sag_and_residuals(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "over.yaml"
    path.write_text(
        EIGHT.replace("offset: 45", "offset: 45, sag: 20")
        + "wheels: {front: 37-622, rear: 37-622}\nheadset: {lower_stack: 12}\n"
    )
    path.write_text(path.read_text().replace("geometry:\n", "geometry:\n  bb_height: 278.1\n"))
    assert run(["solve", str(path)]) == 0
    out = capsys.readouterr().out
    header = next(line for line in out.splitlines() if line.startswith("dimension"))
    words = "dimension value unit origin at rest given minus fitted"
    assert header.split() == words.split()


def test_solve_adds_tolerances_where_asked(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["solve", str(spec), "--tolerances", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["tolerances"]["errors"]["bb_drop"] == 0.5
    assert run(["solve", str(spec), "--tolerances"]) == 0
    assert "changes most with" in capsys.readouterr().out


def test_a_faulty_spec_gives_messages_and_errors_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("geometry:\n  head_angle: 99\n  seat_angel: 73\n")
    assert run(["solve", str(path), "--json"]) == 2
    told = capsys.readouterr()
    errors = json.loads(told.out)["errors"]
    assert [(e["file"], e["line"], e["key"], e["code"]) for e in errors] == [
        (str(path), 2, "geometry.head_angle", "range"),
        (str(path), 3, "geometry.seat_angel", "unknown_key"),
    ]
    assert all(list(e) == ["file", "line", "key", "code", "message", "free", "conflict"] for e in errors)
    lines = told.err.splitlines()
    assert lines[0].startswith(f"{path}:2: geometry.head_angle: is 99; expected 45 to 90 degrees")
    assert lines[1].startswith(f"{path}:3: geometry.seat_angel: is not a key")
    assert len(lines) == 2


def test_without_json_a_fault_leaves_stdout_empty(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "empty.yaml"
    path.write_text("")
    assert run(["solve", str(path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(f"{path}: the file holds no spec")


def test_too_few_numbers_are_placed_at_the_geometry_block(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "few.yaml"
    path.write_text("job: {title: Few}\ngeometry:\n  head_angle: 72\n")
    assert run(["solve", str(path), "--json"]) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    assert (error["file"], error["line"], error["code"]) == (str(path), 2, "insufficient")


def test_contradictory_numbers_are_placed_at_one_of_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "against.yaml"
    path.write_text(
        EIGHT.replace("geometry:\n", "geometry:\n  bb_height: 300\n")
        + "wheels: {front: 37-622, rear: 37-622}\n"
    )
    assert run(["solve", str(path), "--json"]) == 2
    errors = json.loads(capsys.readouterr().out)["errors"]
    assert {e["code"] for e in errors} == {"contradictory"}
    assert errors[0]["key"] in ("geometry.bb_height", "geometry.bb_drop", "wheels.rear")
    assert errors[0]["conflict"]


USAGE = [
    (["bogus"], "No such command"),
    (["solve"], "Missing argument"),
    (["solve", "a.yaml", "--bogus"], "No such option"),
    (["draw"], "Missing argument"),
    (["draw", "a.yaml", "--jobs", "many"], "--jobs"),
]


@pytest.mark.parametrize(("arguments", "words"), USAGE)
def test_a_wrong_command_line_is_two_and_says_where_help_is(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert words in told.err
    assert re.search(r"\. Type `layout.* --help`\.$", told.err.strip())
    assert len(told.err.splitlines()) == 1


def test_a_wrong_command_line_with_json_is_errors_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["solve", "--json"]) == 2
    (error,) = json.loads(capsys.readouterr().out)["errors"]
    assert (error["file"], error["line"], error["key"]) == (None, None, None)
    assert "SPEC" in error["message"]


def test_an_unknown_medium_and_format_are_told_together(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    arguments = ["draw", str(spec), "--out", str(out), "--media", "a9", "--format", "gif", "--json"]
    assert run(arguments) == 2
    errors = json.loads(capsys.readouterr().out)["errors"]
    assert [e["code"] for e in errors] == ["media", "media"]
    assert not out.exists()


COMMANDS = [
    "new", "schema", "terms", "media", "solve", "draw", "calibrate", "tape",
    "watch", "mitres", "setup", "plates", "inspect", "compare",
]  # fmt: skip


def test_only_commands_that_exist_are_offered(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--help"]) == 0
    out = capsys.readouterr().out
    listed = out.split("Commands:")[1].splitlines()
    assert [line.split()[0] for line in listed if line.strip()] == COMMANDS
    assert "completion" not in out
    assert run([]) == 0
    assert capsys.readouterr().out == out


def test_new_writes_a_spec_that_solves_and_never_overwrites(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "first.yaml"
    assert run(["new", str(path)]) == 0
    assert str(path) in capsys.readouterr().out
    written = path.read_text()
    assert run(["solve", str(path)]) == 0
    capsys.readouterr()
    assert run(["new", str(path)]) == 2
    assert "already" in capsys.readouterr().err
    assert path.read_text() == written


def test_new_into_a_folder_that_is_not_there_is_three(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["new", str(tmp_path / "no" / "where.yaml")]) == 3
    assert "cannot be written" in capsys.readouterr().err


def test_schema_and_media_print_their_tables(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema"]) == 0
    assert capsys.readouterr().out == schema_text()
    assert run(["media"]) == 0
    out = capsys.readouterr().out
    for medium in MEDIA:
        assert f"\n{medium.name} " in out
    assert "210 x 297" in out


def test_a_file_that_may_not_be_read_is_said(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spec.chmod(0)
    if os.access(spec, os.R_OK):
        spec.unlink()
        spec.symlink_to(spec.name)
    assert run(["solve", str(spec)]) == 2
    message = capsys.readouterr().err
    assert message.startswith(f"{spec}: ")
    assert "may not be read" in message or "symbolic links" in message


def layout(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from layout.cli import main; main()", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)  # type: ignore[call-overload, no-any-return]


def test_a_reader_that_has_gone_gets_no_traceback() -> None:
    command = f"{sys.executable} -c 'from layout.cli import main; main()' media"
    piped = subprocess.run(
        ["bash", "-c", f"set -o pipefail; {{ {command}; echo status $? >&2; }} | true"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in piped.stderr
    assert "Exception" not in piped.stderr
    assert piped.stderr.splitlines()[-1] in ("status 0", "status 3")


@pytest.mark.parametrize("arguments", [("media",), ("--help",), ("schema",)])
def test_a_full_disk_under_stdout_is_three(arguments: tuple[str, ...]) -> None:
    with open("/dev/full", "w") as full:
        command = [sys.executable, "-c", "from layout.cli import main; main()", *arguments]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
    assert "cannot be written" in done.stderr


def test_a_closed_stdout_is_no_traceback(spec: Path) -> None:
    command = f"{sys.executable} -c 'from layout.cli import main; main()' solve {spec} >&-"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    assert done.returncode == 3


def test_a_terminal_without_utf8_still_gets_its_table(tmp_path: Path) -> None:
    path = tmp_path / "frame.yaml"
    path.write_text(EIGHT + "job: {title: Gefährt}\n", encoding="utf-8")
    done = layout("solve", str(path), env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert done.stdout.splitlines()[0] == "Gef\\xe4hrt"
    assert "-----" in done.stdout


def test_help_and_spec_errors_load_no_writer(tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("geometry: {head_angle: 99}\n")
    probe = (
        "import sys\nfrom layout.cli.commands import run\nstatus = run(sys.argv[1:])\n"
        "heavy = {'ezdxf', 'svgwrite', 'pikepdf', 'fontTools', 'lxml', 'PIL'} & set(sys.modules)\n"
        "print('heavy', sorted(heavy), 'numpy' in sys.modules, status, file=sys.stderr)\n"
    )
    for arguments, status in ((["--help"], 0), (["draw", "--help"], 0), (["solve", str(path)], 2)):
        done = subprocess.run(
            [sys.executable, "-c", probe, *arguments], capture_output=True, text=True, check=False
        )
        words = done.stderr.splitlines()[-1].split()
        assert words[:2] == ["heavy", "[]"]
        assert words[3] == str(status)
        if status == 0:
            assert words[2] == "False"


def test_a_medium_that_cannot_be_tiled_leaves_nothing_of_the_others(
    spec: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    profile = tmp_path / "printer.yaml"
    profile.write_text("printer: {x: 0.951, y: 1.049, margins: 25}\n")
    media = ["--media", "roll-1067", "--media", "200x200"]
    assert run(["draw", str(spec), "--out", str(out), *media, "--printer", str(profile)]) == 2
    assert "too small" in capsys.readouterr().err
    assert not out.exists()


def test_a_spec_that_is_a_link_to_itself_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    loop = tmp_path / "loop.yaml"
    loop.symlink_to(loop)
    for command in ("solve", "draw", "setup", "mitres", "plates"):
        assert run([command, str(loop)]) == 2
        assert str(loop) in capsys.readouterr().err


def test_draw_reads_the_printer_from_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, out = tmp_path / "printer.yaml", tmp_path / "out"
    path.write_text("printer: {x: 1.002, y: 0.999}\nmedia: [roll-1067]\n")
    frame = Path(__file__).parents[2] / "specs" / "track.yaml"
    order = ["draw", str(frame), "--media", "roll-1067", "--format", "svg", "--out", str(out)]
    assert run([*order, "--printer", str(path)]) == 0
    assert "compensated for a printer of x 1.0020, y 0.9990" in (out / "track-roll-1067.svg").read_text()
    path.write_text("job: {title: none}\n")
    capsys.readouterr()
    assert run([*order, "--printer", str(path)]) == 2
    assert f"{path}:1: printer: is missing" in capsys.readouterr().err


def test_the_committed_demo_frames_solve_from_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    specs = Path(__file__).parents[2] / "specs"
    assert load(specs / "all-road.yaml").spec.job.title == "All-road frame"
    assert run(["solve", str(specs / "all-road.yaml"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["points"]["saddle"]


def test_numbers_that_make_no_frame_are_shown_with_those_at_odds_marked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "frame.yaml"
    numbers = "bb_drop: 70, rear_centre: 425, head_angle: 72, seat_angle: 73"
    rest = "fork: {axle_to_crown: 395, offset: 45}\nwheels: {front: 37-622, rear: 37-622}\n"
    more = "front_centre: 605, head_tube_length: 150, wheelbase: 1010"
    path.write_text(f"geometry: {{{numbers}, {more}}}\n{rest}")
    assert run(["solve", str(path)]) == 2
    rows = {line.split()[0]: line for line in capsys.readouterr().out.splitlines() if line.strip()}
    assert "contradicts" in rows["wheelbase"] and "1020.0" in rows["wheelbase"]
    assert "contradicts" not in rows["head_angle"]
    path.write_text(f"geometry: {{{numbers}}}\n{rest}")
    assert run(["solve", str(path)]) == 2
    told = capsys.readouterr()
    free = [line for line in told.out.splitlines() if line.startswith("missing")]
    assert len(free) == 2 and "front_centre" in free[0] + free[1]
    assert "too few numbers" in told.err


def test_the_package_runs_as_a_module(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-m", "layout", "media"], capture_output=True, text=True)
    assert done.returncode == 0
    assert "roll-914" in done.stdout

"""draw as a job: which files an order gives, what they are called, what is said, what is refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from layout.errors import SheetError, WriteError
from layout.frame.solve import Frame, solve
from layout.pipeline.draw import draw
from layout.pipeline.order import Order, check_order
from layout.sheets.media import MEDIA, Printer
from layout.spec.load import load
from tests.conftest import Drawn

SPECS = Path(__file__).parents[2] / "specs"


def names(written) -> list[str]:
    return [Path(f.path).name for f in written.files]


def test_without_options_it_writes_dxf_a_roll_and_tiles(demo_name: str, drawn: Callable[[str], Drawn]):
    written, folder = drawn(demo_name).written, drawn(demo_name).folder
    roll = next(f.media for f in written.files if f.media and f.media.startswith("roll-"))
    assert sorted(names(written)) == sorted(
        [
            "frame.dxf",
            "frame-sheets.dxf",
            f"frame-{roll}.pdf",
            f"frame-{roll}.svg",
            f"frame-{roll}-readings.yaml",
            "frame-a4-tiles.pdf",
            "frame-a4-readings.yaml",
        ]
    )
    assert sorted(p.name for p in folder.iterdir()) == sorted(names(written))
    assert {(f.format, f.kind) for f in written.files} >= {
        ("dxf", "drawing"),
        ("svg", "drawing"),
        ("pdf", "drawing"),
        ("pdf", "tiles"),
        ("yaml", "readings"),
    }


def test_media_and_formats_are_taken_in_any_case(some_frame: Frame, tmp_path: Path):
    written = draw(some_frame, "frame", tmp_path, Order(("ROLL-1067",), ("PDF",)))
    assert names(written) == ["frame-roll-1067.pdf", "frame-roll-1067-readings.yaml"]


def test_tiles_as_svg_are_one_file_a_page(some_frame: Frame, tmp_path: Path):
    written = draw(some_frame, "frame", tmp_path, Order(("a3",), ("svg",)))
    *tiles, form = written.files
    sheets = [f.sheet for f in tiles]
    assert len(sheets) == len(set(sheets)) > 4
    assert all((f.kind, f.format) == ("tiles", "svg") for f in tiles)
    assert (form.kind, form.format, form.sheet) == ("readings", "yaml", None)


def test_what_does_not_exist_is_named_all_in_one_go(some_frame: Frame, tmp_path: Path):
    with pytest.raises(SheetError) as caught:
        check_order(Order(("a5x", "roll-914", "b0"), ("pdf", "dwg")))
    assert [f.code for f in caught.value.faults] == ["media"] * 3
    assert "'dwg'" in str(caught.value) and "dxf, svg, pdf" in str(caught.value)


def test_a_roll_too_narrow_says_what_is_missing_and_what_would_do(some_frame: Frame, tmp_path: Path):
    with pytest.raises(SheetError) as caught:
        draw(some_frame, "frame", tmp_path, Order(("roll-610",)))
    message = str(caught.value)
    assert "mm too narrow" in message and "roll-" in message.split(". Use ", 1)[1]
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_a_write_error(some_frame: Frame, tmp_path: Path):
    (tmp_path / "file").write_text("")
    with pytest.raises(WriteError) as caught:
        draw(some_frame, "frame", tmp_path / "file" / "out", Order())
    assert caught.value.exit_status == 3


def test_points_without_room_are_listed(demo_frame: Frame, tmp_path: Path):
    frame = replace(demo_frame, wheels_shown="arcs")
    notices = draw(frame, "frame", tmp_path, Order(formats=("pdf",))).warnings
    left = [n.message for n in notices if n.code == "points_left_out"]
    assert left and all("rear contact" in m and "front contact" in m for m in left)


def test_whole_wheels_asked_for_are_on_the_sheet(demo_frame: Frame, tmp_path: Path):
    frame = replace(demo_frame, wheels_shown="whole")
    notices = draw(frame, "frame", tmp_path, Order(("roll-1200",), ("pdf",))).warnings
    assert not [n for n in notices if n.code == "points_left_out"]


@pytest.mark.parametrize(("name", "held"), [("tourer", False), ("track", True)])
def test_whole_wheels_that_a_roll_cuts_are_told_with_a_roll_that_holds_them(
    name: str, held: bool, tmp_path: Path
):
    """roll-1093 was offered, which nobody has."""
    frame = replace(solve(load(SPECS / f"{name}.yaml")), wheels_shown="whole")
    notices = draw(frame, "frame", tmp_path, Order(("roll-914",), ("pdf",))).warnings
    (said,) = [n.message for n in notices if n.code == "wheels_cut"]
    wider = re.search(r"Use (roll-\d+), which holds them", said)
    assert (wider is not None) == held
    assert wider or "No roll of the table holds them: write drawing: {wheels: arcs}." in said
    if wider:
        assert wider[1] in {m.name for m in MEDIA}
        notices = draw(frame, "frame", tmp_path, Order((wider[1],), ("pdf",))).warnings
        assert not {"wheels_cut", "points_left_out"} & {n.code for n in notices}


def test_where_no_wheels_are_drawn_none_are_said_to_be_cut(tmp_path: Path):
    frame = replace(solve(load(SPECS / "all-road.yaml")), wheels_shown="none")
    notices = draw(frame, "frame", tmp_path, Order(("roll-914",), ("pdf",))).warnings
    assert not any("wheels" in n.message for n in notices)


def test_a_letter_the_alphabet_lacks_is_named(some_frame: Frame, tmp_path: Path):
    frame = replace(some_frame, job=some_frame.job._replace(rider="\u6797"))
    notices = draw(frame, "frame", tmp_path, Order(formats=("dxf",))).warnings
    assert [n for n in notices if n.code == "lettering" and "\u6797" in n.message]


def test_two_runs_give_the_same_bytes(
    demo_name: str, demo_frame: Frame, drawn: Callable[[str], Drawn], tmp_path: Path
):
    draw(demo_frame, "frame", tmp_path, Order())
    assert_same_files(drawn(demo_name).folder, tmp_path)


def test_two_runs_for_one_printer_give_the_same_bytes(some_frame: Frame, tmp_path: Path):
    for folder in ("a", "b"):
        draw(some_frame, "frame", tmp_path / folder, Order(printer=Printer(1.002, 0.998)))
    assert_same_files(tmp_path / "a", tmp_path / "b")


def assert_same_files(first: Path, second: Path) -> None:
    assert len(list(first.iterdir())) >= 4
    for path in first.iterdir():
        assert path.read_bytes() == (second / path.name).read_bytes(), path.name

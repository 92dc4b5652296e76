"""Files that show other numbers than the spec has now are named, once."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.frame.mark import mark_of, mark_words
from layout.frame.solve import solve
from layout.pipeline.draw import draw_spec
from layout.pipeline.order import Order
from layout.pipeline.stale import stale_notices
from layout.spec.load import load, loads
from layout.spec.readings import FormRow, ReadingKind, form_text

SPEC = "geometry: {bb_drop: 70, rear_centre: 420, front_centre: 600, head_angle: 72, seat_angle: 73}\n"
REST = "  - {kind: boss, tube: seat_tube, at: 200}\n"


def mark(text: str) -> str:
    return mark_of(loads(text).spec)


@pytest.mark.parametrize(
    "more",
    [
        "fork: {axle_to_crown: 395}",
        "wheels: {rear: 40-622}",
        "tubes: {down_tube: {diameter: 38.1}}",
        "fittings:\n  - {kind: boss, tube: seat_tube, at: 200}",
        "drawing: {heading: left}",
        "plates: {thickness: 8}",
        "agreement: {length: 1.5}",
    ],
)
def test_a_number_that_moves_a_line_changes_the_mark(more: str) -> None:
    assert mark(SPEC + more + "\n") != mark(SPEC)


@pytest.mark.parametrize(
    "more",
    [
        "job: {title: Other, notes: other words, revision: B, date: 2026-01-01}",
        "tolerance: {length: 2.0, instruments: {tape: 0.3}}",
        "printer: {x: 1.002}",
        "plates: {material: stainless}",
        "jig: {}",
    ],
)
def test_words_and_tolerances_leave_the_mark_alone(more: str) -> None:
    assert mark(SPEC + more + "\n") == mark(SPEC)


def test_the_order_of_keys_does_not_change_the_mark() -> None:
    other = "{seat_angle: 73, head_angle: 72.0, front_centre: 600, rear_centre: 420.0, bb_drop: 70}"
    other = f"geometry: {other}\n"
    assert mark(other) == mark(SPEC)
    assert len(mark(SPEC)) == 8


def test_fittings_in_another_place_are_another_frame() -> None:
    one, two = (f"{SPEC}fittings:\n{REST.replace('200', at)}" for at in ("200", "201"))
    assert mark(one) != mark(two)


def test_last_months_wider_roll_beside_the_new_one_is_named(tmp_path: Path) -> None:
    """Stack and fork were changed and the sheet drawn again on another roll: the old one is named."""
    text = Path("specs/all-road.yaml").read_text(encoding="utf-8")
    spec, out = tmp_path / "mine.yaml", tmp_path / "out"
    spec.write_text(text, encoding="utf-8")
    first = draw_spec(load(spec), out, Order(("roll-1067",), ("svg", "pdf")))
    assert "stale_files" not in {w.code for w in first.warnings}
    spec.write_text(text.replace("axle_to_crown: 395", "axle_to_crown: 398"), encoding="utf-8")
    second = draw_spec(load(spec), out, Order(("roll-914",), ("svg",)))
    (told,) = (w.message for w in second.warnings if w.code == "stale_files")
    for name in ("mine-roll-1067.svg", "mine-roll-1067.pdf", "mine-roll-1067-readings.yaml"):
        assert name in told
    assert "mine-roll-914.svg" not in told
    frame = solve(load(spec))
    assert mark_words(frame.mark) in (out / "mine-roll-914.svg").read_text(encoding="utf-8")


def test_another_spec_whose_name_begins_alike_is_not_stale(tmp_path: Path) -> None:
    for name in ("mine-2.dxf", "mine-2-roll-914.svg", "minelike.dxf", "mine-to-yours.dxf", "mine.txt"):
        (tmp_path / name).write_text("frame mark 00000000", encoding="utf-8")
    assert stale_notices(tmp_path, "mine", "11111111", ()) == ()


def test_records_and_filled_forms_are_not_called_stale(tmp_path: Path) -> None:
    for name in ("mine-record.json", "mine-record-2.pdf", "mine-a4-readings-1.yaml"):
        (tmp_path / name).write_text('frame mark 00000000 "mark": "00000000"', encoding="utf-8")
    assert stale_notices(tmp_path, "mine", "11111111", ()) == ()
    rows = [FormRow(ReadingKind.DISTANCE, ("bb", "rear_axle"))]
    blank = form_text(["of the frame mine, frame mark 00000000."], rows)
    form = tmp_path / "mine-a4-readings.yaml"
    form.write_text(blank.replace("measured: }", "measured: 421}"), encoding="utf-8")
    assert stale_notices(tmp_path, "mine", "11111111", ()) == ()
    form.write_text(blank, encoding="utf-8")
    (told,) = stale_notices(tmp_path, "mine", "11111111", ())
    assert form.name in told.message
    form.unlink()
    (tmp_path / "mine-setup.json").write_text('{"mark": "00000000"}', encoding="utf-8")
    (told,) = stale_notices(tmp_path, "mine", "11111111", ())
    assert "mine-setup.json" in told.message

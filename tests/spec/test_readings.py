"""READINGS: rows of every kind, forms that read back, every fault in one pass with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import Fault, SpecError
from layout.spec.readings import (
    FormRow,
    PrintedSheet,
    ReadingKind,
    form_text,
    load_readings,
    loads_readings,
)


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(SpecError) as caught:
        loads_readings(text, "r.yaml")
    return caught.value.faults


def test_rows_of_every_kind_are_read():
    read = loads_readings(
        "sheet: {media: roll-914, turned: true, printer: {x: 1.002, y: 0.999}}\n"
        "readings:\n"
        "  - {from: bb, to: front_axle, measured: 612.5}\n"
        "  - {dimension: head_angle, measured: 71.4, uncertainty: 0.1}\n"
        "  - {height: head_tube_top, measured: -0.4}\n"
        "  - {alignment: head_twist, measured: 0.5}\n"
    )
    assert read.sheet == PrintedSheet("roll-914", True, (1.002, 0.999))
    assert [(r.kind, r.names, r.measured, r.uncertainty) for r in read.rows] == [
        (ReadingKind.DISTANCE, ("bb", "front_axle"), 612.5, None),
        (ReadingKind.DIMENSION, ("head_angle",), 71.4, 0.1),
        (ReadingKind.HEIGHT, ("head_tube_top",), -0.4, None),
        (ReadingKind.ALIGNMENT, ("head_twist",), 0.5, None),
    ]
    assert read.place("readings.1.measured") == ("<text>", 4)
    assert read.place("readings.9") == ("<text>", 2)


def test_without_a_sheet_it_was_not_turned_and_not_compensated():
    assert loads_readings("readings: []").sheet == PrintedSheet("", False, (1.0, 1.0))


@pytest.mark.parametrize("empty", ["", " ~", " null"])
def test_an_empty_row_was_not_measured(empty: str):
    (row,) = loads_readings(f"readings:\n- {{from: bb, to: rear_axle, measured:{empty} }}\n").rows
    assert row.measured is None


@pytest.mark.parametrize("bare", ["readings:", "readings: []", "readings: ~"])
def test_no_rows_are_no_fault(bare: str):
    assert loads_readings(bare).rows == ()


WRONG = [
    ("{from: bb, measured: 3}", "readings.0", "type", "expected from and to, or one of dimension"),
    ("{from: bb, to: rear_axle, dimension: trail, measured: 3}", "readings.0", "type", "is not one reading"),
    ("{height: bb, alignment: head_twist}", "readings.0", "type", "is not one reading"),
    ("{measured: 3}", "readings.0", "type", "is not one reading"),
    ("{fron: bb, to: rear_axle}", "readings.0.fron", "unknown_key", "Did you mean from?"),
    ("{from: bb, to: rear_axle, mm: 4}", "readings.0.mm", "unknown_key", "Expected from, to,"),
    ("{alignment: twist, measured: 1}", "readings.0.alignment", "type", "head_twist, dropout_height"),
    ("{from: bb, to: rear_axle, measured: six}", "readings.0.measured", "type", "is 'six'"),
    ("{from: bb, to: rear_axle, measured: 99999}", "readings.0.measured", "range", "-5080 to 5080"),
    ("{from: bb, to: rear_axle, measured: '612'}", "readings.0.measured", "type", "quotation marks"),
    ("{from: bb, to: rear_axle, measured: 612mm}", "readings.0.measured", "type", "Write the number alone"),
    ("{from: bb, to: rear_axle, uncertainty: 0}", "readings.0.uncertainty", "range", "0.001 to 20"),
    ("{from: bb, to: rear_axle, measured: 612,5}", "readings.0.5", "unknown_key", "decimal comma"),
    ("bb", "readings.0", "type", "expected a block of keys"),
]


@pytest.mark.parametrize(("row", "key", "code", "words"), WRONG)
def test_a_wrong_row_says_where_and_what(row: str, key: str, code: str, words: str):
    fault = next(f for f in faults_of(f"readings:\n- {row}\n") if f.key == key)
    assert (fault.file, fault.line, fault.code) == ("r.yaml", 2, code)
    assert words in fault.message


def test_every_fault_is_told_in_one_pass_in_the_order_of_the_file():
    faults = faults_of(
        "sheet: {turned: 5, printer: {x: 2}, paper: a4}\n"
        "readings:\n"
        "- {from: bb, measured: 3}\n"
        "- {dimension: head_angle, measured: no}\n"
        "reading: 5\n"
    )
    assert [(f.line, f.key) for f in faults] == [
        (1, "sheet.turned"),
        (1, "sheet.printer.x"),
        (1, "sheet.paper"),
        (3, "readings.0"),
        (4, "readings.1.measured"),
        (5, "reading"),
    ]


def test_a_row_is_named_as_a_person_counts():
    """The nineteenth row was called readings.18."""
    rows = "- {from: bb, to: rear_axle, measured: 425}\n" * 18
    (fault,) = faults_of(f"readings:\n{rows}- {{from: bb, to: rear_axle, measured: six}}\n")
    assert fault.key == "readings.18.measured"
    assert str(fault).startswith("r.yaml:20: reading 19, measured: is 'six'")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file holds no readings. Write keys such as `readings:`. `layout draw`"),
        ("[1, 2]", "the file holds a list, not keys with values. Write `readings:`"),
        ("readings:\n- {from: bb, from: bb, to: x}", "written twice"),
        ("readings: {", "this line is not YAML"),
        ("readings:5", "this line is not YAML|holds a single text"),
    ],
)
def test_what_is_no_readings_file_is_said(text: str, words: str):
    with pytest.raises(SpecError, match=words):
        loads_readings(text, "r.yaml")


def test_a_missing_file_says_what_writes_one(tmp_path: Path):
    with pytest.raises(SpecError, match=r"no such file\. `layout draw` and `layout setup` write a form"):
        load_readings(tmp_path / "none.yaml")


FORM = [
    FormRow(ReadingKind.DISTANCE, ("bb", "front_axle"), "C  612.0"),
    FormRow(ReadingKind.DISTANCE, ("head_tube_bottom", "top_tube_at_seat")),
    FormRow(ReadingKind.DIMENSION, ("head_angle",), "71.5"),
    FormRow(ReadingKind.ALIGNMENT, ("head_twist",)),
]


def test_a_form_reads_back_with_nothing_measured():
    sheet = PrintedSheet("letter", True, (1.0 / 3 + 0.7, 0.998))
    read = loads_readings(form_text(["What to do"], FORM, sheet))
    assert read.sheet == sheet
    assert [(r.kind, r.names, r.measured) for r in read.rows] == [(f.kind, f.names, None) for f in FORM]


def test_a_form_filled_in_reads_what_was_written():
    text = form_text([], FORM)
    for n, value in enumerate((612.5, 500.0, 71.4, -0.5)):
        text = text.replace("measured: }", f"measured: {value}}}", 1)
        assert loads_readings(text).rows[n].measured == value


def test_words_above_a_form_cannot_become_keys():
    text = form_text(["a title\nreadings: [1]\u2028sheet: {x: 1}", "", "end"], FORM)
    assert [r.names for r in loads_readings(text).rows] == [f.names for f in FORM]
    assert text.startswith("# a title\n# readings: [1]\n# sheet: {x: 1}\n#\n# end\nreadings:\n")


def test_a_character_that_no_file_holds_is_replaced_above_a_form():
    """The name of a spec's file may have any: here a control character and half of a pair."""
    text = form_text(["a\x01b\ud800c"], FORM)
    assert text.startswith("# a\ufffdb\ufffdc\nreadings:\n")
    assert [r.names for r in loads_readings(text).rows] == [f.names for f in FORM]


@pytest.mark.parametrize(
    ("written", "value"),
    [("true", True), ("false", False), ("YES", True), ("no", False), ("'true'", True), ("On", True)],
)
def test_turned_is_true_or_false_in_any_of_yamls_words(written: str, value: bool):
    assert loads_readings(f"sheet: {{turned: {written}}}").sheet.turned is value


@pytest.mark.parametrize("written", ["5", "1", "maybe", "[true]", "90"])
def test_turned_is_nothing_else(written: str):
    (fault,) = faults_of(f"sheet:\n  turned: {written}\n")
    assert (fault.line, fault.key, fault.code) == (2, "sheet.turned", "type")
    assert "expected true or false" in fault.message

"""YAML's own traps: each is met with a clear message, a code and the right line."""

from __future__ import annotations

import json
import os
import threading
import time
from pathlib import Path

import pytest
import yaml

from layout.errors import Fault, SpecError
from layout.spec import tree as tree_module
from layout.spec.load import load, loads
from layout.spec.text import MAX_BYTES, decode
from layout.spec.tree import MAX_VALUES, parse


def fault_of(text: str) -> Fault:
    with pytest.raises(SpecError) as caught:
        loads(text, "frame.yaml")
    return caught.value.faults[0]


NESTED_BOMB = "a: &a [1,1,1,1,1,1,1,1,1,1]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{above}'] * 10)}]\n"
    for above, name in zip("abcdefgh", "bcdefghi", strict=True)
)

SYNTAX = [
    ("geometry:\n\thead_angle: 72\n", 2, "tab"),
    ("geometry:\n  head_angle: 72\n\tseat_angle: 73\n", 3, "tab"),
    ("geometry:\n  head_angle:72\n  seat_angle: 73\n", 2, "no space after the colon"),
    ('job: {title: "open\n}\n', 3, "quotation mark or bracket"),
    ("geometry: {bb_drop: 70, head_angle: 72\njob: {title: x}\n", 2, "bracket is left open"),
    ("job:\n  title: a: b\n", 2, "two colons"),
    ("geometry:\n  bb_drop: 70\n   head_angle: 72\n", 3, "more indent"),
    ("geometry:\n  bb_drop: 70\n head_angle: 72\n", 3, "Align the keys"),
    ("job:\n  title: @home\n", 2, "quotation marks"),
    ("job: {title: a}\n---\njob: {title: b}\n", 2, "second document"),
    ("", None, "holds no spec"),
    ("# only a comment\n", None, "holds no spec"),
    ("~\n", None, "holds no spec"),
    ("job: " + "[" * 50_000, 1, "levels"),
    ("job: " + "{a: " * 500, 1, "nested more than"),
    (NESTED_BOMB, 4, f"more than {MAX_VALUES} values"),
    ("job: [" + "1," * 50_000 + "]", 1, f"more than {MAX_VALUES} values"),
    ("job: &j [*j]\n", 1, "inside what it refers to"),
    ("job: *nowhere\n", 1, "refers to nothing"),
    ("fork: &f {offset: 45}\nheadset:\n  <<: *f\n", 3, "merge keys"),
    ("? [1, 2]\n: 3\n", 1, "Write a word"),
    ("{a: 1}: 2\n", 1, "Write a word"),
    ("job: !!python/object:os.system x\n", 1, "tag"),
    ("geometry: {head_angle: !!float 72}\n", 1, "tag"),
    ("job: \x00\n", 1, "U+0000"),
    ("job:\n  title: \x07\n", 2, "U+0007"),
]


@pytest.mark.parametrize(("text", "line", "words"), SYNTAX)
def test_what_is_not_a_spec_in_yaml_is_a_syntax_fault(text: str, line: int | None, words: str) -> None:
    fault = fault_of(text)
    assert (fault.code, fault.file, fault.line) == ("syntax", "frame.yaml", line)
    assert words in fault.message


@pytest.mark.parametrize(("text", "what"), [("- 1\n- 2\n", "a list"), ("head_angle\n", "a single text")])
def test_the_top_level_must_be_a_mapping(text: str, what: str) -> None:
    fault = fault_of(text)
    assert (fault.code, fault.line) == ("type", 1)
    assert f"the file holds {what}" in fault.message


NUMBERS = [
    ("010", "type", "Write 10: YAML can read a leading zero as octal"),
    ("-072.5", "type", "Write -72.5"),
    ("12:30:00", "type", "hours and minutes"),
    ("190:20", "type", "hours and minutes"),
    ("0x48", "type", "decimal number"),
    ("0b1010", "type", "decimal number"),
    ("0o110", "type", "decimal number"),
    ("1_000", "type", "Write 1000"),
    ("72,5", "type", "Write 72.5"),
    ("on", "type", "yes or no"),
    ("no", "type", "yes or no"),
    ("Yes", "type", "yes or no"),
    ("true", "type", "yes or no"),
    (".nan", "range", "finite"),
    ("-.inf", "range", "finite"),
    ("1e400", "range", "45 to 90 degrees"),
    ("72 mm", "type", "is a length, '72 mm'; expected an angle, 45 to 90 degrees"),
    ("72%", "type", "Write the number alone"),
    ("2024-05-01", "type", "expected a number"),
    ("'72'", "type", "Delete the quotation marks"),
    ("", "type", "has no value"),
    ("~", "type", "has no value"),
    ("[72]", "type", "is a list"),
    ("{a: 1}", "type", "has the key 'a'; expected a number, or {value: 72, agreement: 0.3}"),
    ("steep", "type", "'steep'; expected a number, 45 to 90 degrees"),
    ("٧٢", "type", "expected a number"),
    ("96", "range", "is 96; expected 45 to 90 degrees"),
    ("44.999", "range", "is 44.999; expected 45 to 90 degrees"),
]


@pytest.mark.parametrize(("written", "code", "words"), NUMBERS)
def test_a_number_that_could_be_read_two_ways_is_refused(written: str, code: str, words: str) -> None:
    fault = fault_of(f"geometry:\n  bb_drop: 70\n  head_angle: {written}\n")
    assert (fault.code, fault.key, fault.line) == (code, "geometry.head_angle", 3)
    assert words in fault.message


@pytest.mark.parametrize(
    ("written", "value"),
    [("72", 72.0), ("+72", 72.0), ("72.", 72.0), ("7.2e1", 72.0), ("72.50", 72.5), ("720E-1", 72.0)],
)
def test_plain_decimal_numbers_are_read(written: str, value: float) -> None:
    assert loads(f"geometry: {{head_angle: {written}}}").givens["head_angle"].value == value


def test_zero_and_fractions_are_not_taken_for_octal() -> None:
    given = loads("geometry: {bb_drop: 0, fork_offset: 0.5, seat_tube_offset: -0.5, trail: .5}").givens
    assert [given[name].value for name in ("bb_drop", "fork_offset", "seat_tube_offset", "trail")] == [
        0.0,
        0.5,
        -0.5,
        0.5,
    ]


def test_job_fields_are_text_as_written() -> None:
    job = loads(
        "job:\n  number: 007\n  title: no\n  date: 2024-05-01\n  revision: 1.0\n  rider: 12:30:00\n"
        "  notes: |\n    one\n    two\n  drawn_by:\n  approved_by: ~\n"
    ).spec.job
    assert (job.number, job.title, job.date, job.revision) == ("007", "no", "2024-05-01", "1.0")
    assert (job.rider, job.notes, job.drawn_by, job.approved_by) == ("12:30:00", "one\ntwo", "", "")


def test_job_fields_refuse_what_no_sheet_can_show() -> None:
    assert fault_of('job: {title: "a\\x1b[31m"}').message == "holds the control character U+001B. Delete it."
    assert fault_of(f"job: {{title: {'x' * 2001}}}").code == "range"


@pytest.mark.parametrize(
    ("escape", "kind"),
    [
        ("\\uFFFE", "character U+FFFE"),
        ("\\uFFFF", "character U+FFFF"),
        ("\\x7f", "control character U+007F"),
        ("\\x9b", "control character U+009B"),
        ("\\0", "control character U+0000"),
    ],
)
def test_an_escape_cannot_bring_in_what_no_file_may_hold(escape: str, kind: str) -> None:
    """U+FFFE in a title was found when the reading form was read back, with half the files written."""
    fault = fault_of(f'geometry: {{bb_drop: 70}}\njob:\n  title: "a{escape}b"\n')
    assert (fault.line, fault.key, fault.code) == (3, "job.title", "type")
    assert fault.message == f"holds the {kind}. Delete it."


def test_a_value_may_hold_what_a_file_may_and_every_line_break_is_one() -> None:
    """The set is YAML's own: what stands in a file as it is can stand in a value by an escape too."""
    text = "tab\\t nbsp\\_ \\u2028 \\uE000 \\U0001F6B2 one\\rtwo\\r\\nthree\\Nfour"
    title = loads(f'job: {{title: "{text}"}}').spec.job.title
    assert title == "tab\t nbsp\xa0 \u2028 \ue000 \U0001f6b2 one\ntwo\nthree\nfour"


def test_a_key_written_twice_names_both_lines() -> None:
    fault = fault_of("geometry:\n  head_angle: 72\n  bb_drop: 70\n  head_angle: 73\n")
    assert (fault.code, fault.key, fault.line) == ("duplicate", "geometry.head_angle", 4)
    assert "first in line 2" in fault.message


def test_a_block_written_twice_is_one_fault_beside_the_others() -> None:
    with pytest.raises(SpecError) as caught:
        loads("fork: {offset: 45}\ngeometry: {head_angle: 99}\nfork: {offset: 50}\n")
    assert [(f.code, f.line) for f in caught.value.faults] == [("range", 2), ("duplicate", 3)]


def test_an_alias_used_in_earnest_is_read() -> None:
    tubes = loads("tubes:\n  seat_tube: &t {diameter: 28.6}\n  top_tube: *t\n").spec.tubes
    assert tubes.top_tube.diameter == tubes.seat_tube.diameter == 28.6


def test_a_fault_inside_an_alias_points_to_its_use() -> None:
    with pytest.raises(SpecError) as caught:
        loads("tubes:\n  seat_tube: &t {diameter: 999}\n  top_tube: *t\n")
    assert [(f.key, f.line) for f in caught.value.faults] == [
        ("tubes.seat_tube.diameter", 2),
        ("tubes.top_tube.diameter", 3),
    ]


def test_aliases_that_pile_up_depth_are_stopped() -> None:
    text = "a0: &a0 [1]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 100))
    assert "nested more than" in fault_of(text).message


def test_a_byte_order_mark_is_skipped_and_utf16_is_named() -> None:
    assert loads(decode(b"\xef\xbb\xbfgeometry: {bb_drop: 70}\n", "f")).givens["bb_drop"].value == 70.0
    with pytest.raises(SpecError, match="UTF-16"):
        decode("geometry: {}".encode("utf-16"), "f")


def test_bytes_that_are_not_utf8_are_named_with_their_line() -> None:
    with pytest.raises(SpecError) as caught:
        decode("job:\n  title: Gefährt\n".encode("latin-1"), "old.yaml")
    fault = caught.value.faults[0]
    assert (fault.code, fault.file, fault.line) == ("syntax", "old.yaml", 2)
    assert "0xE4 is not UTF-8" in fault.message


def test_a_file_of_ten_megabytes_is_refused_at_once(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    path.write_bytes(b"job: {title: x}\n" * (10 * 2**20 // 16))
    begun = time.perf_counter()
    with pytest.raises(SpecError, match="256 kB"):
        load(path)
    assert time.perf_counter() - begun < 0.1


def test_an_endless_device_is_refused() -> None:
    with pytest.raises(SpecError, match="kB"):
        load("/dev/zero")


def test_the_largest_file_allowed_is_read(tmp_path: Path) -> None:
    start = b"geometry: {bb_drop: 70}\n# "
    path = tmp_path / "full.yaml"
    path.write_bytes(start + b"x" * (MAX_BYTES - len(start)))
    assert load(path).givens["bb_drop"].value == 70.0


def test_a_pipe_is_read(tmp_path: Path) -> None:
    path = tmp_path / "pipe"
    os.mkfifo(path)
    writer = threading.Thread(target=lambda: path.write_text("geometry: {bb_drop: 70}\n"))
    writer.start()
    assert load(path).givens["bb_drop"].value == 70.0
    writer.join()


def test_windows_line_ends_keep_the_line_numbers() -> None:
    assert fault_of("geometry:\r\n  bb_drop: 70\r\n  head_angle: 99\r\n").line == 3


def test_both_parsers_of_yaml_give_the_same_tree(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "job: {title: 'a', number: 010}\nfittings:\n  - {at: 1}\n  - &x {at: 2}\n  - *x\nfork:\n"
    in_c = parse(text, "f")
    monkeypatch.setattr(tree_module, "_Loader", yaml.Loader)
    in_python = parse(text, "f")
    assert in_python == in_c
    for bad, line, _ in SYNTAX:
        if len(bad) < 10_000:
            assert fault_of(bad).line == line, json.dumps(bad[:60])

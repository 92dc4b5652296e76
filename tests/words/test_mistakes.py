"""Every mistake of the table is told in a sentence that keeps the rules and offers the way out."""

from __future__ import annotations

import re

import mistakes
import pytest
import rules

from layout.errors import LayoutError
from layout.frame.solve import solve
from layout.spec import words
from layout.spec.load import loads
from layout.spec.text import decode

SPECS = [
    *mistakes.UNREADABLE,
    *mistakes.UNKNOWN,
    *mistakes.VALUES,
    *mistakes.PARTS,
    *mistakes.WRITTEN,
    *mistakes.RARE,
    *mistakes.NUMBERS,
    *((mistakes.GOOD + text, words) for text, words in mistakes.ROOM),
]


ALL = [*SPECS, *mistakes.BYTES]


def told(text: str | bytes) -> list[str]:
    """The messages of a spec that is at fault."""
    with pytest.raises(LayoutError) as caught:
        frame = solve(loads(text if isinstance(text, str) else decode(text, "frame.yaml"), "frame.yaml"))
        _ = frame.space
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("text", "way_out"), ALL, ids=[f"{n}-{w}" for n, (_, w) in enumerate(ALL)]
)
def test_a_mistake_is_told_with_the_way_out(text: str | bytes, way_out: str) -> None:
    messages = told(text)
    assert any(way_out in message for message in messages), messages
    for message in messages:
        assert message.startswith("frame.yaml"), message
        assert rules.broken(message, error=True) == [], message
        assert message.count(". .") == message.count("..") - message.count("...") == 0, message


def test_the_table_has_at_least_two_hundred_and_fifty_mistakes() -> None:
    assert len({text for text, _ in SPECS}) >= 250


ELSEWHERE = {
    "FORBIDDEN", "UNREADABLE", "NAME_NOT_UTF_8", "NO_FILE", "FOLDER", "NO_YAML", "SPEC_NOT_READINGS",
    "NOT_TRUE_FALSE", "FOR_TAPE", "OLD_SHEET", "FOR_INSPECT", "SAME_POINT", "NO_DISTANCE", "NO_VALUE_READ",
    "UNDETERMINED", "NO_POINT", "NO_DIMENSION", "OTHER_FRAME", "OTHER_UNIT", "NO_READING", "A_LETTER",
}  # fmt: skip
"""Sentences of files that cannot be opened, and of readings: `test_command_mistakes.py` and tests/spec."""


def test_every_sentence_of_a_fault_in_a_spec_is_brought_up() -> None:
    """What a mistake of the table does not bring up has not been read as it is told."""
    said = "\n".join(message for text, _ in ALL for message in _loading(text))
    table = {k: v for k, v in vars(words).items() if k.isupper() and isinstance(v, str)}
    assert len(table) > 100
    missing = {k for k, v in table.items() if not re.search(_pattern(v), said)}
    assert missing - ELSEWHERE == set()


def _loading(text: str | bytes) -> list[str]:
    """The messages of a spec whose text is at fault; none where its numbers are."""
    try:
        loads(text if isinstance(text, str) else decode(text, "frame.yaml"), "frame.yaml")
    except LayoutError as e:
        return [str(fault) for fault in e.faults]
    return []


def _pattern(template: str) -> str:
    """A sentence with named holes as a regular expression."""
    parts = re.split(r"\{[^{}]*\}", template.replace("{{", "\0").replace("}}", "\1"))
    return ".*?".join(re.escape(part.replace("\0", "{").replace("\1", "}")) for part in parts)


def test_the_good_frame_is_good() -> None:
    assert solve(loads(mistakes.GOOD, "frame.yaml")).plane.dimensions["stack"] is not None


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("the gap is odd " + "and long " * 10, "words"),
        ("no sane value", "odd word"),
        ("allowed 1.0 | in", "bare verdict"),
        ("it is wrong", "nothing to do"),
        ("the gap of 3.5 is too small", "no unit"),
    ],
)
def test_the_checker_finds_what_breaks_a_rule(text: str, rule: str) -> None:
    assert any(rule in said for said in rules.broken(text, error=True))

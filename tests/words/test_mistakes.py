"""Every mistake of the table is told in a sentence that keeps the rules and offers the way out."""

from __future__ import annotations

import mistakes
import pytest
import rules

from layout.errors import LayoutError
from layout.frame.solve import solve
from layout.spec.load import loads
from layout.spec.text import decode

SPECS = [
    *mistakes.UNREADABLE,
    *mistakes.UNKNOWN,
    *mistakes.VALUES,
    *mistakes.PARTS,
    *mistakes.WRITTEN,
    *mistakes.NUMBERS,
    *((mistakes.GOOD + text, words) for text, words in mistakes.ROOM),
]


BYTES = ("%PDF", "PK")
"""What only a file's first bytes tell."""


def told(text: str) -> list[str]:
    """The messages of a spec that is at fault."""
    with pytest.raises(LayoutError) as caught:
        text = decode(text.encode(), "frame.yaml") if text.startswith(BYTES) else text
        frame = solve(loads(text, "frame.yaml"))
        _ = frame.space
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(("text", "way_out"), SPECS)
def test_a_mistake_is_told_with_the_way_out(text: str, way_out: str) -> None:
    messages = told(text)
    assert any(way_out in message for message in messages), messages
    for message in messages:
        assert message.startswith("frame.yaml"), message
        assert rules.broken(message, error=True) == [], message
        assert message.count(". .") == message.count("..") - message.count("...") == 0, message


def test_the_table_has_at_least_a_hundred_and_twenty_mistakes() -> None:
    assert len({text for text, _ in SPECS}) >= 120


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

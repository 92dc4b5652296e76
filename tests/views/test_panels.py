"""Which part sizes are given and which are defaults: told alike on the sheet and in the terminal."""

from __future__ import annotations

import pytest

from layout.drafting.entities import Text
from layout.frame.solve import Frame, solve
from layout.frame.words import words
from layout.report.tables import frame_report
from layout.spec.load import loads
from layout.views.panels import tubes_panel

EIGHT = """
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150}
fork: {axle_to_crown: 395, offset: 45}
"""


def framed(parts: str) -> Frame:
    return solve(loads(f"{EIGHT}{parts}\n"))


def on_the_sheet(frame: Frame, name: str) -> tuple[str, str]:
    """A tube's origin in words and its size as the panel has them."""
    texts = [e for e in tubes_panel(frame).drawing if isinstance(e, Text)]
    (x, y) = next(e.at for e in texts if e.text == name)
    size, origin = sorted((e for e in texts if e.at[1] == y and e.at[0] > x), key=lambda e: e.at[0])[:2]
    return origin.text, size.text


def in_the_terminal(frame: Frame, name: str) -> str:
    """The origin that the report's table of parts gives."""
    line = next(line for line in frame_report(frame).splitlines() if line.startswith(f"{name} "))
    return line.split(" mm ")[-1].strip()


@pytest.mark.parametrize(
    ("tube", "written", "origin", "size"),
    [
        ("chain_stay", "", "default", "22.2 to 14.0"),
        ("chain_stay", "diameter: 20", "given, default", "20.0 to 14.0"),
        ("chain_stay", "diameter_end: 13", "default, given", "22.2 to 13.0"),
        ("chain_stay", "section: [16, 30]", "given, default", "16 x 30 to 14.0"),
        ("chain_stay", "diameter: 20, diameter_end: 13", "given", "20.0 to 13.0"),
        ("seat_stay", "diameter: 17", "default, given", "12.0 to 17.0"),
        ("seat_stay", "diameter_end: 11", "given, default", "11.0 to 16.0"),
        ("top_tube", "", "default", "28.6"),
        ("top_tube", "diameter: 28.6", "given", "28.6"),
        ("top_tube", "diameter_end: 30", "default, given", "28.6 to 30.0"),
        ("down_tube", "wall: 0.8", "default", "34.9"),
        ("head_tube", "diameter_bottom: 44", "given, default", "44.0 to 36.0"),
        ("head_tube", "diameter_top: 44", "default, given", "36.0 to 44.0"),
    ],
)
def test_each_end_of_a_tube_is_marked_by_what_was_written_of_it(
    tube: str, written: str, origin: str, size: str
) -> None:
    """A stay with one end given was all a default on the sheet."""
    frame = framed(f"tubes: {{{tube}: {{{written}}}}}")
    assert in_the_terminal(frame, tube) == origin
    assert on_the_sheet(frame, words(tube)) == (origin, size)


@pytest.mark.parametrize(
    ("written", "origin", "mark"),
    [
        ("", "default", "default"),
        ("shell: m47-73", "given", "given"),
        ("width: 73", "given, default", "default"),
        ("diameter: 42", "default, given", "given"),
        ("width: 73, diameter: 42", "given", "given"),
    ],
)
def test_the_shells_width_and_diameter_are_told_apart(written: str, origin: str, mark: str) -> None:
    """The sheet shows the diameter alone, and marked it a default where only the width was one."""
    frame = framed(f"bottom_bracket: {{{written}}}")
    assert in_the_terminal(frame, "bottom bracket shell") == origin
    assert on_the_sheet(frame, "BB shell")[0] == mark

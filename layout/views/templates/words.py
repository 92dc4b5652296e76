"""What is written on and beside mitre templates: each strip's words, the sides of a tube, how to use them."""

from __future__ import annotations

from collections.abc import Sequence

from layout.bench.marks import Mark, side_words
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import text_block
from layout.drafting.wrapping import wrap_most
from layout.frame.words import words
from layout.geometry.space.develop import Development
from layout.geometry.space.lengths import TubeLengths
from layout.geometry.space.mitre import Cut

SMALL_NOTE = 2.5
NARROW = 85.0
"""Strips narrower than this are lettered one size smaller."""
JOB_LINES, MOST_LINES = 2, 20
"""Of the job's name on a strip, and of anything else."""
SIDE = 2.0
"""Between the words and the lines beside them."""
GUIDE_WIDTH = 85.0
GUIDE = (
    "All lengths are in mm. Measure the scale bars. On each strip measure the width (once round the tube) "
    "and the straight edge to the centre line. The written dimensions govern, not the print.",
    "Cut the strip out along its outline and the middle of the cut line. Scribe one line along the tube: "
    "the phase lines of both strips lie on it. Wrap the strip printed side out, the cut end away from you, "
    "its left edge on the dashed line. Set the straight edge square to the tube at the written distance.",
    "The dash-dot line is the joint's centre, which no tape can hook. Distances are from the long point of "
    "the finished cut, on the side named. Beyond the cut line is waste.",
    "Cut outside the line and file to fit. Try it on the other tube before you cut the other end.",
)


def guide(job: str) -> Panel:
    """How the strips are used, as a panel among them."""
    return text_block("guide", "Mitre templates", [f"{job}.", *GUIDE], GUIDE_WIDTH, text_height=SMALL_NOTE)


def lettering_height(laid: Development) -> float:
    """The height of a strip's words, by its width."""
    return TEXT_NOTE if laid.girth >= NARROW else SMALL_NOTE


def strip_lines(
    cut: Cut,
    lengths: TubeLengths,
    job: str,
    laid: Development,
    edge: float,
    other: float | None,
    bends: Sequence[Mark] = (),
) -> list[str]:
    """What the strip says, broken to its width; `bends` are the marks of the tube's bends."""
    room, height = 0.75 * laid.girth - 2 * SIDE, lettering_height(laid)
    said = [
        f"{words(cut.tube)}, {words(cut.end_name)} end",
        job,
        "on " + " and ".join(words(n) for n in cut.against),
        f"{_angle(cut.angle)}, from square {_angle(90.0 - cut.angle)}",
    ]
    if cut.offset >= 0.05:
        said.append(f"offset {format_number(cut.offset, 1)}")
    said.append(f"Ø{_size_words(cut)}, paper {format_number(laid.paper, 1)}")
    long_point = f"long point ({side_words(cut.end.tube, cut.least.phi)})"
    hooked = f"{format_number(edge - cut.least.s, 1)} from the {long_point}"
    said.append(f"this edge {hooked}, {format_number(edge, 1)} from the joint's centre")
    if other is not None:
        said.append(_between_words(lengths.centre_length - edge - other))
    said.extend(f"{m.what}, to {m.side}: middle {format_number(m.distance, 1)} from {m.hook}" for m in bends)
    if cut.partial:
        said.append("dashed: does not touch the other tube")
    wrapped = (wrap_most(text, room, height, JOB_LINES if text is job else MOST_LINES) for text in said)
    return [line for lines in wrapped for line in lines]


def _between_words(between: float) -> str:
    """How far the other end's strip is, or that the two do not go on the tube together."""
    if between >= 0.0:
        return f"{format_number(between, 1)} to the other strip's edge"
    return f"strips longer than the tube by {format_number(-between, 1)}: use one at a time"


def _angle(value: float) -> str:
    return f"{format_number(value, 1)}°"


def _size_words(cut: Cut) -> str:
    height, width = cut.end.tube.diameter_at(cut.origin)
    if abs(height - width) < 1e-6:
        return format_number(height, 1)
    return f"{format_number(width, 1)} x {format_number(height, 1)}"

"""The READINGS form that goes with a frame: what to measure of it, to be filled in and given to `inspect`."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from layout.bench.tape import PAIRS
from layout.drafting.numbers import format_number
from layout.frame.mark import mark_words
from layout.frame.solve import Frame
from layout.geometry.dimensions import REGISTRY
from layout.spec.readings import ALIGNMENTS, FormRow, ReadingKind, form_text
from layout.spec.text import typed

MORE_PAIRS = (
    ("bb", "head_tube_bottom"),
    ("rear_axle", "head_tube_bottom"),
    ("seat_tube_top", "head_tube_bottom"),
    ("top_tube_at_seat", "top_tube_at_head"),
    ("bb", "down_tube_at_head"),
)
"""Beside the sheet's check distances: these fix what those leave to one reading alone."""
GAUGED = ("head_angle", "seat_angle", "top_tube_slope")
RULED = ("bb_drop", "head_tube_length", "top_tube_at_head", "top_tube_at_seat", "down_tube_at_head")
HEIGHTS = ("seat_tube_top", "head_tube_bottom", "head_tube_top", "rear_axle")
ALIGNMENT_NOTES = {
    "head_twist": "degrees, head tube against seat tube; + its top leans to the drive side",
    "dropout_height": "drive-side dropout above the other, mm",
    "wheel_centring": "rim off the middle plane, mm; + to the drive side",
    "dropout_spacing": "between the dropouts' inner faces, mm",
}


def frame_form(frame: Frame, files: tuple[str, str]) -> str:
    """The form of one frame; `files` are the names of the spec's and of the form's own, as in `tape_form`."""
    title, number = frame.job.title or Path(files[0]).stem, frame.job.number or "no number"
    heading = (
        f"Readings of the frame {title} ({number}), {mark_words(frame.mark)}.",
        "Write each reading after its `measured:`, in mm or degrees. Leave it empty if not measured.",
        "Next to each row stands the design's value. Take as many as you can: spare readings show a mistake.",
        "Add `uncertainty:` (one standard deviation) where a reading is better or worse than the spec says.",
        "Put a dummy fork of the spec's length and offset into the head tube, dummy axles into both ends.",
        "Measure angles and the drop with the frame level, as it will stand on its wheels.",
        _level_words(frame),
        "Heights are above (+) the flat plate's centre plane, on the drive side.",
        "Then type, with the files' folders:",
        f"    layout inspect {' '.join(map(typed, files))}",
    )
    return form_text(heading, list(_rows(frame)))


def _level_words(frame: Frame) -> str:
    rise = frame.plane.points["front_axle"][1] - frame.plane.points["rear_axle"][1]
    if abs(rise) < 0.05:
        return "The axles are level with each other."
    way = "above" if rise > 0 else "below"
    return f"The front axle is {format_number(abs(rise), 1)} mm {way} the rear."


def _rows(frame: Frame) -> Iterator[FormRow]:
    points = frame.plane.points
    for start, end in (*PAIRS, *MORE_PAIRS):
        true = math.dist(points[start], points[end])
        yield FormRow(ReadingKind.DISTANCE, (start, end), format_number(true, 1))
    for name in (*GAUGED, *RULED):
        value = frame.plane.dimensions[name]
        if value is not None:
            unit = " degrees" if REGISTRY[name].unit == "deg" else ""
            yield FormRow(ReadingKind.DIMENSION, (name,), format_number(value, 1) + unit)
    for name in HEIGHTS:
        yield FormRow(ReadingKind.HEIGHT, (name,), "0.0")
    for name in ALIGNMENTS:
        yield FormRow(ReadingKind.ALIGNMENT, (name,), ALIGNMENT_NOTES[name])

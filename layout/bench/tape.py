"""The tape checks of a sheet: distances between scribe crosses far apart, at true value.

Along, across and diagonal, so that a tape finds the print's scale on both axes and its skew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from zlib import crc32

from layout.drafting.numbers import format_number
from layout.drafting.vector import Point, distance

PAIRS = (
    ("rear_axle", "front_axle"),
    ("rear_axle", "bb"),
    ("bb", "front_axle"),
    ("bb", "head_tube_top"),
    ("bb", "seat_tube_top"),
    ("rear_axle", "head_tube_top"),
    ("rear_axle", "seat_tube_top"),
    ("seat_tube_top", "front_axle"),
    ("seat_tube_top", "head_tube_top"),
    ("head_tube_top", "front_axle"),
    ("head_tube_top", "fork_foot"),
    ("bb", "top_tube_at_seat"),
)
"""Long ones first along, then across, then diagonal; every one between points on the main frame.

The last two, each beside one much like it, are there because few of these distances are steep: with
them the scale across is known to 0.15 % on the smallest frames too when any one reading is misread.
"""


@dataclass(frozen=True, slots=True)
class TapeCheck:
    """One distance to tape, between two named points, with the letter it carries on the sheet."""

    letter: str
    start: str
    end: str
    value: float

    @property
    def name(self) -> str:
        """A name for the callout."""
        return f"check_{self.letter}"


def fingerprint(listed: Sequence[TapeCheck]) -> str:
    """Eight hexadecimal digits that change when a check distance does by what the sheet shows, 0.1 mm."""
    text = ";".join(f"{c.start} {c.end} {format_number(c.value, 1)}" for c in listed)
    return f"{crc32(text.encode()):08x}"


def checks(points: Mapping[str, Point]) -> tuple[TapeCheck, ...]:
    """The check distances of a frame, lettered A, B, C ... in the order they are taped; none twice."""
    pairs = {frozenset((points[a], points[b])): (a, b) for a, b in reversed(PAIRS)}
    return tuple(
        TapeCheck(chr(ord("A") + k), a, b, distance(points[a], points[b]))
        for k, (a, b) in enumerate(reversed(pairs.values()))
    )

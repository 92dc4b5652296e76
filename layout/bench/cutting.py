"""The cutting table as rows: what each end of each tube is cut to and how the mill is set.

Lengths mm, angles degrees. Distances from the mark are taped along the tube from a line scribed half
way between its two centre points. Phi is counted from the tube's phase line, right-handed about first
end to second.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from layout.drafting.numbers import format_number
from layout.geometry.space.lengths import Mill, TubeLengths
from layout.geometry.space.tube import Tube

HEADINGS = (
    "tube", "end", "on", "diameter", "wall", "centre_length", "cut_length", "length_needed",
    "mill_angle", "from_square", "cutter", "offset", "cutter_along_phi", "acute_side_phi", "rotation",
    "rotation_from_phi", "rotation_to_phi", "mark_to_long_point", "mark_to_short_point",
    "long_point_phi", "short_point_phi", "butt", "butt_left", "misfit",
)  # fmt: skip
"""Columns of the spreadsheet, one row for each end of each tube and each tube that it is cut on.

What belongs to the whole end stands in its first row. `misfit` is the best hole saw's: where it is too
large there is no setting of the mill.
"""


def rows(of_all: Mapping[str, TubeLengths]) -> list[tuple[str, ...]]:
    """The rows under HEADINGS, by tube, end and tube cut on; a cell that does not apply is empty."""
    found: list[tuple[str, ...]] = []
    for lengths in of_all.values():
        for which in (0, 1):
            found.extend(_end_rows(lengths.tube, lengths, which))
    return found


def _end_rows(tube: Tube, lengths: TubeLengths, which: int) -> Iterator[tuple[str, ...]]:
    end = lengths.ends[which]
    station = 0.0 if which == 0 else tube.length
    sizes = (
        diameter_words(tube, station), wall_words(tube, which),
        _mm(lengths.centre_length, 2), _mm(lengths.cut_length, 2), _mm(lengths.length_needed, 2),
    )  # fmt: skip
    points = [""] * 4
    if end is not None:
        points = [_mm(v, 2) for v in (end.from_mark_long, end.from_mark_short, end.long_phi, end.short_phi)]
    rotation = [""] * 3
    if lengths.rotation is not None and lengths.turned is not None:
        rotation = [_mm(v, 2) for v in (lengths.rotation, *lengths.turned)]
    butts = None if tube.walls is None else tube.walls.butts
    butt, left = "", ""
    if lengths.butts is not None and butts is not None:
        butt, left = _mm(butts[which], 1), _mm(lengths.butts[which], 1)
    whole = (*rotation, *points, butt, left)
    for mill in (None,) if end is None else end.mills:
        on = mill.on if mill else ""
        yield (tube.name, tube.ends[which], on, *sizes, *_mill_cells(mill), *whole, _misfit(mill))
        whole = ("",) * len(whole)


def _mill_cells(mill: Mill | None) -> tuple[str, ...]:
    """Angle, from square and cutter only where a hole saw cuts the joint."""
    if mill is None:
        return ("",) * 6
    cutter = mill.cutter
    setting = (None,) * 3 if cutter is None else (cutter.angle, 90.0 - cutter.angle, cutter.diameter)
    values = (*setting, mill.offset, mill.level, mill.acute_side)
    return tuple("" if v is None else _mm(v, 2) for v in values)


def diameter_words(tube: Tube, station: float) -> str:
    """The diameter at a station, of an oval width x height."""
    height, width = tube.diameter_at(station)
    if abs(height - width) < 1e-6:
        return format_number(height, 1)
    return " x ".join(format_number(v, 1).removesuffix(".0") for v in (width, height))


def wall_words(tube: Tube, which: int) -> str:
    """Wall at the first (0) or second (1) end, or in the middle (2)."""
    if tube.walls is None:
        return ""
    wall = (tube.walls.first, tube.walls.second, tube.walls.middle)[which]
    return format_number(wall, 2).rstrip("0").rstrip(".")


def _misfit(mill: Mill | None) -> str:
    return "" if mill is None or mill.best is None else _mm(mill.best.misfit, 3)


def _mm(value: float, decimals: int = 1) -> str:
    return format_number(value, decimals)

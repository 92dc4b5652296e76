"""HP-GL/2 through an interpreter of its few commands: where the pen went down and to where.

The format has no names, so a control point is found where the arms of its cross are drawn.
Only commands and numbers that every plotter of the last decades takes are allowed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from layout.checks.readback.seen import Point, SeenInFile, Segment, UnreadableError

_UNIT = 0.025
"""Millimetres in a plotter unit."""
_LARGEST = 32767
"""Numbers over this are cut off by plotters of 16 bits; a page's size is not drawn to."""
_COMMAND = re.compile(r"\s*([A-Z]{2})([^A-Za-z;]*);\s*")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_ARGUMENTS = {"IN": 0, "PS": 2, "WU": 1, "PW": 2, "SP": 1, "PA": None, "PR": None, "PU": None, "PD": None,
              "PG": 0}  # fmt: skip


@dataclass
class _Pen:
    """Where the pen is, units, and what is known so far."""

    at: Point = (0.0, 0.0)
    down: bool = False
    relative: bool = False
    selected: float = 0.0
    size: Point | None = None
    runs: list[list[Point]] = field(default_factory=list)


def read_plt(data: bytes) -> list[SeenInFile]:
    """The straight strokes of an HP-GL/2 file, mm from the paper's lower left corner; no named points.

    Raises UnreadableError where a command, a number or the page's size is not as it should be.
    """
    try:
        text = data.decode("ascii")
    except UnicodeDecodeError as e:
        raise UnreadableError("it is not a text of HP-GL/2") from e
    pen, place = _Pen(), 0
    while place < len(text):
        found = _COMMAND.match(text, place)
        if not found:
            raise UnreadableError(f"it is not HP-GL/2 from {text[place : place + 12]!r}")
        _do(pen, found[1], found[2])
        place = found.end()
    if pen.size is None:
        raise UnreadableError("the page's size is not declared (PS)")
    if pen.down:
        raise UnreadableError("the pen is left down at the end")
    seen = SeenInFile(pen.size[0] * _UNIT, pen.size[1] * _UNIT)
    seen.segments += [
        Segment((a[0] * _UNIT, a[1] * _UNIT), (b[0] * _UNIT, b[1] * _UNIT))
        for a, b in (run for run in pen.runs if len(run) == 2)
    ]
    return [seen]


def cut_stroke(a: Point, b: Point, window: tuple[float, float, float, float]) -> tuple[Point, Point] | None:
    """A straight stroke cut at left, bottom, right, top, by halving; None where nothing is left.

    Ends are found to 1e-9 of the stroke, which is finer than any plotter unit.
    """
    left, bottom, right, top = window

    def inside(t: float) -> bool:
        x, y = a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t
        return left <= x <= right and bottom <= y <= top

    held = next((i / 64 for i in range(65) if inside(i / 64)), None)
    if held is None:
        return None
    ends = []
    for end in (0.0, 1.0):
        within, without = held, end
        if inside(end):
            within = end
        for _ in range(32):
            middle = (within + without) / 2
            within, without = (middle, without) if inside(middle) else (within, middle)
        ends.append((a[0] + (b[0] - a[0]) * within, a[1] + (b[1] - a[1]) * within))
    return ends[0], ends[1]


def _do(pen: _Pen, command: str, written: str) -> None:
    numbers = _numbers(command, written)
    match command:
        case "IN":
            pen.at, pen.down, pen.relative = (0.0, 0.0), False, False
        case "PS":
            pen.size = numbers[0], numbers[1]
        case "SP":
            pen.selected, pen.down = numbers[0], False
        case "PA" | "PR":
            pen.relative = command == "PR"
            _go(pen, numbers)
        case "PU" | "PD":
            if command == "PD" and not pen.down:
                pen.runs.append([pen.at])
            pen.down = command == "PD"
            _go(pen, numbers)
        case _:
            pass


def _go(pen: _Pen, numbers: list[float]) -> None:
    """Move through pairs of numbers, drawing where the pen is down."""
    for x, y in zip(numbers[0::2], numbers[1::2], strict=True):
        if max(abs(x), abs(y)) > _LARGEST:
            raise UnreadableError(f"the step {x:g},{y:g} is larger than plotters of 16 bits take")
        pen.at = (pen.at[0] + x, pen.at[1] + y) if pen.relative else (x, y)
        if pen.down:
            if not pen.selected:
                raise UnreadableError("something is drawn with no pen selected")
            pen.runs[-1].append(pen.at)


def _numbers(command: str, written: str) -> list[float]:
    if command not in _ARGUMENTS:
        raise UnreadableError(f"the command {command} has no place in it")
    parts = written.split(",") if written.strip() else []
    if not all(_NUMBER.fullmatch(p.strip()) for p in parts):
        raise UnreadableError(f"{command}{written} holds something that is not a plain number")
    expected = _ARGUMENTS[command]
    if len(parts) % 2 if expected is None else len(parts) != expected:
        raise UnreadableError(f"{command}{written} has the wrong count of numbers")
    return [float(p) for p in parts]

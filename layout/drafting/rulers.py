"""Rulers drawn on the sheet, so that its scale is proved and not assumed.

The calibration cross is an L of two arms ruled in millimetres, ticks and figures outside
it, what to check inside it:

      :|  2            the ends of the arms are where fine lines cross, for a
      :|  0            scriber or the points of dividers; the diagonal between
    20=|  0            them shows whether the arms stand square
      :|
     0-+----:----|--   tick lengths: 1, 5, 10 mm and the ends
       0        20

All lines are thin: a rule's own marks must be seen beside them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from layout.drafting.entities import Align, Drawing, Entity, Line, Point, Text
from layout.drafting.lettering import text_width
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, Layer
from layout.drafting.vector import along

TICK_MM, TICK_5, TICK_10, TICK_END = 2.5, 4.0, 6.0, 9.0
"""Tick lengths: three heights that the eye tells apart at once, and the ends."""
OVERRUN = 5.0
"""How far an arm runs past its end mark, which makes the mark a crossing of two lines."""
NUMBERED = 20
SHORTEST = 140.0
"""An arm this long has room for the questions beside it; much shorter ones prove little."""
SHORTEST_UNASKED = 100.0
"""Half a millimetre over it is half a per cent."""

_LEFT, _BELOW, _BEYOND = 22.0, 18.0, 8.0
"""Room round the arms for figures and overrun; whole, so that ticks lie on whole millimetres of the panel."""
CORNER = (_LEFT, _BELOW)
"""Where the arms of a calibration cross meet, from its panel's lower left corner."""
_GAP = 1.5
"""Between tick and figure."""
_WORDS_OFF = 5.0
"""Between an arm and the words beside it."""
_ANSWER = 34.0
"""The line that a reading is written on."""

_Place = Callable[[float, float], Point]
"""From (along the arm, away from its ticks) to the panel."""


def calibration_cross(length: float = 200.0, across: float | None = None, asked: bool = True) -> Panel:
    """Two arms at right angles, ruled in millimetres, with what to check and room to answer.

    The level arm is `length` mm long, the upright one `across` or the same. With `asked` false
    there are no questions between them. Raises ValueError where an arm is not a multiple of
    10 mm long or is under 140 (without questions, 100).
    """
    upright_length = length if across is None else across
    shortest = SHORTEST if asked else SHORTEST_UNASKED
    for arm in (length, upright_length):
        if arm < shortest or arm % 10:
            raise ValueError(f"a ruled arm is a multiple of 10 mm long, {shortest:g} or more, not {arm:g}")

    def level(u: float, v: float) -> Point:
        return _LEFT + u, _BELOW + v

    def upright(u: float, v: float) -> Point:
        return _LEFT + v, _BELOW + u

    entities: list[Entity] = [*_arm(int(length), level), *_arm(int(upright_length), upright)]
    for i in range(0, int(length) + 1, NUMBERED):
        x, y = level(i, -TICK_END - _GAP - TEXT_NOTE)
        entities.append(Text((x, y), str(i), TEXT_NOTE, Layer.SHEET, align=Align.MIDDLE))
    for i in range(0, int(upright_length) + 1, NUMBERED):
        x, y = upright(i, -TICK_END - _GAP)
        entities.append(Text((x, y - TEXT_NOTE / 2), str(i), TEXT_NOTE, Layer.SHEET, align=Align.END))
    if asked:
        entities.extend(_questions(length, upright_length))
    drawing = Drawing("Calibration cross", tuple(entities))
    return Panel(
        "calibration_cross", drawing, _LEFT + length + _BEYOND, _BELOW + upright_length + _BEYOND
    )




def _arm(length: int, place: _Place) -> Iterator[Line]:
    yield _line(place(0.0, 0.0), place(length + OVERRUN, 0.0))
    for i in range(length + 1):
        size = TICK_END if i in (0, length) else TICK_10 if i % 10 == 0 else TICK_5 if i % 5 == 0 else TICK_MM
        yield _line(place(i, -size), place(i, OVERRUN if i == length else 0.0))


def _questions(length: float, across: float) -> Iterator[Entity]:
    """What to measure, each with a line for the reading: along, across, and between the arms' ends."""
    # The figures of the arms stand clear of both words: all lie on the other side of the lines.
    corner = 4 * _WORDS_OFF
    yield from _question(f"{_millimetres(length)} along", (_LEFT + corner, _BELOW + _WORDS_OFF), 0.0)
    beside = (_LEFT + _WORDS_OFF + TEXT_TABLE, _BELOW + corner)
    yield from _question(f"{_millimetres(across)} across", beside, 90.0)
    ends = f"from {format_number(length, 0)} to {format_number(across, 0)}"
    diagonal = f"{format_number(math.hypot(length, across), 1)} mm {ends}"
    yield from _question(diagonal, (_LEFT + corner, _BELOW + corner), 0.0)


def _question(text: str, at: Point, angle: float) -> Iterator[Entity]:
    yield Text(at, text, TEXT_TABLE, Layer.SHEET, angle=angle)
    start = along(at, angle, text_width(text, TEXT_TABLE) + TEXT_TABLE)
    yield _line(start, along(start, angle, _ANSWER))


def _millimetres(length: float) -> str:
    return f"{format_number(length, 0 if length == int(length) else 1)} mm"


def _line(a: Point, b: Point) -> Line:
    return Line(a, b, Layer.SHEET)

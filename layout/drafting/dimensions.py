"""A dimension as plain primitives: the one routine that every sink and the placer share.

    start .                                  . end
          |  <- gap                          |
          |          front centre  612.5     |        label, gap, value: one block,
          |<-------------------------------->|        middle of its baseline at `text_at`
          |  <- overshoot                    |

Extension lines run from each point to its foot on the dimension line. Arrowheads are two
open strokes; outside, they point inward and have tails. The lettering sits above the
line, where the caller put it, so lines never need to be broken for it.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple, assert_never

from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Entity,
    LengthDimension,
    Line,
    Point,
    Polyline,
    Text,
)
from layout.drafting.lettering import text_width
from layout.drafting.numbers import format_number
from layout.drafting.style import THIN
from layout.drafting.vector import along as point_along
from layout.drafting.vector import unit

EXTENSION_GAP = 8 * THIN
"""From the point measured to its extension line: 8 line widths, ISO 129-1 (from memory)."""
EXTENSION_OVERSHOOT = 8 * THIN
"""Extension line past the dimension line: 8 line widths, ISO 129-1 (from memory)."""
ARROW_ANGLE = 30.0
"""Opening of an arrowhead, degrees: the open 30 degree form of ISO 129-1 (from memory)."""
ARROW_RATIO = 0.6
"""Arrowhead length over text height: 4.2 beside callouts of 7, seen from a metre off."""
TAIL_RATIO = 2.5
"""Tail of an outside arrow, in arrowhead lengths: longer than the head, so it reads as a line."""
LABEL_GAP_RATIO = 0.9
"""Between label and value, over text height: wider than a word space, so that the value stands alone."""
LEADER_PAD_RATIO = 0.35
"""A leader starts this far (over text height) from the lettering: clears the descenders."""
NEGLIGIBLE = 1e-9
"""Lengths below this, mm, are not drawn."""

AnyDimension = LengthDimension | AngleDimension
DimensionLine = Line | Arc | Polyline


def value_string(d: AnyDimension) -> str:
    """What is shown: the value with its decimals, and the degree sign for angles."""
    shown = format_number(d.value, d.decimals)
    return shown + "°" if isinstance(d, AngleDimension) else shown


def value_text(d: AnyDimension) -> Text:
    """The value's lettering, its `at` the start of the baseline."""
    block = _block(d)
    return _lettering(d, block.value, block.value_at)


def label_text(d: AnyDimension) -> Text | None:
    """The label's lettering, left of the value; None where there is no label."""
    if not d.label:
        return None
    return _lettering(d, d.label, _block(d).label_at)


def block_width(d: AnyDimension) -> float:
    """Width in mm of label, gap and value together, centred on `text_at`."""
    return _block(d).width


def lines(d: AnyDimension) -> tuple[DimensionLine, ...]:
    """Dimension line or arc, extension lines, arrowheads and leader, on the dimension's layer."""
    match d:
        case LengthDimension():
            drawn = _linear_lines(d) if d.line_drawn else []
        case AngleDimension():
            drawn = _angular_lines(d)
        case _:
            assert_never(d)
    return (*drawn, *_leader(d))


class DimensionParts(NamedTuple):
    """What a dimension is drawn as: its lines, its label's lettering, if any, and its value's."""

    lines: tuple[DimensionLine, ...]
    label: Text | None
    value: Text


@lru_cache(maxsize=256)
def parts(d: AnyDimension) -> DimensionParts:
    """A dimension's parts; kept, for sheets, bounds and every format ask for them, some nine times in all."""
    return DimensionParts(lines(d), label_text(d), value_text(d))


def explode(entity: Entity) -> tuple[Entity, ...]:
    """A dimension's lines and lettering as primitives; any other entity as it is."""
    if not isinstance(entity, LengthDimension | AngleDimension):
        return (entity,)
    drawn, label, value = parts(entity)
    return (*drawn, value) if label is None else (*drawn, label, value)


def feet(d: LengthDimension) -> tuple[Point, Point]:
    """Where the dimension line ends: the feet of `start` and `end` on it."""
    ux, uy = unit(d.direction)

    def foot(p: Point) -> Point:
        along = (p[0] - d.line_at[0]) * ux + (p[1] - d.line_at[1]) * uy
        return d.line_at[0] + along * ux, d.line_at[1] + along * uy

    return foot(d.start), foot(d.end)


class _Block(NamedTuple):
    """Label and value side by side: the value as shown, their width, where each starts from the middle."""

    value: str
    width: float
    value_at: float
    label_at: float


def _block(d: AnyDimension) -> _Block:
    shown = value_string(d)
    value = text_width(shown, d.height)
    if not d.label:
        return _Block(shown, value, -value / 2, 0.0)
    gap = LABEL_GAP_RATIO * d.height
    width = text_width(d.label, d.height) + gap + value
    if _value_first(d):
        return _Block(shown, width, -width / 2, -width / 2 + value + gap)
    return _Block(shown, width, width / 2 - value, -width / 2)


def _value_first(d: AnyDimension) -> bool:
    return isinstance(d, LengthDimension) and d.value_first


def _lettering(d: AnyDimension, text: str, offset: float) -> Text:
    ux, uy = unit(d.text_angle)
    at = (d.text_at[0] + offset * ux, d.text_at[1] + offset * uy)
    return Text(at, text, d.height, d.layer, angle=d.text_angle)


def _linear_lines(d: LengthDimension) -> list[DimensionLine]:
    a, b = feet(d)
    ux, uy = unit(d.direction)
    if (b[0] - a[0]) * ux + (b[1] - a[1]) * uy < 0:
        ux, uy = -ux, -uy
    arrow = ARROW_RATIO * d.height
    tail = arrow * TAIL_RATIO if d.arrows_outside else 0.0
    into = 1.0 if d.arrows_outside else -1.0
    begin, end = _under_words(d, a, b, (ux, uy), tail=tail)
    drawn: list[DimensionLine] = [Line(begin, end, d.layer)]
    drawn.extend(_extension(d.start, a, d))
    drawn.extend(_extension(d.end, b, d))
    drawn.append(_arrow(a, (into * ux, into * uy), arrow, d))
    drawn.append(_arrow(b, (-into * ux, -into * uy), arrow, d))
    return drawn


def _under_words(d: LengthDimension, a: Point, b: Point, u: Point, tail: float) -> tuple[Point, Point]:
    """Both ends of the dimension line: past its arrows' tails, and on under words that lie beyond an end."""
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    at = (d.text_at[0] - a[0]) * u[0] + (d.text_at[1] - a[1]) * u[1]
    half = block_width(d) / 2
    low, high = -tail, length + tail
    if at + half > length and at > length / 2:
        high = max(high, at + half)
    elif at - half < 0.0 and at < length / 2:
        low = min(low, at - half)
    return (a[0] + low * u[0], a[1] + low * u[1]), (a[0] + high * u[0], a[1] + high * u[1])


def _extension(point: Point, foot: Point, d: LengthDimension) -> list[DimensionLine]:
    """From a gap beside the point to just past its foot; none where they are that close."""
    dx, dy = foot[0] - point[0], foot[1] - point[1]
    length = math.hypot(dx, dy)
    if length <= EXTENSION_GAP + NEGLIGIBLE:
        return []
    gap, past = EXTENSION_GAP / length, 1 + EXTENSION_OVERSHOOT / length
    begin = (point[0] + gap * dx, point[1] + gap * dy)
    return [Line(begin, (point[0] + past * dx, point[1] + past * dy), d.layer)]


def _angular_lines(d: AngleDimension) -> list[DimensionLine]:
    first, span = d.start_angle, d.value
    if span * d.radius < NEGLIGIBLE:
        return []
    arrow = min(ARROW_RATIO * d.height, d.radius)
    turn = math.degrees(2 * math.asin(arrow / (2 * d.radius)))
    outside = span < 3 * turn
    tail = turn * TAIL_RATIO if outside else 0.0
    away = -turn if outside else turn
    drawn: list[DimensionLine] = [
        Arc(d.vertex, d.radius, first - tail, first + span + tail, layer=d.layer),
    ]
    for arm, angle, back in ((d.start, first, away), (d.end, first + span, -away)):
        ux, uy = unit(angle)
        reach = math.hypot(arm[0] - d.vertex[0], arm[1] - d.vertex[1])
        if reach + EXTENSION_GAP < d.radius:
            near, far = reach + EXTENSION_GAP, d.radius + EXTENSION_OVERSHOOT
            vx, vy = d.vertex
            drawn.append(Line((vx + near * ux, vy + near * uy), (vx + far * ux, vy + far * uy), d.layer))
        tip, tang = point_along(d.vertex, angle, d.radius), point_along(d.vertex, angle + back, d.radius)
        along = ((tip[0] - tang[0]) / arrow, (tip[1] - tang[1]) / arrow)
        drawn.append(_arrow(tip, along, arrow, d))
    return drawn


def tip_and_way(arrow: Polyline) -> tuple[Point, Point]:
    """Where an arrowhead's tip is, and the unit vector that it points along."""
    one, tip, two = arrow.points
    x, y = tip[0] - (one[0] + two[0]) / 2, tip[1] - (one[1] + two[1]) / 2
    length = math.hypot(x, y)
    return tip, (x / length, y / length)


def _arrow(tip: Point, pointing: Point, length: float, d: AnyDimension) -> Polyline:
    """Two open strokes that meet at `tip`; `pointing` is the unit vector the arrow points along."""
    half = length * math.tan(math.radians(ARROW_ANGLE / 2))
    ux, uy = pointing
    back = (tip[0] - length * ux, tip[1] - length * uy)
    one = (back[0] - half * uy, back[1] + half * ux)
    two = (back[0] + half * uy, back[1] - half * ux)
    return Polyline((one, tip, two), d.layer)


def _leader(d: AnyDimension) -> tuple[Line, ...]:
    """From the edge of the lettering's padded box, where it is nearest, to the leader's point."""
    if d.leader is None:
        return ()
    ux, uy = unit(d.text_angle)
    dx, dy = d.leader[0] - d.text_at[0], d.leader[1] - d.text_at[1]
    along, up = dx * ux + dy * uy, dy * ux - dx * uy
    pad = LEADER_PAD_RATIO * d.height
    half = block_width(d) / 2 + pad
    s, t = max(-half, min(half, along)), max(-pad, min(d.height + pad, up))
    if math.hypot(along - s, up - t) < NEGLIGIBLE:
        return ()
    begin = (d.text_at[0] + s * ux - t * uy, d.text_at[1] + s * uy + t * ux)
    return (Line(begin, d.leader, d.layer),)

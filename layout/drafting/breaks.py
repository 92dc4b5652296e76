"""Thin lines break where words stand: no line runs through a digit.

Axes, datum lines, hidden edges and adjacent parts break; outlines, crosses and dimensions do not, so
callouts keep off them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import assert_never

from layout.drafting.bounds import box_of, entity_bounds
from layout.drafting.clip import break_lines
from layout.drafting.dimensions import explode
from layout.drafting.entities import Arc, Circle, Entity, Line, Polyline, Stroke, Text
from layout.drafting.lettering import text_box
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.drafting.transform import map_entity
from layout.drafting.vector import Point, middle

BREAKING = (Layer.CENTRE, Layer.DATUM, Layer.WHEEL, Layer.HIDDEN)
"""Layers whose lines give way to words."""
GAP = 0.8
"""Free paper between words and the ends of a line that breaks for them, mm."""
SLACK = 0.01
"""What a rounding could add to the reach of words, and more, mm."""


@dataclass(frozen=True)
class _WordBox:
    """The box of one line of lettering: upright once it is turned by minus `angle` about `at`.

    `bounds` holds it as it stands, and so does the circle about its `middle` with the radius `reach`.
    """

    at: Point
    angle: float
    box: Rect
    bounds: Rect
    middle: Point
    reach: float


def broken_at_words(entities: Iterable[Entity]) -> tuple[Entity, ...]:
    """The entities, thin lines broken where words stand."""
    drawn = tuple(entities)
    parts = (part for e in drawn for part in explode(e))
    words = [_words(part) for part in parts if isinstance(part, Text) and part.text.strip()]
    return tuple(piece for e in drawn for piece in _pieces(e, words))


def _words(text: Text) -> _WordBox:
    corners = text_box(text, GAP)
    turn = _turning(text.at, -text.angle)
    xs, ys = zip(*map(turn, corners), strict=True)
    bounds = box_of([text]).grown(GAP)
    box = Rect(min(xs), min(ys), max(xs), max(ys))
    low, _, high, _ = corners
    return _WordBox(
        text.at, text.angle, box, bounds, middle=middle(low, high), reach=math.dist(low, high) / 2 + SLACK
    )


def _pieces(e: Entity, words: Iterable[_WordBox]) -> Iterator[Entity]:
    if not isinstance(e, Line | Arc | Circle | Polyline) or e.layer not in BREAKING:
        yield e
        return
    box, left = entity_bounds(e), [e]
    room = None if box is None else box.grown(GAP)
    for each in words:
        if room is not None and room.overlaps(each.bounds) and _comes_near(e, each):
            left = [piece for stroke in left for piece in _broken(stroke, each)]
    yield from left


def _comes_near(stroke: Stroke, words: _WordBox) -> bool:
    """Whether the line or circle that a stroke lies on meets the circle about words."""
    match stroke:
        case Line():
            (x, y), (dx, dy) = _from(stroke.start, words.middle), _from(stroke.start, stroke.end)
            return abs(x * dy - y * dx) <= words.reach * math.hypot(dx, dy)
        case Arc() | Circle():
            return abs(math.dist(stroke.centre, words.middle) - stroke.radius) <= words.reach
        case Polyline():
            return True
        case _:
            assert_never(stroke)


def _from(a: Point, b: Point) -> Point:
    return b[0] - a[0], b[1] - a[1]


def _broken(stroke: Stroke, words: _WordBox) -> Iterator[Stroke]:
    there = map_entity(stroke, _turning(words.at, -words.angle), -words.angle)
    pieces = break_lines(there, [words.box])
    if pieces == (there,):
        yield stroke
        return
    for piece in pieces:
        if isinstance(piece, Line | Arc | Circle | Polyline):
            yield map_entity(piece, _turning(words.at, words.angle), words.angle)


def _turning(about: Point, angle: float) -> Callable[[Point], Point]:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def turn(p: Point) -> Point:
        x, y = p[0] - about[0], p[1] - about[1]
        return about[0] + c * x - s * y, about[1] + s * x + c * y

    return turn

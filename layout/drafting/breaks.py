"""Thin lines break where words stand: no line runs through a digit.

Axes, datum lines, hidden edges and adjacent parts break; outlines, crosses and dimensions do not, so
callouts keep off them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import assert_never

import numpy as np
import numpy.typing as npt

from layout.drafting.bounds import entity_bounds, rect_around
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
    bounds = np.array([each.bounds for each in words]).reshape(-1, 4)
    return tuple(piece for e in drawn for piece in _pieces(e, words, bounds))


def _words(text: Text) -> _WordBox:
    corners = text_box(text, GAP)
    turn = _turning(text.at, -text.angle)
    low, _, high, _ = corners
    return _WordBox(
        text.at,
        text.angle,
        box=rect_around(map(turn, corners)),
        bounds=rect_around(corners),
        middle=middle(low, high),
        reach=math.dist(low, high) / 2 + SLACK,
    )


def _pieces(e: Entity, words: Sequence[_WordBox], word_bounds: npt.NDArray[np.float64]) -> Iterator[Entity]:
    """An entity, or what words leave of it; `word_bounds` are those of the words, (n, 4)."""
    if not isinstance(e, Line | Arc | Circle | Polyline) or e.layer not in BREAKING:
        yield e
        return
    box, left = entity_bounds(e), [e]
    for k in () if box is None else np.flatnonzero(_overlapping(box.grown(GAP), word_bounds)).tolist():
        if _comes_near(e, words[k]):
            left = [piece for stroke in left for piece in _broken(stroke, words[k])]
    yield from left


def _overlapping(room: Rect, bounds: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Which of the rectangles (n, 4) have area in the room."""
    left, bottom, right, top = bounds.T
    across, up = (left < room.right) & (room.left < right), (bottom < room.top) & (room.bottom < top)
    overlapping: npt.NDArray[np.bool_] = across & up
    return overlapping


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

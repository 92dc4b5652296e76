"""Single-stroke lettering: the same lines in every format, whatever fonts a machine has.

A Text's `height` is its capital height, from the middle of the baseline's stroke to the
middle of the top stroke; the pen is as wide as `style.lettering_pen` says, with round ends
and joins. Kept pure so that the placer may measure thousands of words.

             .-. accent top (1.3 h over capitals)
    +--------+-+---+  1.0 h  capital height
    |              |  0.7 h  small letters
    +--------------+  0      baseline, from `at` along `angle`
    '- descenders -'  -0.3 h
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from layout.drafting.entities import Align, Point, Text
from layout.drafting.glyphs.alphabet import GRID, Glyph, box, glyph
from layout.drafting.glyphs.letters import KERN
from layout.drafting.style import lettering_pen

LINE_SPACING = 1.7
"""Baseline to baseline over the capital height: ISO 3098 asks 14/10, and 17/10 where capitals carry accents
(from memory)."""
_LINE_CLEAR = 0.1
"""Between the ink of tails and of the accents below them, mm."""


@dataclass(frozen=True, slots=True)
class LineTo:
    """A straight piece to `end`, mm."""

    end: Point


@dataclass(frozen=True, slots=True)
class CurveTo:
    """A cubic Bezier with handles `c1` and `c2` to `end`, mm; at most a quarter of an ellipse."""

    c1: Point
    c2: Point
    end: Point


Segment = LineTo | CurveTo


@dataclass(frozen=True, slots=True)
class Stroke:
    """What the pen draws without being lifted, from `start`."""

    start: Point
    segments: tuple[Segment, ...]


def text_width(text: str, height: float) -> float:
    """Width from the first character's left side to the last one's right side, mm.

    Digits are all of one width, so numbers that end at one place line up.
    """
    return _run(text).width * height / GRID


def widths_of_beginnings(text: str, height: float) -> list[float]:
    """What `text_width` is of the first character, of the first two, and so on to the whole text."""
    if _normal(text) != text:
        return [text_width(text[: end + 1], height) for end in range(len(text))]
    return [(x + letter.width) * height / GRID for x, letter in _run(text).placed]


@lru_cache(maxsize=64)
def line_step(height: float) -> float:
    """Baseline to baseline of lines under each other, mm: no box of one meets the next."""
    return max(LINE_SPACING * height, (1.3 + 0.3) * height + lettering_pen(height).width + _LINE_CLEAR)


def placed_glyphs(text: str) -> tuple[tuple[float, Glyph], ...]:
    """The glyphs of a line and where each begins on the baseline, in grid units (GRID a capital)."""
    return _run(text).placed


def text_start(text: Text) -> Point:
    """Where a text's baseline starts, whatever its alignment."""
    if text.align is Align.START:
        return text.at
    along = _before(text, text_width(text.text, text.height))
    a = math.radians(text.angle)
    return text.at[0] - along * math.cos(a), text.at[1] - along * math.sin(a)


def glyph_strokes(letter: Glyph) -> tuple[Stroke, ...]:
    """One glyph's strokes in grid units, from its own origin."""
    drawn: list[Stroke] = []
    _place(letter, 0.0, 0.0, c=1.0, s=0.0, out=drawn)
    return tuple(drawn)


def strokes(text: Text) -> tuple[Stroke, ...]:
    """The strokes of a line of lettering where it stands."""
    run = _run(text.text)
    k = text.height / GRID
    c, s = math.cos(math.radians(text.angle)) * k, math.sin(math.radians(text.angle)) * k
    shift = _before(text, run.width)
    x0, y0 = text.at
    drawn: list[Stroke] = []
    for offset, letter in run.placed:
        u = offset - shift
        _place(letter, x0 + c * u, y0 + s * u, c=c, s=s, out=drawn)
    return tuple(drawn)


def text_box(text: Text, pad: float = 0.0) -> tuple[Point, Point, Point, Point]:
    """The turned rectangle that all ink stays within, the pen's width included.

    Corners in order: below the start, below the end, above the end, above the start. It is
    as high as a capital (or the accents on it) and reaches below the baseline where a character does.
    `pad` widens it on all sides, mm.
    """
    run = _run(text.text)
    k = text.height / GRID
    margin = lettering_pen(text.height).width / 2 + pad
    width = run.width * k
    shift = _before(text, width)
    left, right = -shift - margin, width - shift + margin
    low, high = run.bottom * k - margin, run.top * k + margin
    c, s = math.cos(math.radians(text.angle)), math.sin(math.radians(text.angle))
    x0, y0 = text.at
    return (
        (x0 + c * left - s * low, y0 + s * left + c * low),
        (x0 + c * right - s * low, y0 + s * right + c * low),
        (x0 + c * right - s * high, y0 + s * right + c * high),
        (x0 + c * left - s * high, y0 + s * left + c * high),
    )


def _before(text: Text, width: float) -> float:
    """How much of a text's width lies before its `at`."""
    if text.align is Align.START:
        return 0.0
    return width / 2 if text.align is Align.MIDDLE else width


def missing(text: str) -> set[str]:
    """The characters that the alphabet lacks; an empty box is drawn for each."""
    return {char for char in _normal(text) if glyph(char) is None}


def flatten(stroke: Stroke, sagitta: float) -> tuple[Point, ...]:
    """A polyline that leaves the stroke by no more than `sagitta` mm.

    The number of chords follows from the bound on a curve's distance from its chord,
    (1/8) max |B''| / n**2, where |B''| is at most 6 times the greater second
    difference of the four points.
    """
    points = [stroke.start]
    for piece in stroke.segments:
        if isinstance(piece, LineTo):
            points.append(piece.end)
        else:
            points.extend(_chords(points[-1], piece, sagitta))
    return tuple(points)


@dataclass(frozen=True, slots=True)
class _Run:
    placed: tuple[tuple[float, Glyph], ...]
    width: float
    bottom: float
    top: float


def _normal(text: str) -> str:
    return text if text.isascii() else unicodedata.normalize("NFC", text)


@lru_cache(maxsize=8192)
def _run(text: str) -> _Run:
    """A line set out in grid units from x = 0."""
    placed: list[tuple[float, Glyph]] = []
    x, gap, bottom, top, before = 0.0, 0.0, 0.0, GRID, ""
    for char in _normal(text):
        letter = glyph(char) or box()
        x += (gap + letter.left + KERN.get((before, char), 0.0)) if placed else 0.0
        placed.append((x, letter))
        x += letter.width
        gap, before = letter.right, char
        bottom, top = min(bottom, letter.bottom), max(top, letter.top)
    return _Run(tuple(placed), x, bottom, top)


def _place(letter: Glyph, x0: float, y0: float, c: float, s: float, out: list[Stroke]) -> None:
    for (sx, sy), pieces in letter.paths:
        segments: list[Segment] = []
        for piece in pieces:
            if len(piece) == 3:
                (ax, ay), (bx, by), (ex, ey) = piece
                segments.append(
                    CurveTo(
                        (x0 + c * ax - s * ay, y0 + s * ax + c * ay),
                        (x0 + c * bx - s * by, y0 + s * bx + c * by),
                        (x0 + c * ex - s * ey, y0 + s * ex + c * ey),
                    )
                )
            else:
                ex, ey = piece
                segments.append(LineTo((x0 + c * ex - s * ey, y0 + s * ex + c * ey)))
        out.append(Stroke((x0 + c * sx - s * sy, y0 + s * sx + c * sy), tuple(segments)))


def _chords(start: Point, curve: CurveTo, sagitta: float) -> Iterator[Point]:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = start, curve.c1, curve.c2, curve.end
    bend = max(math.hypot(ax - 2 * bx + cx, ay - 2 * by + cy), math.hypot(bx - 2 * cx + dx, by - 2 * cy + dy))
    count = max(1, math.ceil(math.sqrt(0.75 * bend / sagitta)))
    for i in range(1, count):
        t = i / count
        u = 1 - t
        p, q, r, w = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        yield p * ax + q * bx + r * cx + w * dx, p * ay + q * by + r * cy + w * dy
    yield curve.end

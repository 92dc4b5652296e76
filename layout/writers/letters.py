"""Lettering as path data, many lines at once: the same strokes as `lettering.strokes`, only quicker.

A sheet has some three thousand characters of a dozen pieces each. Each line's points are gathered once,
in grid units; then many lines are moved together, and their numbers spelled between a format's own words
for move, line and curve.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from layout.drafting.entities import Text
from layout.drafting.glyphs.alphabet import GRID, Glyph
from layout.drafting.lettering import placed_glyphs, text_start
from layout.writers.decimals import Around, spelled
from layout.writers.strokes import Matrix, apply

Coordinates = npt.NDArray[np.float64]
Parts = npt.NDArray[np.uint8]
_MOVE, _LINE, _CURVE = 0, 1, 2
"""What a point is part of; a curve's points are three parts: both handles and its end."""

AT_ONCE = 100
"""Lines of lettering that are spelled together: so many stay in a processor's cache, which saves a third."""

_shapes: dict[int, tuple[Glyph, Parts, Coordinates]] = {}
"""Parts and points of each glyph met, by identity: the alphabet makes each glyph once."""


def path_words(move: str, line: str, curve: str) -> Around:
    """A format's words: # stands for a number, x and y of a move or line, of both handles and end of a curve.

    Raises ValueError where a word is longer than can stand around a number.
    """
    return Around([pair for words in (move, line, curve) for pair in _pairs(words)])


def _pairs(words: str) -> list[tuple[str, str]]:
    """What stands before and after each number."""
    first, *tails = words.split("#")
    return [(first if k == 0 else "", tail) for k, tail in enumerate(tails)]


def letters(texts: Sequence[Text], m: Matrix, words: Around) -> list[str]:
    """The strokes of each text through a matrix, in a format's words, to 0.001."""
    starts = range(0, len(texts), AT_ONCE)
    return [path for k in starts for path in _letters(texts[k : k + AT_ONCE], m, words)]


def _letters(texts: Sequence[Text], m: Matrix, words: Around) -> list[str]:
    lines = [_line(text.text) for text in texts]
    counts = [len(parts) for parts, _ in lines]
    parts, points = np.concatenate([p for p, _ in lines]), np.concatenate([p for _, p in lines])
    ux, uy, vx, vy, ox, oy = np.repeat(np.array([_placed(text, m) for text in texts]).T, counts, axis=1)
    numbers = np.empty((len(points), 2))
    numbers[:, 0] = ux * points[:, 0] + vx * points[:, 1] + ox
    numbers[:, 1] = uy * points[:, 0] + vy * points[:, 1] + oy
    which = np.add.outer(2 * parts.astype(np.intp), (0, 1))
    told, lengths = spelled(numbers.ravel(), words, which.ravel())
    ends = np.concatenate(([0], np.cumsum(lengths)))[np.concatenate(([0], 2 * np.cumsum(counts)))]
    return [told[start:end] for start, end in pairwise(ends.tolist())]


def _placed(text: Text, m: Matrix) -> tuple[float, ...]:
    """Where a grid unit along a text and one up from it lead to, and where the text starts."""
    k, turn = text.height / GRID, math.radians(text.angle)
    c, s = math.cos(turn) * k, math.sin(turn) * k
    along = (m[0] * c + m[2] * s, m[1] * c + m[3] * s)
    return (*along, m[2] * c - m[0] * s, m[3] * c - m[1] * s, *apply(m, text_start(text)))


@lru_cache(maxsize=4096)
def _line(text: str) -> tuple[Parts, Coordinates]:
    """What each point of a line is part of, and all of them in grid units from the baseline's start."""
    placed = placed_glyphs(text)
    shapes = [_shapes.get(id(glyph)) or _shape(glyph) for _, glyph in placed]
    parts = np.concatenate([np.empty(0, dtype=np.uint8), *(shape[1] for shape in shapes)])
    points = np.concatenate([np.empty((0, 2)), *(shape[2] for shape in shapes)])
    points[:, 0] += np.repeat([offset for offset, _ in placed], [len(shape[1]) for shape in shapes])
    return parts, points


def _shape(glyph: Glyph) -> tuple[Glyph, Parts, Coordinates]:
    parts: list[int] = []
    points: list[tuple[float, float]] = []
    for start, pieces in glyph.paths:
        parts.append(_MOVE)
        points.append(start)
        for piece in pieces:
            if len(piece) == 3:
                parts.extend((_CURVE, _CURVE + 1, _CURVE + 2))
                points.extend(piece)
            else:
                parts.append(_LINE)
                points.append(piece)
    coordinates = np.array(points, dtype=np.float64).reshape(-1, 2)
    _shapes[id(glyph)] = glyph, np.array(parts, dtype=np.uint8), coordinates
    return _shapes[id(glyph)]

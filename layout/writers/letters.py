"""Lettering as path data, a line at a time: the same strokes as `lettering.strokes`, only quicker.

A sheet has some three thousand characters of a dozen pieces each. Each line's points
are gathered once, in grid units; a format then moves them all at once and fills them into a
template made of its own words for move, line and curve.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from layout.drafting.entities import Text
from layout.drafting.glyphs.alphabet import GRID, Glyph
from layout.drafting.lettering import placed_glyphs, text_start
from layout.writers.strokes import Matrix, apply

MOVE, LINE, CURVE = "m", "l", "c"

Coordinates = npt.NDArray[np.float64]

_shapes: dict[int, tuple[Glyph, str, Coordinates]] = {}
"""Kinds of pieces and points of each glyph met, by identity: the alphabet makes each glyph once."""


def letters(text: Text, m: Matrix, words: Mapping[str, str]) -> str:
    """A text's strokes through a matrix; `words` are %-templates for MOVE, LINE and CURVE.

    MOVE and LINE are filled with x and y, CURVE with both handles and the end.
    """
    kinds, points = _line(text.text)
    k, turn = text.height / GRID, math.radians(text.angle)
    c, s = math.cos(turn) * k, math.sin(turn) * k
    ux, uy = m[0] * c + m[2] * s, m[1] * c + m[3] * s
    vx, vy = m[2] * c - m[0] * s, m[3] * c - m[1] * s
    ox, oy = apply(m, text_start(text))
    placed = np.empty_like(points)
    placed[:, 0] = ux * points[:, 0] + vx * points[:, 1] + ox
    placed[:, 1] = uy * points[:, 0] + vy * points[:, 1] + oy
    template = "".join(map(words.__getitem__, kinds))
    return template % tuple(placed.ravel().tolist())


@lru_cache(maxsize=4096)
def _line(text: str) -> tuple[str, Coordinates]:
    """The kinds of pieces of a line, and all its points in grid units from the baseline's start."""
    kinds: list[str] = []
    points: list[Coordinates] = [np.empty((0, 2))]
    for offset, glyph in placed_glyphs(text):
        known = _shapes.get(id(glyph)) or _shape(glyph)
        kinds.append(known[1])
        points.append(known[2] + (offset, 0.0))
    return "".join(kinds), np.concatenate(points)


def _shape(glyph: Glyph) -> tuple[Glyph, str, Coordinates]:
    kinds: list[str] = []
    points: list[tuple[float, float]] = []
    for start, pieces in glyph.paths:
        kinds.append(MOVE)
        points.append(start)
        for piece in pieces:
            if len(piece) == 3:
                kinds.append(CURVE)
                points.extend(piece)
            else:
                kinds.append(LINE)
                points.append(piece)
    coordinates = np.array(points, dtype=np.float64).reshape(-1, 2)
    _shapes[id(glyph)] = glyph, "".join(kinds), coordinates
    return _shapes[id(glyph)]

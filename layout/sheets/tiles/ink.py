"""Where there is ink, on a raster of whole millimetres: what tiling counts pages by.

A pixel is marked wherever a stroke, its pen's width included, touches it, and may be marked
within half a millimetre of one: a window without marks is certainly blank.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import pairwise, product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.drafting.bounds import on_arc
from layout.drafting.dimensions import explode
from layout.drafting.entities import Arc, Circle, ControlPoint, Entity, Line, Point, Polyline, Text
from layout.drafting.glyphs.alphabet import GRID, Glyph
from layout.drafting.lettering import flatten, glyph_strokes, placed_glyphs, strokes, text_start
from layout.drafting.rect import Rect

SPACING = 0.4
"""Between two samples along a stroke, mm."""
SAGITTA = 0.03
"""Curves are sampled along chords this close, mm: far less than a pixel."""
REACH = SPACING / 2 + SAGITTA + 0.25
"""From a sample to the farthest ink it stands for, half the thickest line included. Twice this is
less than a pixel, so the corners of that square touch every pixel the square does."""

PLACES = 6
"""Decimals that count, as in files: the last bits of a machine's arithmetic choose no pixel."""

LARGEST_LETTERING = 14.0
"""Capital height that glyphs are sampled for, mm: no lettering on a sheet is larger."""

Segment = tuple[float, float, float, float]


class Ink(NamedTuple):
    """Marked pixels, summed: `sums[y, x]` counts those below and to the left of pixel (x, y).

    `left` and `bottom` are the raster's corner in drawing coordinates, whole millimetres. The sums are the
    shortest whole numbers that hold them: less memory to go through.
    """

    left: int
    bottom: int
    sums: NDArray[np.unsignedinteger]

    @property
    def width(self) -> int:
        """Pixels across."""
        return int(self.sums.shape[1]) - 1

    @property
    def height(self) -> int:
        """Pixels up."""
        return int(self.sums.shape[0]) - 1


def ink_of(entities: Iterable[Entity], within: Rect) -> Ink:
    """The ink of `entities`, all of which lie within `within` (mm)."""
    west, south, east, north = (
        round(v, PLACES) for v in (within.left, within.bottom, within.right, within.top)
    )
    left, bottom = math.floor(west) - 1, math.floor(south) - 1
    width, height = math.ceil(east) + 1 - left, math.ceil(north) + 1 - bottom
    marked = np.zeros((height, width), dtype=bool)
    x, y = np.round(_samples(_segments(entities)), PLACES) - ((left,), (bottom,))
    columns = [np.clip(x + d, 0, width - 1).astype(np.intp) for d in (-REACH, REACH)]
    rows = [np.clip(y + d, 0, height - 1).astype(np.intp) * width for d in (-REACH, REACH)]
    pixels = marked.reshape(-1)
    for row, column in product(rows, columns):
        pixels[row + column] = True
    sums = np.zeros((height + 1, width + 1), dtype=np.min_scalar_type(np.count_nonzero(marked)))
    sums[1:, 1:] = marked.cumsum(axis=1, dtype=np.int32)
    for below, row in pairwise(sums):
        row += below
    return Ink(left, bottom, sums)


def _segments(entities: Iterable[Entity]) -> NDArray[np.float64]:
    """The pieces of `segments_of` as rows, lettering a whole line at a time."""
    rows: list[Segment] = []
    lines: list[NDArray[np.float64]] = []
    for whole in entities:
        for e in explode(whole):
            if isinstance(e, Text):
                lines.append(_lettering(e))
            else:
                rows.extend(segments_of((e,)))
    return np.concatenate([np.array(rows, dtype=float).reshape(-1, 4), *lines])


def _lettering(text: Text) -> NDArray[np.float64]:
    """A line's pieces where it stands, from the glyphs' own."""
    turn, k = math.radians(text.angle), text.height / GRID
    c, s = math.cos(turn) * k, math.sin(turn) * k
    x0, y0 = text_start(text)
    level = _level(text.text)
    x, y = level[:, 0::2], level[:, 1::2]
    placed = np.empty_like(level)
    placed[:, 0::2] = c * x - s * y + x0
    placed[:, 1::2] = s * x + c * y + y0
    return placed


@lru_cache(maxsize=4096)
def _level(text: str) -> NDArray[np.float64]:
    """A line's pieces in grid units from the start of its baseline."""
    shifted = [np.add(_glyph_pieces(g), (along, 0.0, along, 0.0)) for along, g in placed_glyphs(text)]
    return np.concatenate([np.empty((0, 4)), *shifted])


@lru_cache(maxsize=1024)
def _glyph_pieces(letter: Glyph) -> NDArray[np.float64]:
    """A glyph's pieces in grid units, as close as SAGITTA asks at the largest height."""
    sagitta = SAGITTA * GRID / LARGEST_LETTERING
    drawn = (flatten(stroke, sagitta) for stroke in glyph_strokes(letter))
    return np.array([piece for points in drawn for piece in _join_runs(points)]).reshape(-1, 4)


def segments_of(entities: Iterable[Entity]) -> Iterator[Segment]:
    """What is drawn, as straight pieces x0, y0, x1, y1; a control point is one of no length."""
    for whole in entities:
        for e in explode(whole):
            match e:
                case Line():
                    yield (*e.start, *e.end)
                case Polyline():
                    yield from _join_runs((*e.points, e.points[0]) if e.closed and e.points else e.points)
                case Arc():
                    yield from _join_runs(_chords(e, e.start_angle, e.end_angle))
                case Circle():
                    yield from _join_runs(_chords(e, 0.0, 360.0))
                case Text():
                    for stroke in strokes(e):
                        yield from _join_runs(flatten(stroke, SAGITTA))
                case ControlPoint():
                    yield (*e.at, *e.at)


def _join_runs(points: tuple[Point, ...]) -> Iterator[Segment]:
    for a, b in pairwise(points):
        yield (*a, *b)


def _chords(arc: Arc | Circle, start: float, end: float) -> tuple[Point, ...]:
    """Points along an arc whose chords leave it by SAGITTA at most."""
    half = math.acos(max(1.0 - SAGITTA / arc.radius, 0.0)) if arc.radius > 0.0 else math.pi
    count = max(1, math.ceil(math.radians(end - start) / (2 * half)))
    return tuple(on_arc(arc, start + (end - start) * i / count) for i in range(count + 1))


def _samples(segments: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points along all segments, [x and y, point], SPACING apart or closer, both ends included."""
    x, y, run, rise = (*segments[:, :2].T, *(segments[:, 2:] - segments[:, :2]).T)
    counts = np.ceil(np.hypot(run, rise) / SPACING).astype(int)
    each, first = counts + 1, np.cumsum(counts + 1) - (counts + 1)
    part = np.arange(each.sum()) - np.repeat(first, each)
    share = np.maximum(counts, 1)
    return np.stack(
        [np.repeat(at, each) + part * np.repeat(go / share, each) for at, go in ((x, run), (y, rise))]
    )

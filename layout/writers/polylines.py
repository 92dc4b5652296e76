"""Strokes as straight runs, for formats that draw nothing else: chords, dashes, cutting at a window."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from layout.drafting.rect import Rect
from layout.drafting.vector import Point, middle

Run = tuple[Point, ...]


def chords(centre: Point, radius: float, start: float, end: float, sagitta: float) -> Run:
    """Points along an arc from `start` to `end` (degrees) whose chords leave it by `sagitta` mm at most.

    The ends are exact; a chord over an angle a leaves its arc by radius (1 - cos a/2).
    """
    widest = 2 * math.acos(1 - sagitta / radius) if radius > sagitta else math.pi / 2
    count = max(1, math.ceil(math.radians(end - start) / min(widest, math.pi / 2)))
    angles = (math.radians(start + (end - start) * i / count) for i in range(count + 1))
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)


def dash_run(run: Sequence[Point], dashes: Sequence[float]) -> Iterator[Run]:
    """The marks of a run drawn with a pattern of marks and gaps (mm), beginning with a mark at its start.

    A run without a pattern, or shorter than the first mark, is one mark.

    >>> list(dash_run([(0.0, 0.0), (5.0, 0.0)], [2.0, 1.0]))
    [((0.0, 0.0), (2.0, 0.0)), ((3.0, 0.0), (5.0, 0.0))]
    """
    if not dashes:
        yield tuple(run)
        return
    mark: list[Point] = [run[0]]
    index, left = 0, dashes[0]
    for a, b in pairwise(run):
        length = math.dist(a, b)
        done = 0.0
        while length - done > left:
            done += left
            at = (a[0] + (b[0] - a[0]) * done / length, a[1] + (b[1] - a[1]) * done / length)
            if index % 2 == 0:
                yield (*mark, at)
            mark = [at]
            index = (index + 1) % len(dashes)
            left = dashes[index]
        left -= length - done
        if index % 2 == 0:
            mark.append(b)
    if index % 2 == 0 and len(mark) > 1:
        yield tuple(mark)


def clip_run(run: Sequence[Point], window: Rect) -> list[Run]:
    """What of a run lies inside a window, its edges included (Liang and Barsky's clipping).

    >>> clip_run([(-1.0, 1.0), (1.0, 1.0), (1.0, 9.0)], Rect(0.0, 0.0, 4.0, 4.0))
    [((0.0, 1.0), (1.0, 1.0), (1.0, 4.0))]
    """
    pieces: list[list[Point]] = []
    for a, b in pairwise(run):
        span = _inside(a, b, window)
        if span is None:
            continue
        start, end = middle(a, b, span[0]), middle(a, b, span[1])
        if pieces and span[0] == 0.0 and pieces[-1][-1] == a:
            pieces[-1].append(end)
        elif start != end:
            pieces.append([start, end])
    return [tuple(p) for p in pieces]


def _inside(a: Point, b: Point, window: Rect) -> tuple[float, float] | None:
    """The part of the line from `a` (0) to `b` (1) that lies in the window."""
    first, last = 0.0, 1.0
    for start, run, low, high in (
        (a[0], b[0] - a[0], window.left, window.right),
        (a[1], b[1] - a[1], window.bottom, window.top),
    ):
        if run == 0.0:
            if not low <= start <= high:
                return None
            continue
        enter, leave = sorted(((low - start) / run, (high - start) / run))
        first, last = max(first, enter), min(last, leave)
        if first > last:
            return None
    return first, last

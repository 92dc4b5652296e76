"""What is engraved: single-stroke words and lines, all on the material and clear of every cut."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from layout.drafting.entities import Align, Text
from layout.drafting.lettering import flatten, line_step, strokes, text_box
from layout.geometry.plates.contour import Array, Point
from layout.geometry.plates.nearest import inside, kept_pieces, on_material
from layout.geometry.plates.plate import Plate, Stroke

HEIGHTS = (5.0, 3.5, 2.5)
"""Lettering heights, the largest that fits is taken."""
CLEAR = 1.2
"""Between lettering and any cut, mm: heat discolours that much."""
LINE_CLEAR = 1.0
"""An engraved line ends this far from a cut, mm."""
FINE = 0.02
"""Curves of letters are engraved as chords within this, mm."""
CROSS = 9.0
"""Arms of the cross at a hole's centre reach this far past its edge, mm."""


Reach = tuple[Array, Array]


class Engraver:
    """Collects what is engraved on one part, refusing places that are not free."""

    def __init__(self, plate: Plate, missed: list[str]) -> None:
        """Engrave on `plate`; words that find no place on it are named in `missed`."""
        self._plate, self._missed = plate, missed
        self._rings: list[Array] = [s.loop for s in plate.shapes]
        self._boxes: list[Array] = []
        self._reaches = [_reach(ring) for ring in self._rings]
        self._strokes: list[Stroke] = []
        self._lines: list[tuple[Point, Point]] = []

    def done(self) -> Plate:
        """The part with everything engraved: lines are broken where words stand."""
        rings = [*self._rings, *self._boxes]
        for start, end in self._lines:
            self._strokes.extend(kept_pieces(rings, start, end, LINE_CLEAR))
        return replace(self._plate, engraving=(*self._plate.engraving, *self._strokes))

    def line(self, start: Point, end: Point) -> None:
        """A line, as far as it lies on the material."""
        self._lines.append((start, end))

    def cross(self, at: Point, radius: float) -> None:
        """The arms of a cross outside a hole of `radius` about `at`."""
        reach = radius + LINE_CLEAR + CROSS
        self.line((at[0] - reach, at[1]), (at[0] + reach, at[1]))
        self.line((at[0], at[1] - reach), (at[0], at[1] + reach))

    def words(
        self,
        lines: Sequence[str],
        spots: Iterable[tuple[Point, float]],
        heights: Sequence[float] = HEIGHTS,
        otherwise: Sequence[str] = (),
    ) -> bool:
        """Lines of words about the first spot (middle, angle in degrees) that is free, as large as it takes.

        Where there is none, the lines of `otherwise` are tried. Returns whether there was a place.
        """
        tried = list(spots)
        for words, height in product((lines, otherwise) if otherwise else (lines,), heights):
            for at, angle in tried:
                texts = _block(words, at, angle, height)
                boxes = [np.array(text_box(t, CLEAR)) for t in texts]
                if all(self._free(b) for b in boxes):
                    self._boxes.extend(boxes)
                    self._reaches.extend(map(_reach, boxes))
                    self._strokes.extend(engraving_strokes(texts))
                    return True
        self._missed.append(f"{' '.join(lines)} on {self._plate.name}")
        return False

    def _free(self, box: Array) -> bool:
        outline, *holes = self._rings
        whole, *reaches = self._reaches
        low, high = reach = _reach(box)
        if bool((low < whole[0]).any() or (high > whole[1]).any()):
            return False
        others = zip((*holes, *self._boxes), reaches, strict=True)
        near = [ring for ring, its in others if _reaches_meet(reach, its)]
        if not bool(on_material([outline, *near], box).all()):
            return False
        return not any(_meet(box, ring) for ring in (outline, *near))


def engraving_strokes(texts: Iterable[Text]) -> Iterator[Stroke]:
    """Lettering as the straight strokes that are engraved."""
    for text in texts:
        for stroke in strokes(text):
            points = flatten(stroke, FINE)
            if len(points) > 1:
                yield points


def _block(lines: Sequence[str], at: Point, angle: float, height: float) -> list[Text]:
    """Lines of words under each other, centred on `at`."""
    step = line_step(height)
    total = height + (len(lines) - 1) * step
    a = math.radians(angle)
    found = []
    for k, line in enumerate(lines):
        v = total / 2 - height - k * step
        base = (at[0] - v * math.sin(a), at[1] + v * math.cos(a))
        found.append(Text(base, line, height, angle=angle, align=Align.MIDDLE))
    return found


def _reach(ring: Array) -> Reach:
    """The lower left and the upper right corner of the upright box round a ring."""
    return ring.min(axis=0), ring.max(axis=0)


def _reaches_meet(a: Reach, b: Reach) -> bool:
    """Whether two upright boxes overlap."""
    (ax, ay), (bx, by) = a[0].tolist(), a[1].tolist()
    (cx, cy), (dx, dy) = b[0].tolist(), b[1].tolist()
    return bool(bx >= cx and by >= cy and dx >= ax and dy >= ay)


def _meet(box: Array, ring: Array) -> bool:
    """Whether a vertex of the ring lies in the box, or a side of one crosses a side of the other.

    Sides of the ring that are nowhere near the box are left out first.
    """
    a, b = ring, np.roll(ring, -1, axis=0)
    near = ((np.maximum(a, b) >= box.min(axis=0)) & (np.minimum(a, b) <= box.max(axis=0))).all(axis=1)
    a, b = a[near], b[near]
    return len(a) > 0 and (bool(inside(box, a).any()) or _cross(box, a, b))


def _cross(box: Array, a: Array, b: Array) -> bool:
    """Whether a side of the box crosses one of the sides from `a` to `b`, points (n, 2)."""
    for k in range(4):
        p, q = box[k], box[(k + 1) % 4]
        d1, d2 = _turn(p, q, a), _turn(p, q, b)
        d3, d4 = _turn_of(a, b, p), _turn_of(a, b, q)
        if bool(((d1 * d2 < 0.0) & (d3 * d4 < 0.0)).any()):
            return True
    return False


def _turn(p: Array, q: Array, r: Array) -> Array:
    found: Array = (q[0] - p[0]) * (r[:, 1] - p[1]) - (q[1] - p[1]) * (r[:, 0] - p[0])
    return found


def _turn_of(a: Array, b: Array, p: Array) -> Array:
    found: Array = (b[:, 0] - a[:, 0]) * (p[1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[0] - a[:, 0])
    return found

r"""Mitre templates: one wrap strip for each cut end, the tube's outside laid flat at true scale.

                      waste                        printed side out, the joint upwards
    +- - - - - - - - -+- - - - - - - - - -+--+     centre line: the point where the axes meet (s = 0)
    |  \              |                 /  |  |
    |    \__     _____|______     _____/   |  |     cut line
    |       \___/     |      \___/         |ov|
    |   tube          | words             |er|     phase line: the tube's reference line, phi = 0,
    |                 |                   |la|     the same on the strips of both ends
    +--'--------------'---------'---------'--+     quarter marks; the edge is square to the tube

Seen from outside with the joint upwards, phi grows to the right at a tube's second end and to the left at its
first. The strip is cut along its outline and wrapped with its edges meeting on the seam.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from layout.bench.marks import Mark, bend_marks
from layout.drafting.entities import (
    Align,
    ControlPoint,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Point,
    Polyline,
    Text,
)
from layout.drafting.lettering import LINE_SPACING, text_width
from layout.drafting.panel import Panel
from layout.drafting.style import SCRIBE, Layer, Pen
from layout.geometry.space.assembly import Assembly
from layout.geometry.space.develop import Development, development, trace
from layout.geometry.space.lengths import TubeLengths, lengths_of
from layout.geometry.space.mitre import Cut
from layout.geometry.space.vectors import Array
from layout.views.crosses import cross
from layout.views.templates.words import SIDE, SMALL_NOTE, lettering_height, strip_lines

OVERLAP = 8.0
"""Paper past the seam, for a strip of tape or glue."""
BEFORE_PHASE = 90.0
"""The strip begins this far before the phase line, degrees, so that three quarters are free for words."""
ABOVE = 6.0
"""Paper past the centre line or the longest point, whichever is further out."""
LEAST_BODY = 12.0
"""Paper on the tube past the deepest point, at least."""
EDGE_STEP = 5.0
"""The edge lies a multiple of this from the centre point: easy to mark with a tape."""
TICK = 5.0
DIMENSION_OFF = 5.0
DIMENSION_ROOM = 10.0
CROSS_ARM = 4.0
WIDE = 888.8
"""As wide as a number on a strip gets, for reckoning how many lines the words will take."""
SHORT = 300.0
"""On a tube shorter than this, mm, two strips may overlap, which takes more words to say."""
SMOOTH = 0.01
"""Edges that are no straight lines are drawn within this, mm."""
PHASE_WORDS = ("phase line, both ends", "phase line", "phase")
WASTE = "waste"
CUT_PEN = Pen(SCRIBE)
"""Fine enough to cut to its middle, and seen before the thin lines."""


class Strip(NamedTuple):
    """A template and what was laid flat: `edge` is from the centre point to the strip's edge, mm."""

    panel: Panel
    cut: Cut
    laid: Development
    edge: float


class _Layout(NamedTuple):
    """Where things lie on one strip; `place` takes phi (degrees) and s to the panel."""

    cut: Cut
    laid: Development
    edge: float
    top: float
    left: float

    def place(self, phi: Array, s: Array) -> tuple[Array, Array]:
        x, y = self.laid.flat(phi, self.cut.stations(s))
        into = self.cut.end.inward
        return self.left - into * x, DIMENSION_ROOM + self.edge - into * y

    def point(self, phi: float, s: float) -> Point:
        x, y = self.place(np.array([phi]), np.array([s]))
        return float(x[0]), float(y[0])

    @property
    def outward(self) -> float:
        """The direction of phi that runs to the right on the strip."""
        return -self.cut.end.inward

    @property
    def first(self) -> float:
        """Phi at the strip's left edge."""
        return -self.outward * BEFORE_PHASE

    def phi(self, part: float) -> float:
        """Phi at `part` of a turn from the left edge."""
        return self.first + self.outward * 360.0 * part

    @property
    def over(self) -> float:
        """The overlap as a part of a turn."""
        return OVERLAP / self.laid.girth


def strips(frame: Assembly, job: str) -> list[Strip]:
    """The templates of every mitred end, tube by tube. `job` names the spec on each."""
    found: list[Strip] = []
    for name in dict.fromkeys(c.tube for c in frame.cuts):
        lengths = lengths_of(frame, name)
        cuts = [c for c in frame.cuts if c.tube == name]
        bends = tuple(bend_marks(frame, frame.tubes[name]))
        said = [_Said(c, development(c), lengths, job, paired=len(cuts) == 2, bends=bends) for c in cuts]
        edges = {s.cut.end_name: s.edge() for s in said}
        for each in said:
            name_of_end = each.cut.end_name
            other = next((e for end, e in edges.items() if end != name_of_end), None)
            found.append(_strip(each, edges[name_of_end], other))
    return found


class _Said(NamedTuple):
    """What a strip tells of: its cut laid flat, its tube's lengths and bends; `paired`: each end has one."""

    cut: Cut
    laid: Development
    lengths: TubeLengths
    job: str
    paired: bool
    bends: tuple[Mark, ...]

    def lines(self, edge: float, other: float | None) -> list[str]:
        """Its words."""
        cut, laid = self.cut, self.laid
        return strip_lines(cut, self.lengths, self.job, laid, edge=edge, other=other, bends=self.bends)

    def edge(self) -> float:
        """From the centre point to the strip's edge, mm: room for the words under the deepest point."""
        between = -WIDE if self.lengths.centre_length < SHORT else WIDE
        other = self.lengths.centre_length - WIDE - between if self.paired else None
        text = len(self.lines(WIDE, other)) * LINE_SPACING * lettering_height(self.laid)
        body = max(LEAST_BODY, text + TICK + SMALL_NOTE + 2 * SIDE)
        return math.ceil((self.cut.greatest.s + body) / EDGE_STEP) * EDGE_STEP


def _strip(said: _Said, edge: float, other: float | None) -> Strip:
    """The template of one end; `other` is the edge of the other end's, mm, if it has one."""
    cut, laid = said.cut, said.laid
    lines = said.lines(edge, other)
    layout = _place_layout(cut, laid, edge, ABOVE - min(cut.least.s, 0.0))
    entities: list[Entity] = [
        *_outline(layout),
        *_curve(layout),
        *_marks(layout),
        *_words(layout, lines),
        *_checks(layout),
    ]
    width, tall = _size(layout)
    name = f"{cut.tube}-{cut.end_name}"
    return Strip(Panel(name, Drawing(name, tuple(entities)), width, tall), cut, laid, edge)


def _place_layout(cut: Cut, laid: Development, edge: float, top: float) -> _Layout:
    """The layout whose leftmost ink is at DIMENSION_ROOM: a cone's strip leans outwards."""
    bare = _Layout(cut, laid, edge, top, left=0.0)
    x, _ = bare.place(np.full(2, bare.first), np.array([-top, edge]))
    return _Layout(cut, laid, edge, top, left=DIMENSION_ROOM - float(x.min()))


def _size(layout: _Layout) -> tuple[float, float]:
    phi = np.linspace(layout.phi(0.0), layout.phi(1.0 + layout.over), 91)
    x, _ = layout.place(np.full(2, phi[-1]), np.array([-layout.top, layout.edge]))
    _, y = layout.place(phi, np.full(phi.shape, -layout.top))
    return float(x.max()) + 1.0, float(y.max()) + 1.0


def _level(layout: _Layout, s: float, first: float, last: float) -> tuple[Point, ...]:
    """The line of one s between two parts of a turn: straight, or a cone's arc in chords within SMOOTH."""
    radius = layout.laid.girth / (2 * math.pi * max(abs(layout.laid.taper), 1e-12))
    span = (last - first) * layout.laid.girth
    count = max(1, math.ceil(span / math.sqrt(8 * SMOOTH * radius) + 1e-9)) if layout.laid.taper else 1
    phi = np.array([layout.phi(first + (last - first) * k / count) for k in range(count + 1)])
    x, y = layout.place(phi, np.full(phi.shape, s))
    return tuple((float(a), float(b)) for a, b in zip(x, y, strict=True))


def _outline(layout: _Layout) -> Iterator[Entity]:
    """The paper's edges, and the seam that its left edge comes to lie on."""
    end = 1.0 + layout.over
    bottom, top = _level(layout, layout.edge, 0.0, end), _level(layout, -layout.top, 0.0, end)
    yield Polyline((*bottom, *reversed(top)), Layer.SHEET, closed=True)
    seam = layout.phi(1.0)
    yield Line(layout.point(seam, layout.edge), layout.point(seam, -layout.top), Layer.HIDDEN)


def _curve(layout: _Layout) -> Iterator[Entity]:
    """The cut line, on into the overlap; dashed straight across where the tube passes beside."""
    left, right = sorted((layout.phi(0.0), layout.phi(1.0 + layout.over)))
    runs = trace(layout.cut, layout.laid, left)
    following = [*runs[1:], (runs[0][0] + 360.0, runs[0][1])]
    for (phi, s), (after, s_after) in zip(runs, following, strict=True):
        gap = np.array([phi[-1], after[0]]), np.array([s[-1], s_after[0]])
        for turn in (-360.0, 0.0, 360.0):
            points = _within(layout, phi + turn, s, left, right=right)
            if len(points) > 1:
                yield Polyline(points, Layer.OUTLINE, pen=CUT_PEN)
            across = _within(layout, gap[0] + turn, gap[1], left, right=right)
            if len(runs) > 1 or layout.cut.partial:
                yield from [Polyline(across, Layer.HIDDEN)] if len(across) > 1 else []


def _within(layout: _Layout, phi: Array, s: Array, left: float, right: float) -> tuple[Point, ...]:
    """That part of a run that lies on the strip, between two phi."""
    low, high = max(left, float(phi[0])), min(right, float(phi[-1]))
    if high - low < 1e-9:
        return ()
    inside = (phi > low) & (phi < high)
    ends = np.interp([low, high], phi, s)
    x, y = layout.place(
        np.concatenate([[low], phi[inside], [high]]), np.concatenate([ends[:1], s[inside], ends[1:]])
    )
    return tuple((float(a), float(b)) for a, b in zip(x, y, strict=True))


def _marks(layout: _Layout) -> Iterator[Entity]:
    """Phase line, centre line with its cross, quarter marks with the side of the frame each is on."""
    cut = layout.cut
    low, high = layout.point(0.0, layout.edge), layout.point(0.0, -layout.top)
    yield Line(low, high, Layer.CENTRE)
    yield Polyline(_level(layout, 0.0, 0.0, 1.0), Layer.CENTRE)
    x, y = layout.point(0.0, 0.0)
    yield from cross((x, y), CROSS_ARM)
    yield ControlPoint(f"{cut.tube}_{cut.end_name}_centre", (x, y))
    yield from _lettered_lines(layout)
    quarter = layout.laid.girth / 4
    for k in range(4):
        phi = layout.phi(k / 4)
        foot, tip = layout.point(phi, layout.edge), layout.point(phi, layout.edge - TICK)
        yield Line(foot, tip, Layer.NOTE)
        yield Line(layout.point(phi, -layout.top), layout.point(phi, -layout.top + TICK / 2), Layer.NOTE)
        name = cut.end.tube.quarter(phi)
        if text_width(name, SMALL_NOTE) > quarter - 2.0:
            name = name[0].upper()
        yield Text((tip[0] + 1.0, foot[1] + 1.2), name, SMALL_NOTE)


def _lettered_lines(layout: _Layout) -> Iterator[Text]:
    """The phase line's name beside it, and which side of the cut is waste where there is room to say so."""
    cut = layout.cut
    foot = layout.point(0.0, layout.edge)
    room = layout.edge - cut.greatest.s - TICK - SMALL_NOTE - 2 * SIDE
    name = next((w for w in PHASE_WORDS if text_width(w, SMALL_NOTE) <= room), None)
    if name is not None:
        at = (foot[0] - 1.2, foot[1] + TICK + SMALL_NOTE + SIDE)
        yield Text(at, name, SMALL_NOTE, angle=90.0)
    yield from _waste(layout)


def _waste(layout: _Layout) -> Iterator[Text]:
    """The word at the first place from the left where it fits between centre line and cut."""
    turn = layout.laid.girth / 360.0
    half = math.ceil((text_width(WASTE, SMALL_NOTE) / 2 + 1.0) / turn)
    phi = layout.first + layout.outward * np.arange(360.0)
    deep = np.interp(phi, layout.cut.phi, layout.cut.s, period=360.0) > SMALL_NOTE + 2.4
    beside_phase = np.abs((phi + 180.0) % 360.0 - 180.0) <= half
    for k in range(half + 1, 359 - half):
        if deep[k - half : k + half + 1].all() and not beside_phase[k]:
            x, y = layout.point(float(phi[k]), 0.0)
            yield Text((x, y - SMALL_NOTE - 1.2), WASTE, SMALL_NOTE, align=Align.MIDDLE)
            return


def _words(layout: _Layout, lines: list[str]) -> Iterator[Entity]:
    """The words in a block between phase line and seam, under the deepest point of the cut."""
    x, y = layout.point(0.0, layout.edge)
    height = lettering_height(layout.laid)
    step = LINE_SPACING * height
    y += TICK + SMALL_NOTE + SIDE + (len(lines) - 1) * step
    for line in lines:
        yield Text((x + SIDE, y), line, height)
        y -= step


def _checks(layout: _Layout) -> Iterator[Entity]:
    """Once round, along the edge, and from the edge to the centre line: measure them before wrapping."""
    a, b = layout.point(layout.phi(0.0), layout.edge), layout.point(layout.phi(1.0), layout.edge)
    angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    line_at = (a[0], min(a[1], b[1]) - DIMENSION_OFF)
    text_at = ((a[0] + b[0]) / 2, line_at[1] + 1.2)
    yield LengthDimension(
        "girth",
        a,
        b,
        angle,
        line_at=line_at,
        text_at=text_at,
        text_angle=angle,
        label="",
        decimals=1,
        height=SMALL_NOTE,
    )
    c = layout.point(layout.phi(0.0), 0.0)
    out = (min(a[0], c[0]) - DIMENSION_OFF, a[1])
    up = math.degrees(math.atan2(c[1] - a[1], c[0] - a[0]))
    middle = (out[0] - 1.2, (a[1] + c[1]) / 2)
    yield LengthDimension(
        "edge", a, c, up, line_at=out, text_at=middle, text_angle=up, label="", decimals=1, height=SMALL_NOTE
    )

"""What could be misread on a drawing, measured with the real lettering: shapely judges.

The bounds are the project's own: what a builder with a scriber must not meet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from crowding import lettering, stroke
from shapely import STRtree
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot

from layout.drafting.dimensions import ARROW_RATIO, explode
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    Circle,
    ControlPoint,
    Drawing,
    Entity,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.lettering import text_box
from layout.drafting.pieces import arc_pieces
from layout.drafting.style import Layer
from layout.drafting.vector import Point
from layout.frame.words import words

SEAM = 6.0
"""Nothing that is read or scribed lies nearer to a seam, mm."""
INSIDE = 0.3
"""What a line may reach into the box of lettering, mm: the box holds the pen's width."""

LONG, FAR = 40.0, 80.0
"""Leaders longer than the one are few, longer than the other none, mm."""
ON_TARGET = 0.5
"""The tip of a leader is no farther from what it names, mm."""

NOTES = (Layer.NOTE, Layer.FITTING)
"""Layers that notes and their leaders are drawn on."""

Seams = Iterable[tuple[Point, Point]]


@dataclass(frozen=True)
class Leader:
    """A leader from what it names to its words."""

    words: str
    line: LineString

    @property
    def length(self) -> float:
        """Of its line, mm."""
        return float(self.line.length)


@dataclass(frozen=True)
class Misreadings:
    """What was found, each by its words or name."""

    on_seam: tuple[str, ...]
    crossed: tuple[str, ...]
    leaders_cross: int
    leaders: tuple[Leader, ...]
    nearer: tuple[str, ...]
    tips: tuple[float, ...]
    strays: tuple[str, ...]

    @property
    def long(self) -> list[Leader]:
        """The leaders that are hard to follow."""
        return [leader for leader in self.leaders if leader.length > LONG]


def misreadings(drawing: Drawing, seams: Seams = ()) -> Misreadings:
    """All of it, for the view alone: tables have their own measure."""
    leaders = list(leaders_of(drawing))
    return Misreadings(
        tuple(near_seams(drawing, seams)),
        tuple(crossed_words(drawing)),
        sum(a.line.crosses(b.line) for i, a in enumerate(leaders) for b in leaders[:i]),
        tuple(leaders),
        tuple(nearer_another_line(drawing)),
        tuple(off_target(drawing, leader.line) for leader in leaders),
        tuple(strays(drawing, leaders)),
    )


def strays(drawing: Drawing, leaders: Iterable[Leader]) -> Iterator[str]:
    """Leaders of points' names whose tip is on another point than their own."""
    points = drawing.points()
    at: dict[str, list[Point]] = {}
    for name, place in points.items():
        at.setdefault(words(name), []).append(place)
    for leader in leaders:
        tip = Spot(leader.line.coords[0])
        if leader.words in at and min(Spot(p).distance(tip) for p in at[leader.words]) > ON_TARGET:
            yield leader.words


def nearer_another_line(drawing: Drawing) -> Iterator[str]:
    """Words of dimensions that are nearer to the dimension line of another than to their own."""
    drawn = [
        (e, LineString([part.start, part.end]))
        for e in drawing
        if isinstance(e, LengthDimension) and e.line_drawn
        for part in explode(e)[:1]
        if isinstance(part, Line)
    ]
    for e, own in drawn:
        for text in (part for part in explode(e) if isinstance(part, Text)):
            middle = Polygon(text_box(text)).centroid
            if any(middle.distance(line) < middle.distance(own) for other, line in drawn if other is not e):
                yield f"{text.text} of {e.name}"


def off_target(drawing: Drawing, leader: LineString) -> float:
    """How far a leader's tip is from a point, from the middle of its ring, or from the edge of a mark, mm."""
    tip = Spot(leader.coords[0])
    rings = [e for e in drawing if isinstance(e, Circle) and e.layer in NOTES]
    edges = (abs(Spot(e.centre).distance(tip) - e.radius) for e in rings)
    places = (*(e.centre for e in rings), *drawing.points().values())
    return min([*edges, *(Spot(at).distance(tip) for at in places)])


def near_seams(drawing: Drawing, seams: Seams) -> Iterator[str]:
    """Words, arrowheads and crosses' centres nearer than SEAM to a seam."""
    lines = MultiLineString([LineString(s) for s in seams])
    if lines.is_empty:
        return
    for said, box in lettering(drawing):
        if box.distance(lines) < SEAM:
            yield said
    for e in drawing:
        if isinstance(e, ControlPoint) and Spot(e.at).distance(lines) < SEAM:
            yield e.name
        for head in arrowheads(e):
            if head.distance(lines) < SEAM:
                yield f"arrow of {getattr(e, 'name', '')}"


def arrowheads(e: Entity) -> Iterator[LineString]:
    """The arrowheads of a dimension."""
    if isinstance(e, LengthDimension | AngleDimension):
        for part in explode(e):
            if isinstance(part, Polyline) and len(part.points) == 3:
                head = LineString(part.points)
                assert head.length < 3 * ARROW_RATIO * e.height
                yield head


def crossed_words(drawing: Drawing) -> Iterator[str]:
    """Words that a line of any width runs through, but for the line they stand on."""
    letters = lettering(drawing)
    tree = STRtree([box.buffer(-INSIDE) for _, box in letters])
    for e in drawing:
        for line in strokes(e):
            for k in tree.query(line, predicate="intersects"):
                yield f"{letters[k][0]} by {getattr(e, 'name', e.layer.value)}"


def strokes(e: Entity) -> Iterator[LineString]:
    for part in explode(e):
        if isinstance(part, Line | Polyline | Circle):
            yield stroke(part)
        elif isinstance(part, Arc):
            yield LineString([a for a, _ in arc_pieces(part, 2.0)] + [arc_pieces(part, 2.0)[-1][1]])


def leaders_of(drawing: Drawing) -> Iterator[Leader]:
    """Lines that follow their words: how a note draws its leader."""
    before: Entity | None = None
    for e in drawing:
        if isinstance(e, Line) and isinstance(before, Text) and e.layer in NOTES:
            yield Leader(before.text, LineString([e.start, e.end]))
        before = e

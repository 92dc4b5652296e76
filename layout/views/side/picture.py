"""A small picture of the side view for a page or a screen: 1:5, not for measuring.

SideStrokes of the true drawing, reduced; the words are notes with the true values, placed again at this size.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

from layout.drafting.bounds import box_of
from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Drawing, Text
from layout.drafting.numbers import format_number
from layout.drafting.placer import place
from layout.drafting.rect import Rect
from layout.drafting.reduce import reduce_drawing
from layout.drafting.scales import reduced_words
from layout.drafting.scene import by_layer, scene
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.vector import Point, middle
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import FORK_AXIS, SEAT_AXIS, Along, PlacedLength
from layout.views.crosses import crosses
from layout.views.side.plan import Plan, plan
from layout.views.side.strokes import adjacent_parts, arm, centrelines, ground_line
from layout.views.side.tubes import tubes

SCALE = 5
FACTOR = 1.0 / SCALE
MARGIN = 10.0
THIN_LINE_PRICE = 6.0


class NoteRow(NamedTuple):
    """A value shown, and how far along what it measures its words are: an angle's beside an axis."""

    name: str
    part: float = 0.5
    beside: Along | None = None

    def line(self, p: Plan) -> tuple[Point, Point] | None:
        """The line whose part the words are beside."""
        if self.beside is not None:
            return p[self.beside.first], p[self.beside.second]
        placed = p.placed(self.name)
        return (placed.start, placed.end) if isinstance(placed, PlacedLength) else None


NOTES = (
    NoteRow("head_angle", 0.4, FORK_AXIS),
    NoteRow("seat_angle", 0.4, SEAT_AXIS),
    NoteRow("rear_centre", 0.4),
    NoteRow("front_centre", 0.6),
    NoteRow("top_tube_length"),
    NoteRow("down_tube_length"),
    NoteRow("head_tube_length"),
    NoteRow("seat_tube_length", 0.85),
    NoteRow("wheelbase", beside=Along("rear_contact", "front_contact")),
)
"""The values a frame is known by."""


def picture(frame: Frame) -> tuple[Drawing, Rect]:
    """The reduced drawing and the room it takes, mm at the reduced size."""
    p = plan(frame)
    core = [at for n, at in p.points.items() if n not in ("saddle", "bar")]
    thin = [*adjacent_parts(p), *ground_line(p), *centrelines(p)]
    whole = Drawing(frame.job.title, (*thin, *tubes(p), *crosses(core, partial(arm, p))))
    small = reduce_drawing(whole, FACTOR)
    obstacles = by_layer(small, (Layer.OUTLINE, Layer.POINT), THIN_LINE_PRICE)
    notes = place(_notes(p), scene(obstacles)).entities
    box = box_of(small)
    caption = Text((box.left, box.bottom - MARGIN / 2), reduced_words(SCALE), TEXT_NOTE)
    drawing = small.with_entities((*notes, caption))
    return drawing, box_of(drawing).grown(MARGIN)


def _notes(p: Plan) -> list[Call]:
    """The values a frame is known by, each beside what it measures."""
    calls: list[Call] = []
    for row in NOTES:
        value = p.frame.plane.dimensions.get(row.name)
        line = row.line(p)
        if value is not None and line is not None:
            degrees = "°" if REGISTRY[row.name].unit == "deg" else ""
            text = f"{words(row.name)} {format_number(value, 1)}{degrees}"
            at = middle(*line, row.part)
            calls.append(NoteCall(text, (at[0] * FACTOR, at[1] * FACTOR), near=14.0))
    return calls

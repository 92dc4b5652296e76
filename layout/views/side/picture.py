"""A small picture of the side view for a page or a screen: 1:5, not for measuring.

Strokes of the true drawing, reduced; the words are notes with the true values, placed anew at this size.
"""

from __future__ import annotations

from functools import partial

from layout.drafting.bounds import bounds
from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Drawing, Text
from layout.drafting.numbers import format_number
from layout.drafting.placer import place
from layout.drafting.rect import Rect
from layout.drafting.reduce import reduced
from layout.drafting.scales import reduced_words
from layout.drafting.scene import by_layer, scene
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.vector import Point, middle
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.views.crosses import crosses
from layout.views.side.plan import Plan, plan
from layout.views.side.tubes import tubes
from layout.views.side.view import adjacent, arm, centrelines, ground

SCALE = 5
FACTOR = 1.0 / SCALE
MARGIN = 10.0
THIN_LINE_PRICE = 6.0


def picture(frame: Frame) -> tuple[Drawing, Rect]:
    """The reduced drawing and the room it takes, mm at the reduced size."""
    p = plan(frame)
    core = [at for n, at in p.points.items() if n not in ("saddle", "bar")]
    thin = [*adjacent(p), *ground(p), *centrelines(p)]
    whole = Drawing(frame.job.title, (*thin, *tubes(p), *crosses(core, partial(arm, p))))
    small = reduced(whole, FACTOR)
    obstacles = by_layer(small, (Layer.OUTLINE, Layer.POINT), THIN_LINE_PRICE)
    notes = place(_notes(p), scene(obstacles)).entities
    box = bounds(small)
    if box is None:
        raise ValueError("a frame without lines has no picture")
    caption = Text((box.left, box.bottom - MARGIN / 2), reduced_words(SCALE), TEXT_NOTE)
    drawing = small.with_entities((*notes, caption))
    room = bounds(drawing) or box
    return drawing, room.grown(MARGIN)


def _notes(p: Plan) -> list[Call]:
    """The values a frame is known by, each beside the middle of what it measures."""
    spots: dict[str, Point] = {
        "head_angle": middle(p["crown_race"], p["fork_foot"], 0.6),
        "seat_angle": middle(p["seat_tube_foot"], p["seat_tube_top"], 0.4),
        "rear_centre": middle(p["rear_axle"], p["bb"], 0.4),
        "front_centre": middle(p["bb"], p["front_axle"], 0.6),
        "top_tube_length": middle(p["top_tube_at_seat"], p["top_tube_at_head"]),
        "down_tube_length": middle(p["down_tube_at_bb"], p["down_tube_at_head"]),
        "head_tube_length": middle(p["head_tube_bottom"], p["head_tube_top"]),
        "seat_tube_length": middle(p["seat_tube_foot"], p["seat_tube_top"], 0.85),
        "wheelbase": middle(p["rear_contact"], p["front_contact"]),
    }
    calls: list[Call] = []
    for name, at in spots.items():
        value = p.frame.plane.dimensions.get(name)
        if value is not None:
            degrees = "°" if name.endswith("angle") else ""
            text = f"{words(name)} {format_number(value, 1)}{degrees}"
            calls.append(NoteCall(text, (at[0] * FACTOR, at[1] * FACTOR), near=14.0))
    return calls

"""A reduced sketch of the frame for the setup sheet: where each numbered setting is measured."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from layout.bench.settings import Setting, span_of
from layout.drafting.bounds import bounds
from layout.drafting.calls import NoteCall
from layout.drafting.entities import Circle, Drawing, Entity, Line, Text
from layout.drafting.lettering import line_step
from layout.drafting.panel import Panel
from layout.drafting.placer import place
from layout.drafting.rect import Rect
from layout.drafting.reduce import reduce_drawing
from layout.drafting.scales import largest, reduced_words
from layout.drafting.scene import by_layer, scene
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, THIN, Layer, Pattern, Pen
from layout.drafting.transform import move
from layout.drafting.vector import Point, middle
from layout.frame.solve import Frame
from layout.geometry.dimensions.spans import PlacedLength
from layout.views.side.plan import Plan, plan
from layout.views.side.tubes import tubes

SCALES = range(8, 61)
"""Reductions tried, the largest first; none is to be measured."""
AXLE = 12.0
"""Radius of the small circle that stands for a dummy axle, mm of the frame."""
MARGIN = 3.0
LINE_PRICE = 20.0
NUMBERED = {
    "bb_drop": 0.5,
    "rear_centre": 0.45,
    "front_centre": 0.5,
    "head_tube_height": 0.5,
    "rear_axle_height": 1.0,
    "front_axle_height": 1.0,
    "fork_offset": 0.5,
    "head_angle": 1.0,
    "seat_angle": 1.0,
    "seat_tube_offset": 1.0,
}
"""The settings with a number, and how far along what each measures it points; others speak for themselves."""
LINED = ("head_tube_height", "fork_offset", "front_centre", "bb_drop")
"""The settings whose line is drawn: no tube shows it."""
_FAINT = Pen(THIN, Pattern.PHANTOM)


def sketch_panel(
    frame: Frame, found: Sequence[Setting], width: float, height: float
) -> Panel:
    """The frame reduced to fit `width` x `height` mm, each setting's number where it is measured.

    Where there is no room for the numbers the frame stands alone. Raises ValueError where even
    that has none at 1:60.
    """
    p = plan(frame)
    strokes = Drawing("sketch", tuple(_strokes(p)))
    for numbered in (found, ()):
        panel = largest(SCALES, partial(_at_scale, p, strokes, numbered, (width, height)))
        if panel is not None:
            return panel
    raise ValueError(f"no sketch fits {width:g} x {height:g} mm")


def _strokes(p: Plan) -> Iterator[Entity]:
    """Tubes, shell, axles, and the lines along which the settings are measured."""
    yield from tubes(p)
    for axle in ("rear_axle", "front_axle"):
        yield Circle(p[axle], AXLE, Layer.OUTLINE)
    for name in LINED:
        span = span_of(name)
        placed = None if span is None else span.placed(p.points)
        if isinstance(placed, PlacedLength):
            yield Line(placed.start, placed.end, Layer.DIM)
    yield Line(p["rear_axle"], (p["front_axle"][0], p["rear_axle"][1]), Layer.WHEEL, _FAINT)


def _at_scale(
    p: Plan, strokes: Drawing, found: Sequence[Setting], size: tuple[float, float], scale: int
) -> Panel | None:
    """The sketch at 1:`scale` with its numbers, or None where it is larger than `size`."""
    (width, height), small = size, reduce_drawing(strokes, 1.0 / scale)
    captions = [f"{reduced_words(scale)}; heading {p.frame.heading}", *_foot_words(found)]
    foot = len(captions) * line_step(TEXT_NOTE)
    if _box_within(small, width, height - foot) is None:
        return None
    calls = [
        NoteCall(str(s.number), _small(at, scale), TEXT_TABLE, near=6.0, far=40.0)
        for s in found
        if (at := _target(p, s.name)) is not None
    ]
    placed = place(calls, scene(by_layer(small, (Layer.OUTLINE,), LINE_PRICE)))
    pairs = zip(calls, placed.groups, strict=True)
    numbers = [e for call, group in pairs if call.text not in placed.crowded for e in group]
    box = _box_within((*small, *numbers), width, height - foot)
    if box is None:
        return None
    x, y = box.centre
    drawn = move(Drawing("sketch", (*small, *numbers)), width / 2 - x, (height + foot) / 2 - y)
    lowest = 0.35 * TEXT_NOTE
    notes = (
        Text((MARGIN, lowest + k * line_step(TEXT_NOTE)), text, TEXT_NOTE)
        for k, text in enumerate(reversed(captions))
    )
    return Panel("sketch", drawn.with_entities(notes), width, height)


def _box_within(drawn: Iterable[Entity], width: float, height: float) -> Rect | None:
    """The box of what is drawn, None where it does not fit with a margin round it."""
    box = bounds(drawn) or Rect(0.0, 0.0, 0.0, 0.0)
    return box if box.width + 2 * MARGIN <= width and box.height + 2 * MARGIN <= height else None


def _foot_words(found: Sequence[Setting]) -> list[str]:
    """What the foot of the offset is, by the number that points at the offset."""
    return [f"square to axle: where {s.number} meets the axis" for s in found if s.name == "fork_offset"]


def _target(p: Plan, name: str) -> Point | None:
    """What the number of a setting points at: on the line of a length, at the end of an angle's axis."""
    part, span = NUMBERED.get(name), span_of(name)
    if part is None or span is None:
        return None
    placed = span.placed(p.points)
    if isinstance(placed, PlacedLength):
        return middle(placed.start, placed.end, part)
    return None if placed is None else placed.first


def _small(at: Point, scale: int) -> Point:
    return at[0] / scale, at[1] / scale

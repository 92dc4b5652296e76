"""The Drawing: a flat display list in millimetres, plain data that says what is meant.

x to the right, y up; angles in degrees, counter-clockwise positive. An entity
knows its layer; its pen is the layer's unless it has one of its own. Nothing here
knows paper, files or bicycles.

    Line, Arc, Circle, Polyline      what a pen draws
    Text                             one line of single-stroke lettering
    ControlPoint                     a named point that files must carry exactly
    Dimension, AngleDimension        two points (and a vertex): the value is computed, never stored
    DatumLine                        endless line, ended and ticked at the sheet's edge by `lay`
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import KW_ONLY, dataclass
from enum import StrEnum

from layout.drafting.style import LAYER_PENS, TEXT_CALLOUT, Layer, Pen, lettering_pen
from layout.drafting.vector import Point as Point
from layout.drafting.vector import bearing


class Align(StrEnum):
    """Where a Text's `at` lies along its baseline."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class _Plain:
    """An entity as plain values: so it goes to another process, in half the time that dataclasses take."""

    __slots__: tuple[str, ...] = ()

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        return _made_again, (type(self), *[getattr(self, name) for name in self.__slots__])


def _made_again(kind: type[_Plain], *values: object) -> _Plain:
    entity = object.__new__(kind)
    for name, value in zip(kind.__slots__, values, strict=True):
        object.__setattr__(entity, name, value)
    return entity


@dataclass(frozen=True, slots=True)
class Line(_Plain):
    """A straight line from `start` to `end`."""

    start: Point
    end: Point
    layer: Layer
    pen: Pen | None = None


@dataclass(frozen=True, slots=True)
class Arc(_Plain):
    """A circular arc, counter-clockwise from `start_angle` to `end_angle` (degrees, end > start)."""

    centre: Point
    radius: float
    start_angle: float
    end_angle: float
    _: KW_ONLY
    layer: Layer
    pen: Pen | None = None


@dataclass(frozen=True, slots=True)
class Circle(_Plain):
    """A whole circle."""

    centre: Point
    radius: float
    layer: Layer
    pen: Pen | None = None


@dataclass(frozen=True, slots=True)
class Polyline(_Plain):
    """Straight pieces through `points`; closed returns to the first."""

    points: tuple[Point, ...]
    layer: Layer
    closed: bool = False
    pen: Pen | None = None


@dataclass(frozen=True, slots=True)
class Text(_Plain):
    """One line of lettering. `height` is the capital height; `angle` turns the baseline about `at`.

    `at` lies on the baseline at its start, middle or end.
    """

    at: Point
    text: str
    height: float
    layer: Layer = Layer.NOTE
    _: KW_ONLY
    angle: float = 0.0
    align: Align = Align.START


@dataclass(frozen=True, slots=True)
class ControlPoint(_Plain):
    """A named point that every file format carries exactly; the cross is drawn by separate lines."""

    name: str
    at: Point
    layer: Layer = Layer.POINT


@dataclass(frozen=True, slots=True)
class LengthDimension(_Plain):
    """A length measured from `start` to `end` along `direction` (degrees).

    The dimension line passes through `line_at` parallel to `direction`; its ends are
    the feet of start and end on it, joined by extension lines where these are away
    from the points, and drawn on under lettering past them. `text_at` is the middle of the
    baseline of the lettering (label and value side by side, the value before the label with
    `value_first`), `text_angle` its direction, chosen to be read from below or from the right.
    With `line_drawn` false only the lettering is drawn.
    `leader` is a point to draw a thin line to from the lettering, or None.
    """

    name: str
    start: Point
    end: Point
    direction: float
    _: KW_ONLY
    line_at: Point
    text_at: Point
    text_angle: float
    label: str = ""
    decimals: int = 1
    height: float = TEXT_CALLOUT
    arrows_outside: bool = False
    value_first: bool = False
    line_drawn: bool = True
    leader: Point | None = None
    layer: Layer = Layer.DIM

    @property
    def value(self) -> float:
        """The measured length in mm, not negative."""
        a = math.radians(self.direction)
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return abs(dx * math.cos(a) + dy * math.sin(a))


@dataclass(frozen=True, slots=True)
class AngleDimension(_Plain):
    """The angle at `vertex`, counter-clockwise from the arm through `start` to the one through `end`.

    Drawn as an arc of `radius` about the vertex with arrowheads; `text_at` and
    `text_angle` as in Dimension.
    """

    name: str
    vertex: Point
    start: Point
    end: Point
    _: KW_ONLY
    radius: float
    text_at: Point
    text_angle: float = 0.0
    label: str = ""
    decimals: int = 1
    height: float = TEXT_CALLOUT
    leader: Point | None = None
    layer: Layer = Layer.DIM

    @property
    def start_angle(self) -> float:
        """Direction of the first arm, degrees."""
        return bearing(self.vertex, self.start)

    @property
    def value(self) -> float:
        """The included angle in degrees, 0 up to 360."""
        return (bearing(self.vertex, self.end) - self.start_angle) % 360.0


@dataclass(frozen=True, slots=True)
class DatumLine(_Plain):
    """An endless line through `through` at `angle`, drawn by `lay` to the sheet's edges with ticks."""

    through: Point
    angle: float
    label: str = ""
    layer: Layer = Layer.DATUM
    pen: Pen | None = None


Stroke = Line | Arc | Circle | Polyline
Entity = Stroke | Text | ControlPoint | LengthDimension | AngleDimension | DatumLine


@dataclass(frozen=True)
class Drawing:
    """Entities in drawing order, with a title for people."""

    title: str
    entities: tuple[Entity, ...] = ()

    def __iter__(self) -> Iterator[Entity]:
        return iter(self.entities)

    def with_entities(self, extra: Iterable[Entity]) -> Drawing:
        """Return the drawing with `extra` drawn last."""
        return Drawing(self.title, (*self.entities, *extra))

    def points(self) -> dict[str, Point]:
        """Every control point by name."""
        return {e.name: e.at for e in self if isinstance(e, ControlPoint)}


def pen_of(entity: Entity) -> Pen:
    """The pen an entity is drawn with: its own, else its layer's; lettering has its own."""
    if isinstance(entity, Text):
        return lettering_pen(entity.height)
    own = getattr(entity, "pen", None)
    return own if own is not None else LAYER_PENS[entity.layer]

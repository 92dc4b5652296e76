"""What the jig is set to, in the order of setting: numbers only, nothing is drawn here.

Each setting has its own value, as its dimension defines it; where the point that it sets lies
from the bottom bracket, from the rear axle and above the base; and what the jig's own scale
reads where the spec describes it.

    base   what the angle gauge is zeroed on, parallel to the ground
    jig    the jig's own scale: offset + value, or offset - value

A jig grips the rough head tube: each value at one of its ends is for the end before it is faced, and the
finished one stands next to it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from typing import NamedTuple

from layout.bench.scale import SAME, Scale, scale_of
from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.job import Point
from layout.frame.origin import DEFAULT, FITTED, origin_of, written_value
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import FORK_AXIS, LengthSpan, Span, Way, corner
from layout.geometry.space.roles import HEAD_TUBE
from layout.spec.jig import DESCRIBED_SETTINGS, Jig

BB, REAR_AXLE, BASE, JIG = "bb", "rear_axle", "base", "jig"
LENGTH, ANGLE = "mm", "deg"
STANDARD = (
    "bb_drop", "rear_centre", "front_centre", "head_tube_height", "rear_axle_height",
    "front_axle_height", "fork_offset", "head_angle", "seat_angle",
)  # fmt: skip
"""In the order of setting."""
IN_PLACES = ("rear_axle_height", "front_axle_height")
"""On a plate these are read off the table of points: they have no number and no row of their own."""
CANNOT = "cannot be set"
OUTSIDE = "{name} is {value}, but the jig goes from {low} to {high}."
NO_STEP = "{name} is {value}, and no step of the jig lies within its range."
BETWEEN = "{name} is {value}; the nearest step with shims is {off} mm {side}."

_HOW = {
    "bb_drop": "BB centre below rear axle, plumb",
    "rear_centre": "BB centre straight to rear axle",
    "front_centre": "BB centre straight to front axle",
    "rear_centre_horizontal": "BB centre to rear axle, level",
    "front_centre_horizontal": "BB centre to front axle, level",
    "head_tube_height": "axis: square to axle, to lower end",
    "head_tube_top_height": "axis: square to axle, to top end",
    "head_tube_height_square": "tube's lower end above front axle, plumb",
    "head_tube_top_height_square": "tube's top end above front axle, plumb",
    "rear_axle_height": "dummy axle above BB",
    "front_axle_height": "dummy axle above BB",
    "fork_offset": "steering axis to front dummy axle",
    "head_angle": "from the level",
    "seat_angle": "from the level",
}


def _above(point: str, level: str) -> LengthSpan:
    """How far plumb above the level of one point another is."""
    return LengthSpan(corner(point, level), point, Way.PLUMB)


_SPANS = {
    "head_tube_height": LengthSpan("fork_foot", "head_tube_bottom", FORK_AXIS),
    "head_tube_top_height": LengthSpan("fork_foot", "head_tube_top", FORK_AXIS),
    "head_tube_height_square": _above("head_tube_bottom", "front_axle"),
    "head_tube_top_height_square": _above("head_tube_top", "front_axle"),
    "rear_axle_height": _above("rear_axle", "bb"),
    "front_axle_height": _above("front_axle", "bb"),
}
"""Where that is measured which a jig may be set to and is no dimension of the frame."""
SUMS = {
    "head_tube_height": ("fork_length_on_axis", "lower_stack"),
    "head_tube_top_height": ("fork_length_on_axis", "lower_stack", "head_tube_length"),
}
"""What adds up along one axis is added, not measured: to the last digit that was solved."""
_PLACING = (*DESCRIBED_SETTINGS, "bb_drop", "rear_centre", "front_centre")
"""The settings that put a point in its place."""
_AT_BB = (BB, "seat_tube_foot", "down_tube_at_bb")
"""The feet of the tubes' axes are where the BB is, but for an offset."""
_LEVEL = {"rear_centre": "rear_centre_horizontal", "front_centre": "front_centre_horizontal"}


class Value(NamedTuple):
    """One number of the sheet, as the hand sets it.

    `unit` is mm or deg, `origin` one of bb, rear_axle, base, jig. `finished` is the same once the tube's
    end is faced, None where facing changes nothing.
    """

    name: str
    value: float
    unit: str
    origin: str
    finished: float | None = None


class Place(NamedTuple):
    """Where a point lies from another: mm ahead (negative: behind) and up (negative: down)."""

    origin: str
    ahead: float
    up: float


class Setting(NamedTuple):
    """One setting: its main value, how it is measured, the jig's scale.

    `number` is its place in the order, the same on paper, in the terminal and in a spreadsheet; None
    where it is read off the table of points.
    """

    name: str
    main: Value
    how: str
    above_base: float | None = None
    scale: Scale | None = None
    beside: tuple[Value, ...] = ()
    number: int | None = None

    @property
    def title(self) -> str:
        """The setting's name in words."""
        return words(self.main.name.removesuffix("_square"))

    @property
    def values(self) -> tuple[Value, ...]:
        """Every number of this setting: the main one first, the jig's reading last."""
        scale = self.scale
        if scale is None:
            return (self.main, *self.beside)
        jig = Value(self.main.name, scale.reading, self.main.unit, JIG, finished=scale.finished)
        return (self.main, *self.beside, jig)


def span_of(name: str) -> Span | None:
    """Where a setting is measured: as its dimension, or as this module says of what is none."""
    return REGISTRY[name].span if name in REGISTRY else _SPANS[name]


def _point(name: str) -> str | None:
    """The point that a setting puts in its place, seen from the BB; None where it sets a length alone."""
    span = span_of(name)
    if name not in _PLACING or not isinstance(span, LengthSpan):
        return None
    return span.far_from(BB) or BB


def _origin(name: str) -> str:
    """What a length is measured from: the BB, with what stands square to it there, or the rear axle.

    Others are a length or an angle of their own, set from the base.
    """
    span = span_of(name)
    sources = span.sources if isinstance(span, LengthSpan) else ()
    if set(sources) & set(_AT_BB):
        return BB
    return REAR_AXLE if REAR_AXLE in sources else BASE


def settings(frame: Frame) -> tuple[Setting, ...]:
    """Every setting of a solved frame, in the order of setting, numbered."""
    bench = _Bench(frame, rough_points(frame))
    found = [bench.setting(name) for name in STANDARD]
    if abs(bench.dimension("seat_tube_offset")) > SAME:
        found.append(bench.setting("seat_tube_offset"))
    said = {s.name for s in found} | {s.main.name for s in found}
    extra = (name for name in bench.jig.settings if name not in said)
    found.extend(bench.setting(name) for name in extra if bench.known(name))
    plate, number = bench.jig.is_plate, count(1)
    return tuple(s if plate and s.name in IN_PLACES else s._replace(number=next(number)) for s in found)


def notices(found: Sequence[Setting]) -> Iterator[Notice]:
    """What the jig cannot be set to: beyond its range, or not reached by its steps and shims."""
    for setting in found:
        scale = setting.scale
        if scale is None:
            continue
        name, unit = setting.main.name, setting.main.unit
        value = value_text(setting.main.value, unit, worded=True)
        if scale.limits is not None:
            low, high = (value_text(v, unit, worded=True) for v in scale.limits)
            yield Notice("jig_range", OUTSIDE.format(name=name, value=value, low=low, high=high))
        elif scale.step is None and not scale.reached:
            yield Notice("jig_range", NO_STEP.format(name=name, value=value))
        elif not scale.reached:
            off = format_number(abs(scale.error), 2)
            side = "more" if scale.error > 0 else "less"
            yield Notice("jig_step", BETWEEN.format(name=name, value=value, off=off, side=side))


def value_text(value: float, unit: str, *, worded: bool = False) -> str:
    """A number as the sheet shows it: 0.1 mm, and 0.1 degree as a gauge reads it; `worded`: with mm.

    >>> value_text(605.0, LENGTH), value_text(605.0, LENGTH, worded=True), value_text(72.0, ANGLE)
    ('605.0', '605.0 mm', '72.0°')
    """
    degree, length = (" degrees", " mm") if worded else ("°", "")
    return format_number(value, 1) + (degree if unit == ANGLE else length)


def rough_points(frame: Frame) -> Mapping[str, Point]:
    """The frame's points as the jig holds them: both ends of the head tube before they are faced."""
    points, allowance = frame.plane.points, frame.model.tubes.head_tube.facing_allowance or 0.0
    (x0, y0), (x1, y1) = (points[name] for name in HEAD_TUBE.points)
    length = math.dist((x0, y0), (x1, y1))
    ahead, up = (x1 - x0) / length * allowance, (y1 - y0) / length * allowance
    bottom, top = HEAD_TUBE.points
    return {**points, bottom: (x0 - ahead, y0 - up), top: (x1 + ahead, y1 + up)}


class _Bench(NamedTuple):
    """Takes every number of a setting off `points`, the frame's own or those of its rough ends."""

    frame: Frame
    points: Mapping[str, Point]

    @property
    def finished(self) -> _Bench:
        """The same for the finished frame."""
        return self._replace(points=self.frame.plane.points)

    @property
    def jig(self) -> Jig:
        return self.frame.model.jig

    def dimension(self, name: str) -> float:
        return self.frame.plane.dimensions[name] or 0.0

    def known(self, name: str) -> bool:
        return name in DESCRIBED_SETTINGS or self.frame.plane.dimensions[name] is not None

    @property
    def base(self) -> float | None:
        """The base's height from the BB centre, negative below it; None where the spec does not say."""
        if self.jig.bb_above_base is not None:
            return -self.jig.bb_above_base
        if self.jig.rear_axle_above_base is not None:
            return self.dimension("bb_drop") - self.jig.rear_axle_above_base
        return None

    def setting(self, name: str) -> Setting:
        described = self.jig.settings.get(name)
        square = described is not None and described.measured == "square"
        main = self._main(name, square)
        point = _point(name)
        at = None if point is None else self.points[point]
        faced = self.finished
        main = _with_finished(main, faced._main(name, square))
        beside = zip(self._beside(name, main), faced._beside(name, main), strict=True)
        return Setting(
            name,
            main,
            f"{_HOW.get(main.name) or _small(REGISTRY[name].meaning)}{self._origin(main)}",
            above_base=None if at is None or self.base is None else at[1] - self.base,
            scale=None if described is None else scale_of(described, main.value, main.finished),
            beside=tuple(_with_finished(hand, done) for hand, done in beside),
        )

    def _origin(self, main: Value) -> str:
        """A word where the number is not as written: a default, or fitted, with what was written."""
        plane = self.frame.plane
        if main.name not in plane.dimensions or origin_of(plane, main.name) not in (DEFAULT, FITTED):
            return ""
        written = written_value(plane, main.name)
        return "; default" if written is None else f"; fitted, given {value_text(written, main.unit)}"

    def _main(self, name: str, square: bool) -> Value:
        shown = _LEVEL.get(name, f"{name}_square") if square else name
        unit = REGISTRY[shown].unit if shown in REGISTRY else LENGTH
        if shown in REGISTRY:
            value = self.dimension(shown)
        elif shown in SUMS:
            value = sum(map(self.dimension, SUMS[shown])) + self._beyond(shown)
        else:
            value = _SPANS[shown].value(self.points)
        return Value(shown, value, unit, _origin(shown))

    def _beside(self, name: str, main: Value) -> Iterator[Value]:
        """The same place by other measures, and the complement of an angle."""
        d, p = self.dimension, self.points
        if main.unit == ANGLE:
            yield Value(f"{name}_complement", 90.0 - main.value, ANGLE, BASE)
        if name in _LEVEL:
            for other in {name, _LEVEL[name]} - {main.name}:
                yield Value(other, d(other), LENGTH, BB)
        if name == "front_centre":
            yield Value("wheelbase", d("wheelbase"), LENGTH, REAR_AXLE)
        if name == "front_axle_height":
            yield Value(name, p["front_axle"][1] - p["rear_axle"][1], LENGTH, REAR_AXLE)
        point = _point(name)
        if point in ("head_tube_bottom", "head_tube_top"):
            for place in self._places(point, p[point]):
                yield Value(f"{point}_ahead", place.ahead, LENGTH, place.origin)
                yield Value(f"{point}_height", place.up, LENGTH, place.origin)
        if point is not None and self.base is not None and not name.endswith("_centre"):
            above = "bb_above_base" if point == "bb" else f"{point}_height"
            yield Value(above, p[point][1] - self.base, LENGTH, BASE)

    def _places(self, point: str, at: Point) -> tuple[Place, ...]:
        """Where the point lies from the BB and from the rear axle; not from itself."""
        origins = ((BB, (0.0, 0.0)), (REAR_AXLE, self.frame.plane.points["rear_axle"]))
        return tuple(Place(o, at[0] - x, at[1] - y) for o, (x, y) in origins if o != point)

    def _beyond(self, shown: str) -> float:
        """How much further up the steering axis than the finished end the end of the head tube is."""
        true, here = (_SPANS[shown].value(p) for p in (self.frame.plane.points, self.points))
        return here - true


def _with_finished(hand: Value, faced: Value) -> Value:
    """The value that the hand sets, with the finished one where that is another."""
    return hand if abs(hand.value - faced.value) < SAME else hand._replace(finished=faced.value)


def _small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]

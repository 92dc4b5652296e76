"""From a frame to its fixture: the chosen parts, engraved, with what has to be bought."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from layout.bench.plates.base import base
from layout.bench.plates.design import CRADLES, Design, design
from layout.bench.plates.dropouts import dropout_templates
from layout.bench.plates.engrave import Engraver
from layout.bench.plates.fixture import Fixture, FixtureNeed, Standing
from layout.bench.plates.settings import Settings
from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import LengthSpan
from layout.geometry.plates.contour import Point
from layout.geometry.plates.gauges import GAUGE_LEG, angle_gauge, length_bar, mitre_profile
from layout.geometry.plates.plate import Plate
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.roles import DOWN_TUBE, SEAT_TUBE, TOP_TUBE, Role
from layout.geometry.space.tube import FIRST, SECOND

BARS = {"rear_centre_bar": "rear_centre", "front_centre_bar": "front_centre"}
"""The length that each bar holds between two dowels, one of them in the BB."""
FOR_BARS = "length bars"
ANGLES = {"head_angle_gauge": "head_angle", "seat_angle_gauge": "seat_angle"}


class MitreGauge(NamedTuple):
    """A part that shows a mitre: its tube and end, how the end is lettered."""

    name: str
    role: Role
    end: int
    place: str


MITRES = (
    MitreGauge("mitre_seat_bb", SEAT_TUBE, FIRST, "at the BB"),
    MitreGauge("mitre_down_bb", DOWN_TUBE, FIRST, "at the BB"),
    MitreGauge("mitre_down_head", DOWN_TUBE, SECOND, "at the head"),
    MitreGauge("mitre_top_seat", TOP_TUBE, FIRST, "at the seat"),
    MitreGauge("mitre_top_head", TOP_TUBE, SECOND, "at the head"),
)


NO_GAUGE = "no plate shows the mitre of the {where}: part of the tube touches nothing. Use the template."
NOT_ENGRAVED = "these have no clear place to be engraved. Mark them by hand: {names}."
GAUGES = frozenset((*BARS, *ANGLES, *(gauge.name for gauge in MITRES)))
"""Parts that nothing else stands on: where one cannot be made the others still can."""


def without(made: Fixture, refused: Mapping[str, str]) -> Fixture:
    """The fixture without the parts named, with a warning for each: why, and what would let it be made."""
    kept = tuple(p for p in made.plates if p.name not in refused)
    notices = tuple(
        Notice("part_left_out", f"{name.replace('_', ' ')} is left out; all other parts are made: {why}")
        for name, why in refused.items()
    )
    bars = any(p.name in BARS for p in kept)
    needs = tuple(n for n in made.needs if bars or n.use != FOR_BARS)
    return replace(made, plates=kept, notices=(*made.notices, *notices), needs=needs)


def fixture(frame: Frame, settings: Settings) -> Fixture:
    """The fixture of a frame, made of the parts that are chosen.

    Raises PlateError where a part has no room.
    """
    placed = design(frame, settings)
    plates: list[Plate] = []
    notices: list[Notice] = []
    missed: list[str] = []
    standing: list[Standing] = []
    if "base" in settings.parts:
        plates, standing = base(placed, frame.job.title or frame.job.number, missed)
    plates.extend(_standing_plates(placed, missed))
    if "length_bars" in settings.parts:
        plates.extend(_bars(frame, settings, missed))
    if "angle_gauges" in settings.parts:
        plates.extend(_angle_gauges(frame, settings, missed))
    if "mitre_gauges" in settings.parts:
        plates.extend(_mitre_gauges(frame.space, settings, notices, missed))
    if "dropouts" in settings.parts:
        plates.extend(dropout_templates(frame, settings, notices, missed))
    if missed:
        notices.append(Notice("not_engraved", NOT_ENGRAVED.format(names=", ".join(missed))))
    return Fixture(
        settings,
        frame.space,
        tuple(plates),
        (*standing, *(s for s in placed.standing if any(p.name == s.part for p in plates))),
        height=placed.height,
        seats=placed.seats,
        points=placed.points,
        forward=placed.forward,
        needs=tuple(_needs(placed, plates)),
        notices=tuple(notices),
    )


def _standing_plates(placed: Design, missed: list[str]) -> Iterator[Plate]:
    """Posts, table, clamp and cradles of the chosen groups, engraved."""
    parts = placed.settings.parts
    for name, group in (
        ("bb_post", "bb_post"),
        ("bb_clamp", "bb_post"),
        ("axle_post", "axle_post"),
        ("axle_table", "axle_post"),
    ):
        if group in parts:
            plate = placed.plates[name]
            yield _with_name(plate, words(name), missed)
    for pair in CRADLES:
        if pair.group in parts:
            for name in pair.names:
                yield _cradle(placed, missed, name)


def _cradle(placed: Design, missed: list[str], name: str) -> Plate:
    """A cradle with its name, the tube's diameter, and its centreline."""
    plate, seat = placed.plates[name], placed.seats[name]
    axis = plate.marks["axis"]
    engraver = Engraver(plate, missed)
    top = axis[1] - seat.bed.below
    engraver.line((0.0, top - 2.0), (0.0, top - 14.0))
    engraver.line((0.0, placed.foot.slot_top + 2.0), (0.0, placed.foot.slot_top + 12.0))
    first, last = name.rsplit("_", 1)
    lines = [first.replace("_", " "), last, f"⌀{format_number(2 * seat.bed.across, 1)}"]
    low, high = placed.foot.slot_top, top
    spots = [((0.0, low + k * (high - low) / 24), 0.0) for k in (12, 13, 11, 14, 10, 15, 9, 16, 8, 17, 7, 18)]
    engraver.words(lines, spots)
    return engraver.done()


def _with_name(plate: Plate, name: str, missed: list[str]) -> Plate:
    """A part with its name, in one line or a word a line."""
    engraver = Engraver(plate, missed)
    engraver.words([name], _plain_spots(plate), otherwise=name.split())
    return engraver.done()


def _plain_spots(plate: Plate) -> list[tuple[Point, float]]:
    """Level places over the whole part, nearest its middle first."""
    left, bottom, right, top = plate.bounds
    x, y = (left + right) / 2, (bottom + top) / 2
    grid = [
        (x + i * (right - left) / 16, y + j * (top - bottom) / 24)
        for j in range(-11, 12)
        for i in range(-6, 7)
    ]
    return [(p, 0.0) for p in sorted(grid, key=lambda p: (round(math.dist(p, (x, y)), 6), p))]


def _bars(frame: Frame, settings: Settings, missed: list[str]) -> Iterator[Plate]:
    for name, dimension in BARS.items():
        length, span = frame.plane.dimensions[dimension] or 0.0, REGISTRY[dimension].span
        far = span.far_from("bb") if isinstance(span, LengthSpan) else None
        if far is None:
            raise ValueError(f"{dimension} is not a length from the BB to a point, so no bar can measure it")
        plate = length_bar(name, length, ("bb", far), settings.process)
        engraver = Engraver(plate, missed)
        engraver.words(
            [f"{dimension.replace('_', ' ')}  {format_number(length, 2)}"],
            [((length * k / 8, 0.0), 0.0) for k in (4, 3, 5)],
        )
        r = settings.process.dowel / 2
        for mark, at in plate.marks.items():
            engraver.cross(at, r)
            shown = "BB" if mark == "bb" else mark.replace("_", " ")
            inward = 1.0 if at[0] == 0.0 else -1.0
            engraver.words([shown], [((at[0] + inward * (r + 18.0 + 3.0 * k), 0.0), 0.0) for k in range(12)])
        yield engraver.done()


def _angle_gauges(frame: Frame, settings: Settings, missed: list[str]) -> Iterator[Plate]:
    for name, dimension in ANGLES.items():
        angle = frame.plane.dimensions[dimension] or 0.0
        plate = angle_gauge(name, angle, settings.process)
        engraver = Engraver(plate, missed)
        middle = GAUGE_LEG / 2
        engraver.words(
            [dimension.replace("_", " "), f"{format_number(angle, 2)}°"],
            [((middle + k, 0.3 * GAUGE_LEG), 0.0) for k in (0.0, 8.0, -8.0, 16.0, -16.0)],
        )
        engraver.words(["level"], [((middle, 5.0), 0.0)])
        ux, uy = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        inside = (middle * ux + 5.0 * uy, middle * uy - 5.0 * ux)
        engraver.words(["tube"], [(inside, angle if angle <= 90.0 else angle - 180.0)])
        yield engraver.done()


def _mitre_gauges(
    space: SpaceFrame, settings: Settings, notices: list[Notice], missed: list[str]
) -> Iterator[Plate]:
    for gauge in MITRES:
        cut = space.cut_of(gauge.role.name, gauge.end)
        plate = None if cut is None else mitre_profile(gauge.name, cut, settings.process)
        if cut is None or plate is None:
            where = f"{gauge.role.words} {gauge.place}"
            notices.append(Notice("no_mitre_gauge", NO_GAUGE.format(where=where)))
            continue
        _, bottom, right, top = plate.bounds
        engraver = Engraver(plate, missed)
        x = right - 32.0
        engraver.words(
            [gauge.role.words, gauge.place, f"{format_number(cut.angle, 2)}°"],
            [((x + k, (top + bottom) / 2), 0.0) for k in (0.0, 4.0, -4.0)],
        )
        engraver.words(
            [gauge.role.quarters[0]],
            [((x + k, top - e), 0.0) for e in (3.2, 4.5) for k in (24.0, -26.0)],
            (3.5, 2.5),
        )
        engraver.line((-60.0, 0.0), (right, 0.0))
        yield engraver.done()


def _needs(placed: Design, plates: Sequence[Plate]) -> Iterator[FixtureNeed]:
    """Bolts, nuts, rod and dowels of the chosen parts."""
    p, names = placed.settings.process, {x.name for x in plates}
    m = f"M{p.bolt.diameter:g}"
    feet = sum(u.bolted and u.part in names for u in placed.uprights)
    if feet:
        yield FixtureNeed(
            f"hexagon bolt {m} x {placed.foot.bolt_length:g}", feet, "cradles, from below, with washer"
        )
        yield FixtureNeed(f"hexagon nut {m}", feet, "caught in the cradles")
    if "bb_post" in names:
        reach = placed.height + placed.plates["bb_clamp"].thickness * 2 + 40.0
        yield FixtureNeed(
            f"threaded rod {m} x {math.ceil(reach / 10) * 10:g}", 1, "through base, shell and clamp, two nuts"
        )
    if "axle_table" in names:
        reach = 2 * placed.height + p.thickness
        yield FixtureNeed(
            f"rod {placed.settings.axle:g} x {math.ceil(reach / 10) * 10:g}", 1,
            "dummy axle: base, table, dropouts, four nuts, a spacer of the hub's width",
        )  # fmt: skip
    if "base_strap" in names:
        yield FixtureNeed(f"hexagon bolt {m}, nut", 8, "straps under the seam of the base")
        yield FixtureNeed(f"dowel {p.dowel:g}", 4, "straps, reamed through both plates")
    if names & set(BARS):
        yield FixtureNeed(f"dowel {p.dowel:g}", 2, FOR_BARS)

"""The base under a design: feet of the chosen parts, true positions, centrelines, names."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from layout.bench.plates.design import CRADLES, CradlePair, Design, Upright
from layout.bench.plates.engrave import Engraver
from layout.bench.plates.fixture import Standing
from layout.drafting.vector import readable
from layout.geometry.plates.contour import Point, box_middle, middle, unit
from layout.geometry.plates.ground import BaseJoint, BaseSide, Ground, base_plates, strap, strap_half_width
from layout.geometry.plates.plate import Cutout, Plate, circle
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, TOP_TUBE, Role

NAME, STRAP = "base", "base_strap"
PAST_END = 12.0
"""An engraved centreline runs this far past the tube's ends, mm."""
END_LINE = 14.0
"""The line across a tube's end reaches this far past its sides, mm: a square is held to it."""
LABEL_NEAR, LABEL_FAR, LABEL_STEP = 9.0, 40.0, 1.5
"""A name stands this far from the slot of its part, on the side that the part's engraved face looks to."""
MAIN = (SEAT_TUBE, TOP_TUBE, DOWN_TUBE, HEAD_TUBE)
"""The tubes that lie on cradles, round the main triangle's window."""
ALONG_AXIS = tuple(0.5 + side * k / 50 for k in range(22) for side in (1, -1))
"""Where along a tube its name is tried, the middle first."""


def base(design: Design, title: str, missed: list[str]) -> tuple[list[Plate], list[Standing]]:
    """The base in one part or two, engraved, with the straps of a pair, and where each of them lies.

    Words that find no place are named in `missed`.
    """
    ground = _ground_of(design)
    plates, joint = _whole_or_halves(design, ground)
    marked = [_place_on_bicycle(_with_marks(p, design, joint), design) for p in plates]
    parts = [_engrave_base(p, design, title, missed) for p in marked]
    levels = [_level(p.name) for p in parts]
    if joint is None:
        return parts, levels
    under = -2 * design.settings.process.thickness
    straps = [Standing(STRAP, (x, y, under), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0)) for x, y in joint.straps]
    return [*parts, _strap(design, missed)], [*levels, *straps]


def _place_on_bicycle(plate: Plate, design: Design) -> Plate:
    """A half of the base by its place on the bicycle instead of on the drawing."""
    front = "base_left" if design.forward < 0 else "base_right"
    if plate.name == NAME:
        return plate
    return replace(plate, name=f"{NAME}_front" if plate.name == front else f"{NAME}_rear")


def _level(name: str) -> Standing:
    """A part of the base: its engraved face is the base's upper one."""
    return Standing(name, (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def _ground_of(design: Design) -> Ground:
    chosen = [u for u in design.uprights if u.group in design.settings.parts]
    bolt = design.settings.process.bolt.hole
    axle = design.settings.axle + design.settings.process.fit
    holes = (
        circle("draw bolt hole at the bottom bracket", design.points["bb"], bolt),
        circle("hole for the rear axle", design.points["rear_axle"], axle),
    )
    return Ground([u.footing(design.foot) for u in chosen], holes, design.foot)


def _whole_or_halves(design: Design, ground: Ground) -> tuple[list[Plate], BaseJoint | None]:
    """One part where that is asked for, or nothing is asked and it fits the sheet and can be lifted."""
    settings = design.settings
    single = base_plates(NAME, ground, list(_windows(design, ground, None)), None)
    if settings.base == "single" or (settings.base is None and _handy(single[0], design)):
        return single, None
    joint = ground.joint()
    if joint is None:
        return single, None
    return base_plates(NAME, ground, list(_windows(design, ground, joint)), joint), joint


def _handy(plate: Plate, design: Design) -> bool:
    p = design.settings.process
    width, height = sorted(plate.size)
    return width <= p.room[1] and height <= p.room[0] and plate.weight(p.density) <= p.heaviest


def _windows(design: Design, ground: Ground, joint: BaseJoint | None) -> Iterator[Cutout]:
    at = design.points
    main = middle([at[n] for n in ("bb", "top_tube_at_seat", "top_tube_at_head", "down_tube_at_head")])
    rear = middle([at[n] for n in ("bb", "rear_axle", "top_tube_at_seat")])
    stay = (at["bb"], unit(at["bb"], at["rear_axle"]))

    def side(role: Role) -> BaseSide:
        a, b = (at[name] for name in role.points)
        return BaseSide(a, unit(a, b), (_cradles(role).group,))

    main_sides = [side(role) for role in MAIN]
    yield from ground.window("window in the main triangle", main_sides, main, joint)
    yield from ground.window(
        "window in the rear triangle", [side(SEAT_TUBE), BaseSide(*stay, ())], rear, joint
    )


def _with_marks(plate: Plate, design: Design, joint: BaseJoint | None) -> Plate:
    """The part with the places that are on it by name."""
    marks = {n: design.points[n] for n in ("bb", "rear_axle")}
    marks.update((u.part, u.at) for u in design.uprights if u.bolted and u.group in design.settings.parts)
    if joint is not None:
        left = plate.name == "base_left"
        marks = {n: p for n, p in marks.items() if (p[0] < joint.seam) == left}
    return replace(plate, marks=marks)


def _engrave_base(plate: Plate, design: Design, title: str, missed: list[str]) -> Plate:
    engraver = Engraver(plate, missed)
    chosen = [u for u in design.uprights if u.group in design.settings.parts]
    for hole, what in (("bb", "BB"), ("rear_axle", "rear axle")):
        if hole in plate.marks:
            radius = next(
                c.shape.bounds[2] - plate.marks[hole][0]
                for c in plate.cutouts
                if _is_at(c, plate.marks[hole])
            )
            engraver.cross(plate.marks[hole], radius)
            engraver.words([what], _spots_round(plate.marks[hole], radius + 9.0))
    for upright in chosen:
        if upright.bolted and upright.part in plate.marks:
            engraver.words([upright.part.replace("_", " ")], _before(upright))
    for role in MAIN:
        first, last = (design.points[name] for name in role.points)
        if any(name in plate.marks for name in _cradles(role).names):
            engraver.words([role.words], _along(first, last), (5.0, 3.5, 2.5))
        engraver.line(*_longer(first, last, PAST_END))
    for role in (HEAD_TUBE, SEAT_TUBE):
        for point in (end.point for end in role.ends if end.faced):
            engraver.line(*_across(design, point, role))
    engraver.line(design.points["bb"], design.points["rear_axle"])
    engraver.words(_heading(design, title), _free_spots(design), (7.0, 5.0, 3.5))
    return engraver.done()


def _cradles(role: Role) -> CradlePair:
    return next(pair for pair in CRADLES if pair.role == role)


def _heading(design: Design, title: str) -> list[str]:
    way = "left" if design.forward < 0 else "right"
    upper = "non-drive side" if design.forward < 0 else "drive side"
    height = f"centreline {design.height:g} mm above this face"
    return [*([title] if title else []), f"front to the {way}, {upper} up", height]


def _before(upright: Upright) -> Iterator[tuple[Point, float]]:
    """Places for a part's name before its engraved face, the nearest first, then to either side."""
    angle = readable(math.degrees(math.atan2(upright.along[1], upright.along[0])))
    distance = LABEL_NEAR
    while distance <= LABEL_FAR:
        for shift in (0.0, 8.0, -8.0, 16.0, -16.0, 24.0, -24.0):
            yield (
                (
                    upright.at[0] + distance * upright.facing[0] + shift * upright.along[0],
                    upright.at[1] + distance * upright.facing[1] + shift * upright.along[1],
                ),
                angle,
            )
        distance += LABEL_STEP


def _spots_round(at: Point, away: float) -> Iterator[tuple[Point, float]]:
    """Level places round a hole, nearer ones first."""
    for k in range(6):
        for turn in (45.0, -45.0, 135.0, -135.0, 0.0, 180.0, 90.0, -90.0):
            a, d = math.radians(turn), away + 3.0 * k
            yield (at[0] + 1.4 * d * math.cos(a), at[1] + d * math.sin(a)), 0.0


def _along(a: Point, b: Point) -> Iterator[tuple[Point, float]]:
    """Places on a tube's axis."""
    angle = readable(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])))
    for part in ALONG_AXIS:
        yield (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])), angle


def _free_spots(design: Design) -> Iterator[tuple[Point, float]]:
    """Places for the heading: on the ribs under the tubes, beside their axes or on them."""
    for role in MAIN:
        a, b = (design.points[name] for name in role.points)
        size = math.dist(a, b)
        n = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
        for at, angle in _along(a, b):
            for off in (20.0, -20.0, 26.0, -26.0, 0.0):
                yield (at[0] + off * n[0], at[1] + off * n[1]), angle


def _across(design: Design, point: str, role: Role) -> tuple[Point, Point]:
    """The line across a tube's end."""
    a, b = (design.points[n] for n in role.points)
    size = math.dist(a, b)
    n = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
    widest = max(design.seats[name].bed.across for name in _cradles(role).names)
    reach, (x, y) = widest + END_LINE, design.points[point]
    return (x - reach * n[0], y - reach * n[1]), (x + reach * n[0], y + reach * n[1])


def _longer(a: Point, b: Point, by: float) -> tuple[Point, Point]:
    k = by / math.dist(a, b)
    dx, dy = k * (b[0] - a[0]), k * (b[1] - a[1])
    return (a[0] - dx, a[1] - dy), (b[0] + dx, b[1] + dy)


def _is_at(cutout: Cutout, at: Point) -> bool:
    named = cutout.name.startswith(("draw bolt", "hole for"))
    return named and math.dist(box_middle(cutout.shape.bounds), at) < 1e-6


def _strap(design: Design, missed: list[str]) -> Plate:
    plate = strap(STRAP, design.foot)
    engraver = Engraver(plate, missed)
    high = strap_half_width(design.foot) * 0.6
    engraver.words(["base strap"], [((0.0, k * high), 0.0) for k in (1, -1)])
    return engraver.done()

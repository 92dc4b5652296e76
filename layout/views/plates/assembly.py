"""The assembly from above and one cradle from the front, at 1:1 or reduced.

What is cut is drawn thick, the tubes that lie on it as adjacent parts, each part numbered as in the
table. Lines are reduced, lettering is not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from layout.bench.plates.fixture import Fixture, Standing
from layout.drafting.entities import (
    Align,
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
from layout.drafting.lettering import text_width
from layout.drafting.reduce import reduce_drawing
from layout.drafting.style import THIN, Layer, Pen
from layout.frame.solve import Frame
from layout.geometry.plates.contour import Array, Point, middle
from layout.geometry.plates.convex import Polygon, box, gap
from layout.geometry.plates.plate import Plate
from layout.geometry.space.roles import WRITTEN
from layout.views.crosses import cross
from layout.views.plates.shapes import drawn
from layout.views.side.plan import plan
from layout.views.side.tubes import tubes

LAID = tuple(role.name for role in WRITTEN if role.laid)
POINTS = ("bb", "rear_axle", "head_tube_bottom", "head_tube_top", "seat_tube_top")
CROSS_ARM = 15.0
BALLOON = 0.95
"""Radius of the ring round a part's number, over text height."""
BALLOON_GAP = 1.0
RINGS = 40
DIRECTIONS = 24
"""Places tried for a number: so many distances and directions round its part."""
SECTION_MARGIN = 25.0
"""The base is shown this far beside the cradle that stands in it, mm."""
INK_STEP = 1.0
"""Between the points that stand for a line, mm at true size: finer than any ring is wide."""


class AssemblyPart(NamedTuple):
    """What a number points at: a part's place in plan and what it covers there."""

    name: str
    at: Point
    covers: Polygon
    upright: bool


def plan_view(fixture: Fixture, frame: Frame) -> Drawing:
    """Base and standing parts from above, tubes over them, true size, without lettering."""
    return Drawing("Assembly", tuple(_plan(fixture, frame)))


def numbered_plan(
    fixture: Fixture, frame: Frame, numbers: Mapping[str, int], factor: float, text_height: float
) -> Drawing:
    """The plan `factor` times its size with the parts' numbers in lettering of `text_height`."""
    plan = plan_view(fixture, frame)
    drawn_on = ink((*plan, *control_points(fixture)))
    rings = _balloons(_parts(fixture), numbers, factor, text_height, drawn_on=drawn_on)
    return reduce_drawing(plan, factor).with_entities(rings)


def control_points(fixture: Fixture) -> Iterator[Entity]:
    """The frame's points that the base carries, each under its cross; for the drawing at 1:1."""
    for name in POINTS:
        at = fixture.points[name]
        yield from cross(at, CROSS_ARM)
        yield ControlPoint(name, at)


def _plan(fixture: Fixture, frame: Frame) -> Iterator[Entity]:
    for standing in fixture.standing:
        plate = fixture.plate(standing.part)
        if standing.up[2] == 0.0:
            layer, pen = _flat_part_pen(plate, standing, fixture)
            placed = _in_plan(plate, standing)
            for shape in placed.shapes:
                yield from drawn(shape, layer, pen)
        else:
            yield Polyline(_edge_on(plate, standing), Layer.OUTLINE, closed=True)
    laid = plan(frame)
    for name in LAID:
        bar = laid.bars[name]
        yield Line(bar.start, bar.end, Layer.CENTRE)
    for e in tubes(laid, LAID):
        yield replace(e, layer=Layer.WHEEL)


def _in_plan(plate: Plate, standing: Standing) -> Plate:
    """A flat part from above. One that lies face down is its own mirror image."""
    return plate.placed(standing.origin[:2], standing.along[:2])


def _flat_part_pen(plate: Plate, standing: Standing, fixture: Fixture) -> tuple[Layer, Pen | None]:
    """How a flat part is drawn: the base thick, what lies over it thin, what lies under it hidden."""
    if plate in fixture.bases:
        return Layer.OUTLINE, None
    return (Layer.HIDDEN, None) if standing.origin[2] < 0.0 else (Layer.NOTE, Pen(THIN))


def _edge_on(plate: Plate, standing: Standing) -> Polygon:
    """An upright part from above: as wide as it is, as thick as it is, behind its engraved face."""
    left, _, right, _ = plate.bounds
    (ux, uy, _), (x, y, _) = standing.along, standing.origin
    n = (uy, -ux)
    across, t = (left + right) / 2, plate.thickness / 2
    centre = (x + across * ux - t * n[0], y + across * uy - t * n[1])
    return box(centre, (ux, uy), (right - left) / 2, t)


def _parts(fixture: Fixture) -> list[AssemblyPart]:
    """Every part in its place, each name's first piece only."""
    found: dict[str, AssemblyPart] = {}
    for standing in fixture.standing:
        plate = fixture.plate(standing.part)
        if standing.part in found:
            continue
        if standing.up[2] != 0.0:
            covers = _edge_on(plate, standing)
        else:
            placed = _in_plan(plate, standing)
            left, bottom, right, top = placed.bounds
            covers = ((left, bottom), (right, bottom), (right, top), (left, top))
        at = middle(covers)
        if plate in fixture.bases:
            at = placed.outline.loop[_nearest_rib(placed)].tolist()
            at = (float(at[0]), float(at[1]))
            covers = box(at, (1.0, 0.0), 0.1, 0.1)
        found[standing.part] = AssemblyPart(standing.part, at, covers, standing.up[2] != 0.0)
    return list(found.values())


def _nearest_rib(plate: Plate) -> int:
    """The vertex of an outline that is lowest: where a base's number points."""
    return int(plate.outline.loop[:, 1].argmin())


def ink(entities: Iterable[Entity]) -> Array:
    """Points (n, 2) on every line that is drawn, close together: what a number or a view keeps off."""
    rows: list[Array] = []
    for e in entities:
        match e:
            case Line():
                rows.append(_between(e.start, e.end))
            case Polyline():
                ends = (*e.points[1:], *((e.points[0],) if e.closed else ()))
                rows.extend(_between(a, b) for a, b in zip(e.points, ends, strict=False))
            case Arc() | Circle():
                low, high = (e.start_angle, e.end_angle) if isinstance(e, Arc) else (0.0, 360.0)
                a = np.radians(
                    np.linspace(low, high, max(2, int(e.radius * math.radians(high - low) / INK_STEP)))
                )
                rows.append(
                    np.stack([e.centre[0] + e.radius * np.cos(a), e.centre[1] + e.radius * np.sin(a)], axis=1)
                )
            case _:
                pass
    return np.concatenate(rows)


def _between(a: Point, b: Point) -> Array:
    count = max(2, int(math.dist(a, b) / INK_STEP))
    return np.linspace(np.array(a), np.array(b), count)


def _balloons(
    parts: Sequence[AssemblyPart], numbers: Mapping[str, int], factor: float, h: float, drawn_on: Array
) -> Iterator[Entity]:
    """Each part's number in a ring beside it, with a thin line to it; no ring on a line or a ring."""
    drawn_at = drawn_on * factor
    solid = {p.name: tuple((factor * x, factor * y) for x, y in p.covers) for p in parts if p.upright}
    rings: list[tuple[Point, float]] = []
    for part in parts:
        at = (factor * part.at[0], factor * part.at[1])
        label = str(numbers[part.name])
        r = max(BALLOON * h, text_width(label, h) / 2 + 0.45 * h)
        others = [covers for name, covers in solid.items() if name != part.name]
        centre = _free_place(at, r, others, rings, drawn_at=drawn_at)
        rings.append((centre, r))
        yield Circle(centre, r, Layer.NOTE)
        yield Text((centre[0], centre[1] - h / 2), label, h, Layer.NOTE, align=Align.MIDDLE)
        way = math.dist(at, centre)
        edge = (centre[0] + r * (at[0] - centre[0]) / way, centre[1] + r * (at[1] - centre[1]) / way)
        yield Line(edge, at, Layer.NOTE)


def _free_place(
    at: Point, r: float, others: Sequence[Polygon], rings: Sequence[tuple[Point, float]], drawn_at: Array
) -> Point:
    """The nearest place for a ring that keeps off all lines and rings, its leader off other uprights."""
    off, keep = drawn_at - at, r + BALLOON_GAP
    away = np.hypot(off[:, 0], off[:, 1])
    order = np.argsort(away)
    off, away = off[order], away[order]
    turns = 2 * math.pi * (np.arange(DIRECTIONS) + 0.5) / DIRECTIONS
    ways = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    for ring in range(1, RINGS):
        distance = r * (1.0 + 0.5 * ring)
        near = off[slice(*np.searchsorted(away, (distance - keep, distance + keep)))]
        gaps = np.hypot(*(near[None, :, :] - distance * ways[:, None, :]).transpose(2, 0, 1))
        for way in ways[gaps.min(axis=1, initial=math.inf) >= keep].tolist():
            centre = (at[0] + distance * way[0], at[1] + distance * way[1])
            if any(math.dist(centre, c) < r + other + BALLOON_GAP for c, other in rings):
                continue
            leader = box(
                ((at[0] + centre[0]) / 2, (at[1] + centre[1]) / 2),
                (way[0], way[1]),
                distance / 2,
                BALLOON_GAP / 2,
            )
            if all(gap(leader, other) > 0.0 for other in others) and not any(
                _beside(c, at, centre) < other for c, other in rings
            ):
                return centre
    return at[0] + RINGS * r, at[1]


def _beside(p: Point, a: Point, b: Point) -> float:
    """Distance of a point from the piece of line a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    part = min(max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    return math.hypot(p[0] - a[0] - part * dx, p[1] - a[1] - part * dy)


def section(fixture: Fixture, factor: float, text_height: float) -> Drawing | None:
    """One cradle in the base with its tube, from its engraved face, `factor` times its size.

    None where no cradle is made. The origin lies in the base's upper face under the tube's axis.
    """
    name = next((n for n in fixture.seats if any(p.name == n for p in fixture.plates)), None)
    if name is None:
        return None
    plate, seat = fixture.plate(name), fixture.seats[name]
    reach, t = plate.bounds[2] + SECTION_MARGIN, plate.thickness
    lines: list[Entity] = [s for shape in plate.shapes for s in drawn(shape)]
    lines += [Line((-reach, v), (reach, v), Layer.OUTLINE) for v in (0.0, -t)]
    r = seat.bed.across
    lines.append(Circle((0.0, fixture.height), r, Layer.WHEEL))
    lines.append(Line((0.0, -t - 6.0), (0.0, fixture.height + r + 8.0), Layer.CENTRE))
    lines.append(Line((-r - 8.0, fixture.height), (reach, fixture.height), Layer.CENTRE))
    small = reduce_drawing(Drawing("Section", tuple(lines)), factor)
    x = factor * (reach - 6.0)
    height = LengthDimension(
        "height",
        (0.0, 0.0),
        (0.0, fixture.height),
        90.0,
        line_at=(reach - 6.0, 0.0),
        text_at=(0.0, 0.0),
        text_angle=90.0,
        height=text_height,
    )
    shown = [e for e in _reduced_height(height, factor, x, text_height)]
    scale = "1:1" if factor == 1.0 else f"1:{1.0 / factor:g}"
    title = f"{name.replace('_', ' ')} in the base, {scale}"
    below = Text(
        (0.0, -factor * (t + 6.0) - 2.2 * text_height), title, text_height, Layer.NOTE, align=Align.MIDDLE
    )
    return small.with_entities([*shown, below])


def _reduced_height(d: LengthDimension, factor: float, x: float, h: float) -> Iterator[Entity]:
    """The height as a dimension beside the section, lettered with the true value."""
    placed = replace(d, text_at=((x - 0.5 * h) / factor, d.value / 2))
    yield from reduce_drawing(Drawing("height", (placed,)), factor, dimensions=True)

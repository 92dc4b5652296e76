"""The rules of the cutting process, checked on the finished contours, each with its number.

    hole     no hole, slot or window narrower than smallest_hole x thickness
    web      no less than smallest_web x thickness of material between two cuts, or across a neck
    inside   no inside corner sharper than inner_radius, nor than half the kerf
    fit      a slot's play is more than nothing and places its tab; a narrow cut is wider than the kerf
    sheet    a part fits the stock sheet within its edges, one way round
    weight   a part is no heavier than one person lifts

Contours are checked as they are written: at nominal size, the kerf left to the supplier.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from layout.errors import Fault
from layout.geometry.plates.contour import Array, Contour, ContourPiece, Round, Shape
from layout.geometry.plates.nearest import between, neck
from layout.geometry.plates.plate import Cutout, Plate
from layout.geometry.plates.process import WIDEST_FIT, Process

MEASURED = 2e-3
"""Chords leave their arcs by half of this, mm: a distance between two of them is good to it."""
STRAIGHT_ON = 0.01
"""Two pieces that meet at less than this, radians, run on into each other: half a degree, which no
beam can show."""
PARALLEL = 1e-6
"""Sine of the angle between two sides that are taken to face each other squarely."""
OUTLINE = "outline"


def broken_rules(plates: Sequence[Plate], process: Process) -> tuple[Fault, ...]:
    """A fault for each rule that a part breaks, naming part and feature; none where all is well."""
    return tuple(f for p in plates for f in _part_faults(p, process))


def counted(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """One fault for each rule that is broken: the first of its places, with the count of the others."""
    of_rule: dict[str, list[Fault]] = {}
    for fault in faults:
        of_rule.setdefault(fault.key or "", []).append(fault)
    return tuple(_one_of(found) for found in of_rule.values())


def _one_of(found: Sequence[Fault]) -> Fault:
    more = len(found) - 1
    places = "1 more place" if more == 1 else f"{more} more places"
    said = f"{found[0].message} The same rule is broken in {places}." if more else found[0].message
    return replace(found[0], message=said)


def _part_faults(plate: Plate, process: Process) -> Iterator[Fault]:
    yield from _holes(plate, process)
    yield from _webs(plate, process)
    yield from _inside_corners(plate, process)
    yield from _fit(plate, process)
    yield from _sheet(plate, process)
    weight = plate.weight(process.density)
    if weight > process.heaviest:
        yield _fault(
            plate,
            OUTLINE,
            f"weighs {weight:.1f} kg; expected at most {process.heaviest:g} kg. {_smaller(plate)}"
            "Take thinner plate or a lighter material, or raise plates.heaviest if you lift it with a crane.",
            "plates.heaviest",
        )


def _fault(plate: Plate, feature: str, message: str, key: str) -> Fault:
    return Fault(f"{plate.name}, {feature}: {message}", "range", key)


def _smaller(plate: Plate) -> str:
    """Advice for a base in one part: it can be made in two."""
    return "Set plates.base to pair. Or: " if plate.name == "base" else ""


def _holes(plate: Plate, process: Process) -> Iterator[Fault]:
    for cutout in plate.cutouts:
        width = width_of(cutout)
        if width < process.least_hole - MEASURED:
            yield _fault(
                plate,
                cutout.name,
                f"is {width:.2f} mm wide; expected at least {process.least_hole:g} mm in plate of "
                f"{process.thickness:g} mm ({process.smallest_hole:g} x thickness). Take thinner plate, or "
                f"larger bolts or dowels, or leave the part out.",
                "plates.smallest_hole",
            )


def width_of(cutout: Cutout) -> float:
    """The least width of a convex cut-out, mm.

    A circle's diameter; between the nearest two sides that face each other; where none do, the
    least extent square to a side.
    """
    if isinstance(cutout.shape, Round):
        return 2 * cutout.shape.radius
    straight = [p for p in cutout.shape.pieces if p.bulge == 0.0]
    facing = [w for a, b in combinations(straight, 2) if (w := _facing(a, b)) is not None]
    if facing:
        return min(facing)
    return min((_ring_extent(cutout.shape.loop, p) for p in straight), default=math.inf)


def _facing(a: ContourPiece, b: ContourPiece) -> float | None:
    """The distance of two parallel sides that lie opposite each other, else None."""
    ux, uy = (a.end[0] - a.start[0]) / a.chord, (a.end[1] - a.start[1]) / a.chord
    ahead, beside = zip(
        *(
            ((x - a.start[0]) * ux + (y - a.start[1]) * uy, (y - a.start[1]) * ux - (x - a.start[0]) * uy)
            for x, y in (b.start, b.end)
        ),
        strict=True,
    )
    parallel = abs(beside[1] - beside[0]) <= PARALLEL * b.chord
    opposite = min(max(ahead), a.chord) - max(min(ahead), 0.0) > 0.0
    return abs(beside[0]) if parallel and opposite else None


def _ring_extent(ring: Array, side: ContourPiece) -> float:
    """How far a ring reaches square to one of its sides."""
    ux, uy = (side.end[0] - side.start[0]) / side.chord, (side.end[1] - side.start[1]) / side.chord
    across = ring[:, 1] * ux - ring[:, 0] * uy
    return float(across.max() - across.min())


def _webs(plate: Plate, process: Process) -> Iterator[Fault]:
    named: list[tuple[str, Shape]] = [(OUTLINE, plate.outline)]
    named += [(c.name, c.shape) for c in plate.cutouts]
    for (first, a), (second, b) in combinations(named, 2):
        if _boxes_apart(a, b) >= process.least_web and first != OUTLINE:
            continue
        yield from _web(plate, f"between {first} and {second}", between(a.loop, b.loop).distance, process)
    for name, shape in named:
        if isinstance(shape, Contour):
            found = neck(shape.loop, solid_inside=name == OUTLINE, under=process.least_web)
            if found is not None:
                yield from _web(plate, f"neck of {name}", found.distance, process)


def _web(plate: Plate, where: str, width: float, process: Process) -> Iterator[Fault]:
    if width < process.least_web - MEASURED:
        yield _fault(
            plate,
            where,
            f"only {width:.2f} mm of material is left; expected at least {process.least_web:g} mm in plate "
            f"of {process.thickness:g} mm ({process.smallest_web:g} x thickness). Take thinner plate or "
            "smaller bolts.",
            "plates.smallest_web",
        )


def _boxes_apart(a: Shape, b: Shape) -> float:
    """How far two shapes' boxes are apart, mm; 0 where they overlap."""
    (al, ab, ar, at), (bl, bb, br, bt) = a.bounds, b.bounds
    return math.hypot(max(bl - ar, al - br, 0.0), max(bb - at, ab - bt, 0.0))


def _inside_corners(plate: Plate, process: Process) -> Iterator[Fault]:
    least = max(process.inner_radius, process.kerf / 2)
    for name, shape, hollow in _rings(plate):
        sharpest = min((r for r in _inside_radii(shape, hollow)), default=math.inf)
        if sharpest < process.inner_radius - MEASURED:
            rule = (
                f"the process cuts {least:g} mm or more. Take thicker plate or a smaller plates.inner_radius."
            )
        elif sharpest < least - MEASURED:
            rule = (
                f"a cut {process.kerf:g} mm wide leaves {least:g} mm or more. Set plates.inner_radius to "
                "that, or a smaller plates.kerf."
            )
        else:
            continue
        message = f"has an inside corner of radius {sharpest:.2f} mm; {rule}"
        yield _fault(plate, name, message, "plates.inner_radius")


def _rings(plate: Plate) -> Iterator[tuple[str, Shape, float]]:
    """Each shape with +1 where it turns left round the material, -1 where it turns left round a hole."""
    for name, shape, solid in (
        (OUTLINE, plate.outline, 1.0),
        *((c.name, c.shape, -1.0) for c in plate.cutouts),
    ):
        yield name, shape, solid * math.copysign(1.0, shape.area)


def _inside_radii(shape: Shape, hollow: float) -> Iterator[float]:
    """Radii of all corners and arcs that bend into the material; 0 for a sharp corner."""
    if isinstance(shape, Round):
        if hollow < 0.0:
            yield shape.radius
        return
    pieces = shape.pieces
    for before, here in zip((pieces[-1], *pieces[:-1]), pieces, strict=True):
        if here.bulge * hollow < 0.0:
            yield here.radius
        if _turn(before, here) * hollow < -STRAIGHT_ON:
            yield 0.0


def _turn(before: ContourPiece, here: ContourPiece) -> float:
    """By how much the direction changes where two pieces meet, radians, left positive."""
    return math.remainder(here.direction(0.0) - before.direction(1.0), 2 * math.pi)


def _fit(plate: Plate, process: Process) -> Iterator[Fault]:
    slots = [c for c in plate.cutouts if isinstance(c.shape, Contour) and c.name.startswith("slot")]
    if slots and not 0.0 < process.fit <= WIDEST_FIT:
        yield _fault(
            plate,
            slots[0].name,
            f"plates.fit is {process.fit:g} mm. Use more than 0, at most {WIDEST_FIT:g} mm.",
            "plates.fit",
        )
    for cutout in plate.cutouts:
        if width_of(cutout) <= 2 * process.kerf:
            yield _fault(
                plate,
                cutout.name,
                f"is {width_of(cutout):.2f} mm wide, no more than two cuts of {process.kerf:g} mm. "
                f"Give the true plates.kerf, or larger bolts.",
                "plates.kerf",
            )


def _sheet(plate: Plate, process: Process) -> Iterator[Fault]:
    narrow, wide = sorted(plate.size)
    long, short = process.room
    if wide > long or narrow > short:
        yield _fault(
            plate,
            OUTLINE,
            f"is {wide:.0f} x {narrow:.0f} mm; a sheet of {process.sheet[0]:g} x {process.sheet[1]:g} mm has "
            f"{long:g} x {short:g} mm inside its edges. {_smaller(plate)}Set a larger plates.sheet.",
            "plates.sheet",
        )

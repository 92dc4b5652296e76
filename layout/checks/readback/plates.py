"""A plate's DXF read back from its raw group codes, and compared with the part it was written from.

Nothing is shared with the writer. A cutter burns what is in the file, so everything in it counts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from layout.checks.readback.dxf_tags import (
    Record,
    entities,
    header_value,
    number,
    numbers,
    point,
    read_tags,
    whole,
)
from layout.checks.readback.seen import Point, UnreadableError
from layout.checks.readback.verify import TOLERANCE
from layout.errors import Fault, WriteError
from layout.geometry.plates.contour import Contour, Round
from layout.geometry.plates.plate import Plate

_EXACT = 1e-5
"""Files hold coordinates to 1e-6 mm: a vertex further off than this was written wrong."""
_BULGE = 1e-9
_MILLIMETRES, _METRIC = "4", "1"
_CLOSED = 1
_X, _Y, _BEND = 10, 20, 42
"""Group codes of a polyline's vertex and of the bulge that follows it."""


@dataclass
class SeenPlate:
    """What a plate's file holds. `rings` are closed polylines as (x, y, bulge) rows."""

    rings: list[tuple[tuple[float, float, float], ...]] = field(default_factory=list)
    circles: list[tuple[Point, float]] = field(default_factory=list)
    strokes: list[tuple[Point, ...]] = field(default_factory=list)
    strangers: list[str] = field(default_factory=list)

    @property
    def contours(self) -> int:
        """How many contours are cut."""
        return len(self.rings) + len(self.circles)


def read_plate(data: bytes) -> SeenPlate:
    """What is cut, what is engraved, and whatever else is in a plate's DXF.

    Raises UnreadableError where the file is no DXF or its unit is not the millimetre.
    """
    tags = read_tags(data)
    for name, expected, meaning in (
        ("$INSUNITS", _MILLIMETRES, "millimetres"),
        ("$MEASUREMENT", _METRIC, "metric"),
    ):
        found = header_value(tags, name)
        if found != expected:
            raise UnreadableError(f"{name} is {found}, not {expected} ({meaning})")
    seen = SeenPlate()
    for entity in entities(tags):
        _sort(entity, seen)
    return seen


def verify_plate(path: Path, plate: Plate) -> None:
    """Compare a plate's file with the part. Raises WriteError (code read_back) where anything differs."""
    try:
        seen = read_plate(path.read_bytes())
    except OSError as e:
        raise _wrong(path, [f"cannot be read back: {e.strerror}"]) from e
    except UnreadableError as e:
        raise _wrong(path, [f"does not read back: {e}"]) from e
    faults = [f"does not read back true: {f}" for f in _differences(seen, plate)]
    if faults:
        raise _wrong(path, faults)


def _wrong(path: Path, faults: Sequence[str]) -> WriteError:
    return WriteError(*(Fault(f, "read_back", file=str(path)) for f in faults))


def _sort(entity: Record, seen: SeenPlate) -> None:
    """Put an entity where it belongs; what is neither cut nor engraved is a stranger."""
    kind = entity[0][1]
    layer = next((v for c, v in entity if c == 8), "")
    if (kind, layer) == ("CIRCLE", "CUT"):
        seen.circles.append((point(entity, 10, 20), number(entity, 40)))
    elif (kind, layer) == ("LINE", "ENGRAVE"):
        seen.strokes.append((point(entity, 10, 20), point(entity, 11, 21)))
    elif kind == "LWPOLYLINE" and layer in ("CUT", "ENGRAVE"):
        closed = whole(entity, 70) & _CLOSED
        rows = _rows(entity)
        if layer == "CUT" and closed:
            seen.rings.append(rows)
        elif layer == "ENGRAVE" and not closed and not any(k for _, _, k in rows):
            seen.strokes.append(tuple((x, y) for x, y, _ in rows))
        else:
            seen.strangers.append(f"{'a closed' if closed else 'an open'} polyline on layer {layer}")
    else:
        seen.strangers.append(f"{kind} on layer {layer}")


def _rows(entity: Record) -> tuple[tuple[float, float, float], ...]:
    """The vertices of a polyline with the bulge that follows each."""
    rows: list[list[float]] = []
    for code, found in numbers(entity, (_X, _Y, _BEND)):
        if code == _X:
            rows.append([found, 0.0, 0.0])
        elif not rows:
            raise UnreadableError("a polyline begins without a vertex")
        else:
            rows[-1][1 if code == _Y else 2] = found
    return tuple((x, y, k) for x, y, k in rows)


def _differences(seen: SeenPlate, plate: Plate) -> Iterator[str]:
    yield from (f"there is a {s} that should not be there" for s in seen.strangers)
    rings = [s for s in plate.shapes if isinstance(s, Contour)]
    circles = [s for s in plate.shapes if isinstance(s, Round)]
    if (len(seen.rings), len(seen.circles)) != (len(rings), len(circles)):
        yield (
            f"it has {len(seen.rings)} rings and {len(seen.circles)} circles, "
            f"not {len(rings)} and {len(circles)}"
        )
        return
    for nth, (found, ring) in enumerate(zip(seen.rings, rings, strict=True), 1):
        yield from _ring_differences(nth, found, ring)
    for (centre, radius), circle in zip(seen.circles, circles, strict=True):
        off = max(math.dist(centre, circle.centre), abs(radius - circle.radius))
        if not off <= _EXACT:
            yield f"the circle at ({circle.centre[0]:.3f}, {circle.centre[1]:.3f}) is {off:.4f} mm off"
    if len(seen.strokes) != len(plate.engraving):
        yield f"it has {len(seen.strokes)} engraved strokes, not {len(plate.engraving)}"
        return
    for stroke, meant in zip(seen.strokes, plate.engraving, strict=True):
        if len(stroke) != len(meant) or not all(
            math.dist(a, b) <= TOLERANCE for a, b in zip(stroke, meant, strict=True)
        ):
            yield f"the engraved stroke at ({meant[0][0]:.3f}, {meant[0][1]:.3f}) is not where it should be"
    low = min((min(x, y) for ring in seen.rings for x, y, _ in ring), default=0.0)
    if low < -_EXACT:
        yield f"it reaches {-low:.3f} mm out of the positive quadrant"


def _ring_differences(
    nth: int, found: tuple[tuple[float, float, float], ...], ring: Contour
) -> Iterator[str]:
    if len(found) != len(ring.points):
        yield f"ring {nth} has {len(found)} vertices, not {len(ring.points)}"
        return
    for (x, y, k), at, bulge in zip(found, ring.points, ring.bulges, strict=True):
        off = math.dist((x, y), at)
        if not off <= _EXACT:
            yield f"ring {nth} has a vertex {off:.4f} mm off at ({at[0]:.3f}, {at[1]:.3f})"
        if not abs(k - bulge) <= _BULGE:
            yield f"ring {nth} has a wrong arc at ({at[0]:.3f}, {at[1]:.3f})"

"""What DXF R2010 says of each kind of entity after its handle, owner and layer, as group codes.

A code stands on one line, its value on the next:

    100          begins a part of an entity, by that part's name
     10, 20, 30  x, y and z of the first point; 11, 21, 31 of the second, and so on

Coordinates and sizes stand in a template as %s and next to it as numbers, which are rounded and spelled at
once for a whole document; any other value is written as it comes: who asks has rounded it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from layout.drafting.vector import Point

_FIT = 5
"""TEXT justification: between two points, at the given height."""
_ROTATED, _ANGULAR = 0, 2
_OWN_BLOCK, _TEXT_PLACED = 32, 128
"""DIMENSION type flags: the block is this dimension's alone; its text was placed by hand."""
_MIDDLE_CENTRE = 5


class Codes(NamedTuple):
    """Group codes with a %s for each of the numbers, in their order, mm."""

    template: str
    numbers: tuple[float, ...]


def _at(code: int) -> str:
    """A point whose x has that group code."""
    return f" {code}\n%s\n {code + 10}\n%s\n {code + 20}\n0.0\n"


def _literal(words: str) -> str:
    """Words as they are, in a template."""
    return words.replace("%", "%%")


_LINE = f"100\nAcDbLine\n{_at(10)}{_at(11)}"
_CIRCLE = f"100\nAcDbCircle\n{_at(10)} 40\n%s\n"
_VERTEX = " 10\n%s\n 20\n%s\n"


def point(at: Point, application: str, name: str) -> Codes:
    """A POINT, its name in the extended data of an application."""
    return Codes(f"100\nAcDbPoint\n{_at(10)}1001\n{application}\n1000\n{_literal(name)}\n", at)


def line(start: Point, end: Point) -> Codes:
    """A LINE."""
    return Codes(_LINE, (*start, *end))


def circle(centre: Point, radius: float) -> Codes:
    """A CIRCLE."""
    return Codes(_CIRCLE, (*centre, radius))


def arc(centre: Point, radius: float, start: float, end: float) -> Codes:
    """An ARC, counter-clockwise from `start` to `end`, degrees."""
    return Codes(f"{_CIRCLE}100\nAcDbArc\n 50\n{start}\n 51\n{end}\n", (*centre, radius))


def polyline(points: Sequence[Point], closed: bool, bulges: Sequence[float] = ()) -> Codes:
    """An LWPOLYLINE of straight pieces, or of arcs where the point before has a bulge."""
    vertices = _VERTEX * len(points)
    if bulges:
        vertices = "".join(f"{_VERTEX} 42\n{bulge}\n" if bulge else _VERTEX for bulge in bulges)
    head = f"100\nAcDbPolyline\n 90\n{len(points)}\n 70\n{int(closed)}\n"
    return Codes(head + vertices, tuple(v for p in points for v in p))


class TextFit(NamedTuple):
    """Where a TEXT ends, and by how much its letters are widened for that."""

    end: Point
    factor: float


def text(words: str, style: str, height: float, *, angle: float, start: Point, fit: TextFit | None) -> Codes:
    """A TEXT from `start` along `angle`, degrees. What is as DXF assumes is not said."""
    turned = f" 50\n{angle}\n" if angle else ""
    fitted = ""
    if fit is not None:
        widened = f" 41\n{fit.factor}\n" if fit.factor != 1.0 else ""
        fitted = f"{widened} 72\n{_FIT}\n{_at(11)}"
    shown = f"{_at(10)} 40\n%s\n  1\n{_literal(words)}\n{turned}  7\n{style}\n{fitted}"
    numbers = (*start, height, *(() if fit is None else fit.end))
    return Codes(f"100\nAcDbText\n{shown}100\nAcDbText\n", numbers)


@dataclass(frozen=True, slots=True)
class DimensionShown:
    """What every DIMENSION shows: its block, in which style, its value in words and where their middle is."""

    block: str
    style: str
    words: str
    middle: Point

    def codes(self, kind: int, measured: float, at: Point) -> Codes:
        """The part that all kinds of DIMENSION have; `at` is its definition point."""
        flags = kind | _OWN_BLOCK | _TEXT_PLACED
        return Codes(
            f"100\nAcDbDimension\n280\n0\n  2\n{self.block}\n  3\n{self.style}\n"
            f"{_at(10)}{_at(11)} 70\n{flags}\n 71\n{_MIDDLE_CENTRE}\n"
            f" 42\n{measured}\n  1\n{_literal(self.words)}\n",
            (*at, *self.middle),
        )


def length(
    shown: DimensionShown, measured: float, *, foot: Point, start: Point, end: Point, direction: float
) -> Codes:
    """A DIMENSION of a length along a direction, degrees; `foot` is where its line ends."""
    template, numbers = shown.codes(_ROTATED, measured, foot)
    own = f"100\nAcDbAlignedDimension\n{_at(13)}{_at(14)} 50\n{direction}\n100\nAcDbRotatedDimension\n"
    return Codes(template + own, (*numbers, *start, *end))


def angle(
    shown: DimensionShown, measured: float, *, vertex: Point, start: Point, end: Point, on_arc: Point
) -> Codes:
    """A DIMENSION of the angle between two lines from a vertex; the angle measured is in radians.

    Not the kind that has three points: some programs draw none of those.
    """
    template, numbers = shown.codes(_ANGULAR, measured, end)
    own = f"100\nAcDb2LineAngularDimension\n{_at(13)}{_at(14)}{_at(15)}{_at(16)}"
    return Codes(template + own, (*numbers, *vertex, *start, *vertex, *on_arc))

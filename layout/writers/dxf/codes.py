"""What DXF R2010 says of each kind of entity after its handle, owner and layer, as group codes.

A code stands on one line, its value on the next:

    100          begins a part of an entity, by that part's name
     10, 20, 30  x, y and z of the first point; 11, 21, 31 of the second, and so on

Plain text from plain values, which are written as they come: who asks has rounded them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.drafting.vector import Point

_FIT = 5
"""TEXT justification: between two points, at the given height."""
_ROTATED, _ANGULAR = 0, 2
_OWN_BLOCK, _TEXT_PLACED = 32, 128
"""DIMENSION type flags: the block is this dimension's alone; its text was placed by hand."""
_MIDDLE_CENTRE = 5


def point(at: Point, application: str, name: str) -> str:
    """A POINT, its name in the extended data of an application."""
    return f"100\nAcDbPoint\n{_at(10, at)}1001\n{application}\n1000\n{name}\n"


def line(start: Point, end: Point) -> str:
    """A LINE."""
    return f"100\nAcDbLine\n{_at(10, start)}{_at(11, end)}"


def circle(centre: Point, radius: float) -> str:
    """A CIRCLE."""
    return f"100\nAcDbCircle\n{_at(10, centre)} 40\n{radius}\n"


def arc(centre: Point, radius: float, start: float, end: float) -> str:
    """An ARC, counter-clockwise from `start` to `end`, degrees."""
    return f"{circle(centre, radius)}100\nAcDbArc\n 50\n{start}\n 51\n{end}\n"


def polyline(points: Sequence[Point], closed: bool, bulges: Sequence[float] = ()) -> str:
    """An LWPOLYLINE of straight pieces, or of arcs where the point before has a bulge."""
    vertices = [f" 10\n{x}\n 20\n{y}\n" for x, y in points]
    if bulges:
        pairs = zip(vertices, bulges, strict=True)
        vertices = [f"{vertex} 42\n{bulge}\n" if bulge else vertex for vertex, bulge in pairs]
    return f"100\nAcDbPolyline\n 90\n{len(points)}\n 70\n{int(closed)}\n{''.join(vertices)}"


@dataclass(frozen=True, slots=True)
class TextFit:
    """Where a TEXT ends, and by how much its letters are widened for that."""

    end: Point
    factor: float


def text(words: str, style: str, height: float, *, angle: float, start: Point, fit: TextFit | None) -> str:
    """A TEXT from `start` along `angle`, degrees. What is as DXF assumes is not said."""
    turned = f" 50\n{angle}\n" if angle else ""
    fitted = ""
    if fit is not None:
        widened = f" 41\n{fit.factor}\n" if fit.factor != 1.0 else ""
        fitted = f"{widened} 72\n{_FIT}\n{_at(11, fit.end)}"
    shown = f"{_at(10, start)} 40\n{height}\n  1\n{words}\n{turned}  7\n{style}\n{fitted}"
    return f"100\nAcDbText\n{shown}100\nAcDbText\n"


@dataclass(frozen=True, slots=True)
class DimensionShown:
    """What every DIMENSION shows: its block, in which style, its value in words and where their middle is."""

    block: str
    style: str
    words: str
    middle: Point

    def codes(self, kind: int, measured: float, at: Point) -> str:
        """The part that all kinds of DIMENSION have; `at` is its definition point."""
        flags = kind | _OWN_BLOCK | _TEXT_PLACED
        return (
            f"100\nAcDbDimension\n280\n0\n  2\n{self.block}\n  3\n{self.style}\n"
            f"{_at(10, at)}{_at(11, self.middle)} 70\n{flags}\n 71\n{_MIDDLE_CENTRE}\n"
            f" 42\n{measured}\n  1\n{self.words}\n"
        )


def length(
    shown: DimensionShown, measured: float, *, foot: Point, start: Point, end: Point, direction: float
) -> str:
    """A DIMENSION of a length along a direction, degrees; `foot` is where its line ends."""
    return (
        f"{shown.codes(_ROTATED, measured, foot)}"
        f"100\nAcDbAlignedDimension\n{_at(13, start)}{_at(14, end)} 50\n{direction}\n"
        f"100\nAcDbRotatedDimension\n"
    )


def angle(
    shown: DimensionShown, measured: float, *, vertex: Point, start: Point, end: Point, on_arc: Point
) -> str:
    """A DIMENSION of the angle between two lines from a vertex; the angle measured is in radians.

    Not the kind that has three points: some programs draw none of those.
    """
    return (
        f"{shown.codes(_ANGULAR, measured, end)}100\nAcDb2LineAngularDimension\n"
        f"{_at(13, vertex)}{_at(14, start)}{_at(15, vertex)}{_at(16, on_arc)}"
    )


def _at(code: int, p: Point) -> str:
    """A point whose x has that group code."""
    return f" {code}\n{p[0]}\n {code + 10}\n{p[1]}\n {code + 20}\n0.0\n"

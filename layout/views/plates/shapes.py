"""Contours as a drawing's lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from layout.drafting.entities import Arc, Circle, Line, Stroke
from layout.drafting.style import Layer, Pen
from layout.geometry.plates.contour import ContourPiece, Round, Shape


def drawn(shape: Shape, layer: Layer = Layer.OUTLINE, pen: Pen | None = None) -> Iterator[Stroke]:
    """A contour's pieces, or its circle."""
    if isinstance(shape, Round):
        yield Circle(shape.centre, shape.radius, layer, pen)
        return
    for piece in shape.pieces:
        yield drawn_piece(piece, layer, pen)


def drawn_piece(piece: ContourPiece, layer: Layer, pen: Pen | None = None) -> Stroke:
    """One line or arc."""
    if piece.bulge == 0.0:
        return Line(piece.start, piece.end, layer, pen)
    centre = piece.centre
    first = piece.start if piece.bulge > 0.0 else piece.end
    start = math.degrees(math.atan2(first[1] - centre[1], first[0] - centre[0]))
    return Arc(centre, piece.radius, start, start + abs(math.degrees(piece.sweep)), layer=layer, pen=pen)

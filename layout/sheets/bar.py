"""A scale bar low enough for the band round a tile's content: 100 mm, its words between its marks.

|  .  .  .  .  100 mm  .  .  .  .  |
+--'--'--'--'----------'--'--'--'--+
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.entities import Align, Entity, Line, Text
from layout.drafting.style import THIN, Layer, Pen
from layout.drafting.vector import Point, unit

BAR_LENGTH = 100.0
"""Long enough that half a per cent shows against a rule read to half a millimetre."""
TENTH = 10.0
END_BELOW, END_ABOVE, TENTH_ABOVE = 0.9, 3.4, 1.6
"""How far marks reach from the bar, mm: within a band of 5 with its baseline at 1.2."""
WORDS = "100 mm"
WORDS_HEIGHT = 2.5
WORDS_ABOVE = 0.7
"""From the bar to the words on it, mm."""
_PEN = Pen(THIN)


def bar(at: Point, angle: float) -> Iterator[Entity]:
    """The bar from `at` along `angle` (degrees), its marks on the left of that direction."""
    (x, y), (ux, uy), (vx, vy) = at, unit(angle), unit(angle + 90.0)

    def place(u: float, v: float) -> Point:
        return x + u * ux + v * vx, y + u * uy + v * vy

    yield Line(at, place(BAR_LENGTH, 0.0), Layer.SHEET, _PEN)
    for u in (0.0, BAR_LENGTH):
        yield Line(place(u, -END_BELOW), place(u, END_ABOVE), Layer.SHEET, _PEN)
    middle = BAR_LENGTH / 2
    for i in range(1, 10):
        if abs(i * TENTH - middle) >= TENTH:
            yield Line(place(i * TENTH, 0.0), place(i * TENTH, TENTH_ABOVE), Layer.SHEET, _PEN)
    yield Text(place(middle, WORDS_ABOVE), WORDS, WORDS_HEIGHT, Layer.SHEET, angle=angle, align=Align.MIDDLE)

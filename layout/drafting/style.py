"""Line widths, line patterns and layers, after ISO 128-2.

Widths follow the standard's series: 0.5 for outlines and border, 0.35 for scribe crosses, 0.25
for all else; lettering's goes by its height. Pattern elements are multiples of the line width d
(ISO 128-2: long dash 24d, dash 12d, gap 3d, dot 0.5d; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

THICK = 0.5
SCRIBE = 0.35
THIN = 0.25

TEXT_CALLOUT = 7.0
"""Callouts are read standing, a metre off."""
TEXT_TABLE = 5.0
TEXT_NOTE = 3.5


class Layer(StrEnum):
    """Drawing layers; the values are the names written to files."""

    CENTRE = "CENTRE"
    OUTLINE = "OUTLINE"
    HIDDEN = "HIDDEN"
    WHEEL = "WHEEL"
    DATUM = "DATUM"
    POINT = "POINT"
    DIM = "DIM"
    NOTE = "NOTE"
    FITTING = "FITTING"
    SHEET = "SHEET"


class Pattern(StrEnum):
    """Line types by their ISO 128-2 names."""

    CONTINUOUS = "continuous"
    DASHED = "dashed"
    CHAIN = "long_dashed_dotted"
    PHANTOM = "long_dashed_double_dotted"


_ELEMENTS: dict[Pattern, tuple[float, ...]] = {
    Pattern.CONTINUOUS: (),
    Pattern.DASHED: (12.0, 3.0),
    Pattern.CHAIN: (24.0, 3.0, 0.5, 3.0),
    Pattern.PHANTOM: (24.0, 3.0, 0.5, 3.0, 0.5, 3.0),
}


@dataclass(frozen=True, slots=True)
class Pen:
    """A line width in mm and a pattern."""

    width: float
    pattern: Pattern = Pattern.CONTINUOUS

    @property
    def dashes(self) -> tuple[float, ...]:
        """Mark and gap lengths in mm, alternating, beginning with a mark; empty if continuous.

        >>> Pen(0.5, Pattern.DASHED).dashes
        (6.0, 1.5)
        """
        return tuple(e * self.width for e in _ELEMENTS[self.pattern])


LAYER_PENS: dict[Layer, Pen] = {
    Layer.CENTRE: Pen(THIN, Pattern.CHAIN),
    Layer.OUTLINE: Pen(THICK),
    Layer.HIDDEN: Pen(THIN, Pattern.DASHED),
    Layer.WHEEL: Pen(THIN, Pattern.PHANTOM),
    Layer.DATUM: Pen(THIN, Pattern.CHAIN),
    Layer.POINT: Pen(SCRIBE),
    Layer.DIM: Pen(THIN),
    Layer.NOTE: Pen(THIN),
    Layer.FITTING: Pen(SCRIBE),
    Layer.SHEET: Pen(THIN),
}
"""The pen of an entity that names none of its own. Lettering always uses `lettering_pen`."""

LETTERING_WIDTHS = ((10.0, 0.7), (7.0, 0.5), (3.5, 0.35), (2.5, 0.25), (0.0, 0.18))
"""From which height on lettering has which width, mm: a tenth to a fourteenth (ISO 3098; from memory).

The angles that the jig is set to, 10 high, are the heaviest lines on a sheet.
"""


@lru_cache(maxsize=256)
def lettering_pen(height: float) -> Pen:
    """The pen of lettering so high, mm.

    >>> [lettering_pen(h).width for h in (10.0, 7.0, 5.0, 3.5, 2.5, 1.8)]
    [0.7, 0.5, 0.35, 0.35, 0.25, 0.18]
    """
    return Pen(next(width for least, width in LETTERING_WIDTHS if height >= least))

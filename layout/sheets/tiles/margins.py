"""The bands round a tile's content, filled with words and bars one after another.

A band is a baseline with a length; things stand on it from its start, GAP apart. Each thing
names the bands it may stand in, best first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from layout.drafting.entities import Entity, Text
from layout.drafting.lettering import text_width
from layout.drafting.style import Layer
from layout.drafting.vector import Point, along

GAP = 5.0
"""Between two things in a band, mm: they must not read as one."""
WORDS_HEIGHT = 2.5
"""Words on tiles are read with the sheet in the hand: the least that ISO 3098 has for plain use."""

Drawn = Callable[[Point, float], Iterable[Entity]]
"""What draws a thing from the point on the baseline where it starts, along an angle in degrees."""


@dataclass
class Band:
    """A baseline from `start` along `angle` (degrees), `length` mm, of which `used` is taken."""

    start: Point
    angle: float
    length: float
    used: float = field(default=0.0)

    def takes(self, length: float, gap: float) -> Point | None:
        """Where a thing `length` mm long starts, or None where it has no room."""
        begin = self.used + gap if self.used else 0.0
        if begin + length > self.length:
            return None
        self.used = begin + length
        return along(self.start, self.angle, begin)


class Thing(NamedTuple):
    """Something `length` mm long for one of `bands`, best first; one that is `spare` may be left out."""

    length: float
    draw: Drawn
    bands: tuple[str, ...]
    spare: bool = False


def words(
    text: str, bands: tuple[str, ...], spare: bool = False, height: float = WORDS_HEIGHT
) -> Thing:
    """A line of lettering for the first of `bands` with room."""

    def draw(at: Point, angle: float) -> Iterable[Entity]:
        return (Text(at, text, height, Layer.SHEET, angle=angle),)

    return Thing(text_width(text, height), draw, bands, spare)


def fill_bands(bands: dict[str, Band], things: Sequence[Thing], gap: float = GAP) -> list[Entity]:
    """All things drawn, each in the first of its bands with room left, `gap` apart.

    Raises ValueError where one has no room: the page is smaller than any medium may be.
    """
    placed: list[tuple[Thing, Point, float]] = []
    for thing in things:
        for name in thing.bands:
            at = bands[name].takes(thing.length, gap)
            if at is not None:
                placed.append((thing, at, bands[name].angle))
                break
        else:
            if thing.spare:
                continue
            raise ValueError(f"no room for {thing.length:.0f} mm in the bands {', '.join(thing.bands)}")
    return [e for thing, at, angle in placed for e in thing.draw(at, angle)]

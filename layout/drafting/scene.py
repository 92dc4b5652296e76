"""What callouts keep off: strokes and boxes in groups, each group with its price.

The order of the groups is kept: prices are summed in it, so that a drawing is the same every time.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from layout.drafting.entities import Entity
from layout.drafting.obstacles import HARD, Box, Scene
from layout.drafting.pieces import pieces
from layout.drafting.style import Layer
from layout.drafting.vector import Point

Group = tuple[Collection[Entity | Box], float]
"""Strokes, or boxes that lettering keeps out of, and what it costs to lie on one.

Leaders pass clear of a box's centre, but for those that begin there.
"""


def scene(groups: Iterable[Group]) -> Scene:
    """The obstacles of several groups."""
    found = Scene()
    for things, price in groups:
        for thing in things:
            found.add_lines(thing.ribs() if isinstance(thing, Box) else pieces(thing), price)
            if isinstance(thing, Box):
                found.keep_leaders_off(thing.centre)
    return found


def by_layer(strokes: Iterable[Entity], hard: Collection[Layer], price: float) -> Iterator[Group]:
    """Strokes in their order: those of the layers `hard` at the price of thick lines, others at `price`."""
    for stroke in strokes:
        yield (stroke,), HARD if stroke.layer in hard else price


def squares(points: Iterable[Point], half: float) -> tuple[Box, ...]:
    """A square about each point, `half` mm to each side: room for the scriber's point."""
    return tuple(Box(at, half, half, 0.0) for at in points)

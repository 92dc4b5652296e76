"""Axes of the tubes that leave the middle plane: stays, straight or bent.

A stay runs from a start to a target that the frame fixes. Its bends are fixed in the tube: so the
tube is turned until its end lands on the target. Its reference line at the first end stays the
generator nearest to up (or forward), and its last straight piece is as long as it needs to be.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from layout.geometry import messages
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.path import Bend, Path, bent_path, straight_path
from layout.geometry.space.vectors import Array, Triad, X, Y, cross, length, rotate, triad, unit

LANDED = 1e-10
"""The end is on its target within this, mm."""
ROUNDS = 200


def stay_path(start: Array, target: Array, up: Array, bends: Sequence[Bend] = ()) -> Path:
    """The axis from `start` to `target` with `bends`; `up` is what the reference line lies nearest to.

    Raises MisfitError where the bends overlap or do not fit between the two points.
    """
    chord = target - start
    if not bends:
        return straight_path(triad(start, chord, up), length(chord))
    total, arm = _shape(bends, length(chord))
    direction = unit(chord)
    for _ in range(ROUNDS):
        here = triad(start, direction, up)
        landed = arm[0] * here.along + arm[1] * here.reference + arm[2] * here.across
        if length(landed - chord) < LANDED:
            return bent_path(here, total, bends)
        direction = _swung(direction, landed, chord)
    raise MisfitError(messages.BENDS_TOO_FAR)


def _shape(bends: Sequence[Bend], chord: float) -> tuple[float, Array]:
    """Developed length of the bent tube that spans `chord`, and its span in its own first triad."""
    own = Triad(np.zeros(3), X, Y)
    last = max(b.span[1] for b in bends)
    free = bent_path(own, last, bends)
    here = free.at(last)
    along = float(here.at @ here.along)
    room = along * along + chord * chord - float(here.at @ here.at)
    more = -along + math.sqrt(room) if room > 0.0 else -1.0
    if more < 0.0:
        raise MisfitError(messages.BENDS_TOO_LONG.format(last=last, chord=chord))
    return last + more, here.at + more * here.along


def _swung(direction: Array, landed: Array, chord: Array) -> Array:
    """`direction` turned as it takes to bring `landed` onto `chord`."""
    axis = cross(landed, chord)
    if length(axis) == 0.0:
        return direction
    angle = math.degrees(math.atan2(length(axis), float(landed @ chord)))
    return unit(rotate(direction, unit(axis), angle))

"""What a gauge's false zero, or a frame that does not stand level, adds to readings of the frame.

A zero off by one degree moves all angles from the level alike, the top tube's slope the other way, and
included angles not at all. A frame that leans by it, nose down, does the same; but then lengths that are
read plumb or level go wrong too, as far as their ends go round the BB: only these tell the two causes apart.
"""

from __future__ import annotations

import math

from layout.geometry.dimensions import REGISTRY
from layout.geometry.dimensions.spans import LengthSpan, Points, Way

ZERO, LEAN = 0, 1
"""The causes that readings may share, by their columns: a gauge's false zero, a frame that is not level."""
LEVELLED = {"head_angle": 1.0, "seat_angle": 1.0, "seat_angle_effective": 1.0, "top_tube_slope": -1.0}
"""What one degree of either adds to an angle from the level."""
ON_THE_GROUND = ("front_contact", "rear_contact")
"""Points that are no part of the frame and do not lean with it."""
STEP = 1e-3
"""The lean by which its effect on a reading is worked out, degrees."""
NOTHING = 0.01
"""An effect of less than this for one degree is none, mm: of rounding, and of axles that are level."""


def leaning(name: str, here: Points) -> float:
    """What a frame that leans nose down by one degree adds to a reading; `here` are its points.

    0 for what is measured along the frame itself.

    >>> level = {"bb": (0.0, 0.0), "rear_axle": (-430.0, 0.0), "front_axle": (600.0, 0.0)}
    >>> round(leaning("bb_drop", level), 2), leaning("rear_centre", level)
    (7.5, 0.0)
    """
    if name in LEVELLED:
        return LEVELLED[name]
    span = REGISTRY[name].span
    if not isinstance(span, LengthSpan) or span.direction not in (Way.PLUMB, Way.LEVEL):
        return 0.0
    if set(span.sources) & set(ON_THE_GROUND):
        return 0.0
    before, after = (span.placed(p) for p in (here, _turned(here, -STEP)))
    added = 0.0 if before is None or after is None else (after.value - before.value) / STEP
    return added if abs(added) > NOTHING else 0.0


def _turned(here: Points, degrees: float) -> dict[str, tuple[float, float]]:
    """Points turned about the BB."""
    (x0, y0), c, s = here["bb"], math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return {
        n: (x0 + c * (x - x0) - s * (y - y0), y0 + s * (x - x0) + c * (y - y0)) for n, (x, y) in here.items()
    }

"""Hand distances."""

from __future__ import annotations

from layout.geometry.space.tube import Tube

ON_QUARTER = 3.0
"""A place this near a quarter line of the tube, degrees, is on it to the eye; common practice."""


def side_words(tube: Tube, phi: float) -> str:
    """The side of a tube at `phi`, degrees: a quarter's word, and how far round from it towards which other.

    "back", "back, 14° to right"
    """
    off = (phi + 45.0) % 90.0 - 45.0
    near = tube.quarter(phi - off)
    if abs(off) < ON_QUARTER:
        return near
    return f"{near}, {abs(off):.0f}° to {tube.quarter(phi - off + (90.0 if off > 0.0 else -90.0))}"

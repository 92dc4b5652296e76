"""The tubes of a frame in space where a test has the frame alone, without its spec."""

from __future__ import annotations

from layout.frame.solve import Frame
from layout.frame.space import in_space
from layout.geometry.space.frame import SpaceFrame
from layout.spec.load import loads


def sized(frame: Frame) -> SpaceFrame:
    """Tubes of the frame's own sizes, all else by default."""
    return in_space(loads("geometry: {bb_drop: 70}\n"), frame).frame

"""Seat tube, top tube and down tube in the side view.

Usual ranges: common practice.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, hypot
from layout.geometry.dimensions.kind import entries, entry
from layout.geometry.dimensions.spans import (
    DOWN_AXIS,
    HEAD_AXIS,
    SEAT_AXIS,
    AngleSpan,
    Arm,
    LengthSpan,
    Meeting,
    Through,
    Way,
)
from layout.geometry.plane import Plane

_SEAT_AT_TOP = Meeting(Through("seat_tube_foot", SEAT_AXIS), Through("head_tube_top", Way.LEVEL))
"""The seat tube's axis at the height of the head tube's top."""


@entry("mm", (150.0, 1300.0), (480.0, 670.0), span=LengthSpan(_SEAT_AT_TOP, "head_tube_top", Way.LEVEL))
def top_tube_effective(f: Plane) -> Value:
    """Horizontal distance from the head tube's top centre to the seat-tube axis."""
    x, y = f.head_tube_top
    s, c = f.seat_sincos
    return x + (y * c - f.seat_tube_offset) / s


@entry("mm", (150.0, 1300.0), (460.0, 670.0), span=LengthSpan("top_tube_at_seat", "top_tube_at_head"))
def top_tube_length(f: Plane) -> Value:
    """Top tube centre to centre along its axis, head-tube axis to seat-tube axis."""
    return hypot(*f.top_tube_run)


@entry("deg", (-30.0, 70.0), (-3.0, 20.0), span=AngleSpan("top_tube_at_seat", Arm.AHEAD, "top_tube_at_head"))
def top_tube_slope(f: Plane) -> Value:
    """Angle of the top tube's axis above the horizontal, positive: rising to the front."""
    return f.top_tube_rise


@entry("mm", (100.0, 900.0), (320.0, 690.0), span=LengthSpan("seat_tube_foot", "seat_tube_top", SEAT_AXIS))
def seat_tube_length(f: Plane) -> Value:
    """Seat tube along its axis, from its foot at the bottom bracket to its top end (centre to top)."""
    return f.seat_tube_length


@entry("mm", (20.0, 900.0), (280.0, 670.0), span=LengthSpan("seat_tube_foot", "top_tube_at_seat", SEAT_AXIS))
def seat_tube_cc(f: Plane) -> Value:
    """Seat tube from its foot at the bottom bracket along its axis to the top tube's (centre to centre)."""
    return f.seat_tube_length - f.top_tube_at_seat


@entry("mm", (-60.0, 60.0), (-5.0, 40.0), span=LengthSpan("bb", "seat_tube_foot", SEAT_AXIS.square))
def seat_tube_offset(f: Plane) -> Value:
    """Perpendicular from bottom bracket to the seat-tube axis, positive: the axis passes ahead."""
    return f.seat_tube_offset


@entry("mm", (-40.0, 40.0), (-12.0, 12.0), span=LengthSpan("bb", "down_tube_at_bb", DOWN_AXIS.square))
def down_tube_offset(f: Plane) -> Value:
    """Perpendicular from bottom bracket to the down-tube axis, positive: the axis passes below."""
    return f.down_tube_offset


@entry("mm", (200.0, 1800.0), (540.0, 800.0), span=LengthSpan("down_tube_at_bb", "down_tube_at_head"))
def down_tube_length(f: Plane) -> Value:
    """Down tube from the foot of the perpendicular from the bottom bracket to the head-tube axis."""
    return f.down_tube_run


@entry("mm", (0.0, 450.0), (20.0, 90.0), span=LengthSpan("top_tube_at_head", "head_tube_top", HEAD_AXIS))
def top_tube_at_head(f: Plane) -> Value:
    """Along the head tube from its top end down to the top tube's axis."""
    return f.top_tube_at_head


@entry("mm", (0.0, 850.0), (15.0, 90.0), span=LengthSpan("top_tube_at_seat", "seat_tube_top", SEAT_AXIS))
def top_tube_at_seat(f: Plane) -> Value:
    """Along the seat tube from its top end down to the top tube's axis."""
    return f.top_tube_at_seat


@entry("mm", (0.0, 450.0), (20.0, 90.0), span=LengthSpan("head_tube_bottom", "down_tube_at_head", HEAD_AXIS))
def down_tube_at_head(f: Plane) -> Value:
    """Along the head tube from its lower end up to the down tube's axis."""
    return f.down_tube_at_head


ENTRIES = entries(globals())

"""Included angles at the joints, 0 to 180 (the lug angles).

Mills read the fold to 0 to 90, or its complement from square. Usual ranges: common practice.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, absolute, atan2
from layout.geometry.dimensions.kind import entries, entry
from layout.geometry.dimensions.spans import (
    CHAIN_STAY_AXIS,
    DOWN_AXIS,
    SEAT_AXIS,
    AngleSpan,
    Meeting,
    Through,
)
from layout.geometry.plane import Plane

_SEAT_AND_DOWN = Meeting(Through("seat_tube_foot", SEAT_AXIS), Through("down_tube_at_bb", DOWN_AXIS))
_SEAT_AND_CHAIN = Meeting(Through("seat_tube_foot", SEAT_AXIS), Through("bb", CHAIN_STAY_AXIS))


@entry(
    "deg",
    (15.0, 165.0),
    (58.0, 95.0),
    span=AngleSpan("top_tube_at_head", "head_tube_top", "top_tube_at_seat"),
)
def angle_top_head(f: Plane) -> Value:
    """Angle between the head tube upward and the top tube backward: head angle plus slope."""
    return f.head_angle + f.top_tube_rise


@entry(
    "deg",
    (15.0, 165.0),
    (65.0, 98.0),
    span=AngleSpan("top_tube_at_seat", "seat_tube_foot", "top_tube_at_head"),
)
def angle_seat_top(f: Plane) -> Value:
    """Angle between the seat tube downward and the top tube forward: seat angle plus slope."""
    return f.seat_angle + f.top_tube_rise


@entry(
    "deg",
    (10.0, 150.0),
    (50.0, 75.0),
    span=AngleSpan("down_tube_at_head", "down_tube_at_bb", "head_tube_bottom"),
)
def angle_down_head(f: Plane) -> Value:
    """Angle between the head tube downward and the down tube: 180 - head angle - the down tube's rise."""
    return 180.0 - f.head_angle - f.down_tube_rise


@entry(
    "deg", (10.0, 150.0), (50.0, 75.0), span=AngleSpan(_SEAT_AND_DOWN, "down_tube_at_head", "seat_tube_top")
)
def angle_seat_down(f: Plane) -> Value:
    """Angle between the seat tube upward and the down tube: 180 - seat angle - the down tube's rise."""
    return 180.0 - f.seat_angle - f.down_tube_rise


@entry("deg", (10.0, 140.0), (54.0, 78.0), span=AngleSpan(_SEAT_AND_CHAIN, "seat_tube_top", "rear_axle"))
def angle_seat_chain(f: Plane) -> Value:
    """Angle between the seat tube upward and the chain stay backward."""
    return absolute(f.seat_angle - atan2(f.bb_drop, f.rear_centre_horizontal))


ENTRIES = entries(globals())

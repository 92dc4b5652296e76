"""Bottom bracket, wheels' places, fork, headset and head tube.

Usual ranges: common practice.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, hypot
from layout.geometry.dimensions.kind import entries, entry
from layout.geometry.dimensions.spans import (
    FORK_AXIS,
    HEAD_AXIS,
    SEAT_AXIS,
    AngleSpan,
    Arm,
    LengthSpan,
    Meeting,
    Through,
    Way,
    corner,
)
from layout.geometry.plane import Plane

_SEAT_LEVEL = Meeting(Through("seat_tube_foot", SEAT_AXIS), Through("bb", Way.LEVEL))
_HEAD_LEVEL = Meeting(Through("fork_foot", HEAD_AXIS), Through("rear_axle", Way.LEVEL))
"""Where an angle is set from the level: on the lines through the BB and through the axle."""


@entry("mm", (-160.0, 160.0), (35.0, 85.0), span=LengthSpan("bb", corner("bb", "rear_axle"), Way.PLUMB))
def bb_drop(f: Plane) -> Value:
    """Bottom bracket centre below the rear axle (negative: above)."""
    return f.bb_drop


@entry("mm", (120.0, 520.0), (245.0, 345.0), span=LengthSpan(corner("bb", "rear_contact"), "bb", Way.PLUMB))
def bb_height(f: Plane) -> Value:
    """Bottom bracket centre above the ground: rear wheel radius less bb_drop."""
    return f.bb_height


@entry("mm", (230.0, 1200.0), (395.0, 475.0), span=LengthSpan("rear_axle", "bb"))
def rear_centre(f: Plane) -> Value:
    """Straight line from bottom bracket centre to rear axle (the side-view chain stay length)."""
    return hypot(f.rear_centre_horizontal, f.bb_drop)


@entry("mm", (300.0, 1800.0), (560.0, 820.0), span=LengthSpan("bb", "front_axle"))
def front_centre(f: Plane) -> Value:
    """Straight line from bottom bracket centre to front axle."""
    return hypot(*f.front_axle)


@entry("mm", (170.0, 1200.0), (385.0, 470.0), span=LengthSpan("rear_axle", "bb", Way.LEVEL))
def rear_centre_horizontal(f: Plane) -> Value:
    """Horizontal component of the rear centre."""
    return f.rear_centre_horizontal


@entry("mm", (250.0, 1800.0), (555.0, 815.0), span=LengthSpan("bb", "front_axle", Way.LEVEL))
def front_centre_horizontal(f: Plane) -> Value:
    """Horizontal component of the front centre."""
    return f.front_centre_horizontal


@entry("mm", (450.0, 3000.0), (945.0, 1280.0), span=LengthSpan("rear_axle", "front_axle", Way.LEVEL))
def wheelbase(f: Plane) -> Value:
    """Horizontal distance between the axles."""
    return f.rear_centre_horizontal + f.front_centre_horizontal


@entry("deg", (45.0, 90.0), (63.0, 75.5), span=AngleSpan(_HEAD_LEVEL, "head_tube_top", Arm.BEHIND))
def head_angle(f: Plane) -> Value:
    """Steering axis from the horizontal, measured behind the tube."""
    return f.head_angle


@entry("deg", (45.0, 90.0), (70.0, 78.0), span=AngleSpan(_SEAT_LEVEL, "seat_tube_top", Arm.BEHIND))
def seat_angle(f: Plane) -> Value:
    """Seat-tube axis from the horizontal, measured behind the tube."""
    return f.seat_angle


@entry("mm", (180.0, 680.0), (330.0, 575.0), span=LengthSpan("front_axle", "crown_race"))
def axle_to_crown(f: Plane) -> Value:
    """Straight line from crown race seat, on the steering axis, to front axle (fork length)."""
    return hypot(f.fork_length_on_axis, f.fork_offset)


@entry("mm", (160.0, 680.0), (325.0, 575.0), span=LengthSpan("fork_foot", "crown_race", FORK_AXIS))
def fork_length_on_axis(f: Plane) -> Value:
    """Crown race seat to the foot of the perpendicular from the front axle, along the steering axis."""
    return f.fork_length_on_axis


@entry("mm", (0.0, 120.0), None, needs=("fork_sag",))
def fork_sag(f: Plane) -> Value:
    """Travel the fork takes up at rest, along its axis."""
    return f.fork_sag


@entry("mm", (0.0, 120.0), None, needs=("rear_sag",))
def rear_sag(f: Plane) -> Value:
    """Travel the rear end takes up at rest, at the rear axle."""
    return f.rear_sag


@entry("mm", (-60.0, 140.0), (33.0, 72.0), span=LengthSpan("fork_foot", "front_axle", FORK_AXIS.square))
def fork_offset(f: Plane) -> Value:
    """Perpendicular distance from steering axis to front axle, axle ahead (rake)."""
    return f.fork_offset


@entry(
    "mm", (0.0, 80.0), (0.0, 30.0), span=LengthSpan("crown_race", "head_tube_bottom", FORK_AXIS, short=True)
)
def lower_stack(f: Plane) -> Value:
    """Crown race seat to the lower end of the head tube, along the axis (lower headset stack)."""
    return f.lower_stack


@entry("mm", (0.0, 80.0), (0.0, 40.0))
def upper_stack(f: Plane) -> Value:
    """Top end of the head tube to the underside of the first spacer or stem."""
    return f.upper_stack


@entry("mm", (50.0, 450.0), (85.0, 240.0), span=LengthSpan("head_tube_bottom", "head_tube_top", HEAD_AXIS))
def head_tube_length(f: Plane) -> Value:
    """Head tube end to end along its axis."""
    return f.head_tube_length


@entry("mm", (200.0, 900.0), (470.0, 690.0), span=LengthSpan("bb", "head_tube_top", Way.PLUMB))
def stack(f: Plane) -> Value:
    """Vertical distance from bottom bracket centre to the centre of the head tube's top end."""
    return f.head_tube_top[1]


@entry("mm", (100.0, 800.0), (330.0, 510.0), span=LengthSpan("bb", "head_tube_top", Way.LEVEL))
def reach(f: Plane) -> Value:
    """Horizontal distance from bottom bracket centre to the centre of the head tube's top end."""
    return f.head_tube_top[0]


ENTRIES = entries(globals())

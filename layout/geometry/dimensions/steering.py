"""Trail and its kin, wheel radii and standover.

Trail after the benchmark bicycle of J. P. Meijaard, J. M. Papadopoulos, A. Ruina and
A. L. Schwab, Proc. R. Soc. A 463 (2007). Usual ranges: common practice.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, hypot
from layout.geometry.dimensions.kind import entries, entry
from layout.geometry.dimensions.spans import HEAD_AXIS, LengthSpan, Meeting, Through, Way
from layout.geometry.plane import Plane

_AXIS_AT_GROUND = Meeting(Through("fork_foot", HEAD_AXIS), Through("front_contact", Way.LEVEL))
_AXIS_NEAR_CONTACT = Meeting(Through("fork_foot", HEAD_AXIS), Through("front_contact", HEAD_AXIS.square))
"""The steering axis at the ground, and at the foot of the perpendicular from the contact."""


@entry("mm", (-100.0, 450.0), (30.0, 135.0), span=LengthSpan("front_contact", _AXIS_AT_GROUND, Way.LEVEL))
def trail(f: Plane) -> Value:
    """Steering axis ahead of the front contact patch at the ground: (Rf cos H - offset) / sin H."""
    return f.mechanical_trail / f.head_sincos[0]


@entry(
    "mm",
    (-100.0, 400.0),
    (28.0, 122.0),
    span=LengthSpan("front_contact", _AXIS_NEAR_CONTACT, HEAD_AXIS.square),
)
def mechanical_trail(f: Plane) -> Value:
    """Perpendicular from the front contact patch to the steering axis: Rf cos H - offset."""
    return f.mechanical_trail


@entry("mm", (-50.0, 250.0), (6.0, 55.0))
def wheel_flop(f: Plane) -> Value:
    """Drop of the front end as the bars turn: trail sin H cos H."""
    return f.mechanical_trail * f.head_sincos[1]


@entry("mm", (120.0, 480.0), (195.0, 390.0), span=LengthSpan("front_contact", "front_axle", Way.PLUMB))
def front_radius(f: Plane) -> Value:
    """Front wheel radius, unloaded."""
    return f.front_radius


@entry("mm", (120.0, 480.0), (195.0, 390.0), span=LengthSpan("rear_contact", "rear_axle", Way.PLUMB))
def rear_radius(f: Plane) -> Value:
    """Rear wheel radius, unloaded."""
    return f.rear_radius


@entry("mm", (250.0, 1300.0), (600.0, 880.0))
def standover(f: Plane) -> Value:
    """Height above the ground of the top tube's upper edge at mid-tube.

    The midpoint of the axis, centre to centre, plus the tube's radius over cos(slope).
    """
    (_, hy), (_, sy) = f.top_tube_head, f.top_tube_seat
    run = f.top_tube_run
    return f.bb_height + 0.5 * (hy + sy) + 0.5 * f.top_tube_diameter * hypot(*run) / run[0]


ENTRIES = entries(globals())

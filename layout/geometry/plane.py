r"""The frame in its middle plane: base parameters and the points that follow from them.

Origin at the bottom-bracket centre, x forward, y up, bicycle heading right.

                            head_tube_top  o  <- top_tube_at_head below it
      seat_tube_top  o---------------------o
                      \                  / \   steering axis: direction u = (-cos H, sin H),
                       \              /     o  head_tube_bottom       forward normal n = (sin H, cos H)
                        \          /          \
                         \      /              o  crown_race
                          \  /                  \   o  front_axle = fork_foot + offset n
       rear_axle  o--------o bb                  o  fork_foot

Every parameter may be a float or an array; arrays broadcast over their leading axes.
The horizontal components of rear and front centre, and the fork's length on the
axis, are parameters, so that the points need no square root.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from layout.geometry.analytic import Value, atan2, sincos, sqrt

Vector = tuple[Value, Value]

WHEEL_AND_FORK = (
    "bb_drop",
    "rear_centre_horizontal",
    "front_centre_horizontal",
    "rear_radius",
    "front_radius",
    "head_angle",
    "fork_offset",
    "fork_length_on_axis",
    "lower_stack",
    "head_tube_length",
    "upper_stack",
    "seat_angle",
)
TUBE_PLACES = ("seat_tube_length", "top_tube_at_head", "top_tube_at_seat", "down_tube_at_head")
COCKPIT = ("stem_length", "stem_angle", "spacers")
RIDER = ("saddle_clamp_back", "saddle_rise")

FRAME_PARAMETERS = (*WHEEL_AND_FORK, *TUBE_PLACES)
"""What fixes a frame: all of these are solved for, unless given."""

OPTIONAL_PARAMETERS = (*COCKPIT, *RIDER)
"""Solved for where the numbers reach them; a frame is whole without."""

UNKNOWNS = (*FRAME_PARAMETERS, *OPTIONAL_PARAMETERS)

INPUTS = (
    "seat_tube_offset",
    "down_tube_offset",
    "saddle_nose_length",
    "stem_clamp_height",
    "crank_length",
    "pedal_side",
    "pedal_outer",
    "pedal_below",
    "shoe_ahead_of_spindle",
    "fork_sag",
    "rear_sag",
)
"""Dimensions that are given or have a default, and are never solved for."""

HELD = (
    "seat_tube_diameter",
    "top_tube_diameter",
    "down_tube_diameter",
    "head_tube_diameter_top",
    "head_tube_diameter_bottom",
    "shell_diameter",
    "crown_radius",
    "down_tube_diameter_bb",
    "down_tube_taper_start",
    "down_tube_taper_end",
    "down_tube_kept",
)
"""Part sizes; crown_radius is how far the fork crown reaches back from the steering axis at the race.

down_tube_diameter is that at the head, down_tube_diameter_bb that at the other end where it differs. It
changes between two stations from the BB end, else all but `down_tube_kept` at both ends, else all along.
"""


class Plane:
    """One frame, or an array of frames; points and directions are computed when asked for.

    The parameters are attributes under their own names; one that was not given
    (of rider, cockpit and crank) is missing, and what needs it raises AttributeError.
    """

    bb_drop: Value
    rear_centre_horizontal: Value
    front_centre_horizontal: Value
    rear_radius: Value
    front_radius: Value
    head_angle: Value
    fork_offset: Value
    fork_length_on_axis: Value
    lower_stack: Value
    head_tube_length: Value
    upper_stack: Value
    seat_angle: Value
    seat_tube_length: Value
    top_tube_at_head: Value
    top_tube_at_seat: Value
    down_tube_at_head: Value
    stem_length: Value
    stem_angle: Value
    spacers: Value
    saddle_clamp_back: Value
    saddle_rise: Value
    seat_tube_offset: Value
    down_tube_offset: Value
    saddle_nose_length: Value
    stem_clamp_height: Value
    crank_length: Value
    pedal_side: Value
    pedal_outer: Value
    pedal_below: Value
    shoe_ahead_of_spindle: Value
    fork_sag: Value
    rear_sag: Value
    seat_tube_diameter: Value
    top_tube_diameter: Value
    down_tube_diameter: Value
    head_tube_diameter_top: Value
    head_tube_diameter_bottom: Value
    shell_diameter: Value
    crown_radius: Value
    down_tube_diameter_bb: Value
    down_tube_taper_start: Value
    down_tube_taper_end: Value
    down_tube_kept: Value

    def __init__(self, parameters: Mapping[str, Value]) -> None:
        self.__dict__.update(parameters)

    def has(self, name: str) -> bool:
        """Whether the parameter was given or found."""
        return name in self.__dict__

    @cached_property
    def head_sincos(self) -> Vector:
        """Sine and cosine of the head angle."""
        return sincos(self.head_angle)

    @cached_property
    def seat_sincos(self) -> Vector:
        """Sine and cosine of the seat angle."""
        return sincos(self.seat_angle)

    @cached_property
    def front_axle_y(self) -> Value:
        """Height of the front axle above the bottom bracket."""
        return self.bb_drop + self.front_radius - self.rear_radius

    @cached_property
    def rear_axle(self) -> Vector:
        """Rear axle."""
        return -self.rear_centre_horizontal, self.bb_drop

    @cached_property
    def front_axle(self) -> Vector:
        """Front axle."""
        return self.front_centre_horizontal, self.front_axle_y

    @cached_property
    def fork_foot(self) -> Vector:
        """Foot of the perpendicular from the front axle on the steering axis."""
        s, c = self.head_sincos
        return self.front_centre_horizontal - self.fork_offset * s, self.front_axle_y - self.fork_offset * c

    def on_steering_axis(self, up: Value) -> Vector:
        """The point `up` mm along the steering axis from the fork's foot."""
        s, c = self.head_sincos
        x, y = self.fork_foot
        return x - up * c, y + up * s

    @cached_property
    def crown_race(self) -> Vector:
        """Crown race seat on the steering axis."""
        return self.on_steering_axis(self.fork_length_on_axis)

    @cached_property
    def head_tube_bottom_up(self) -> Value:
        """Distance of the head tube's lower end from the fork's foot along the axis."""
        return self.fork_length_on_axis + self.lower_stack

    @cached_property
    def head_tube_top_up(self) -> Value:
        """Distance of the head tube's top end from the fork's foot along the axis."""
        return self.head_tube_bottom_up + self.head_tube_length

    @cached_property
    def head_tube_bottom(self) -> Vector:
        """Centre of the head tube's lower end."""
        return self.on_steering_axis(self.head_tube_bottom_up)

    @cached_property
    def head_tube_top(self) -> Vector:
        """Centre of the head tube's top end."""
        return self.on_steering_axis(self.head_tube_top_up)

    def on_seat_axis(self, up: Value) -> Vector:
        """The point `up` mm along the seat-tube axis from its foot."""
        s, c = self.seat_sincos
        return self.seat_tube_offset * s - up * c, self.seat_tube_offset * c + up * s

    @cached_property
    def seat_tube_foot(self) -> Vector:
        """Foot of the perpendicular from the bottom bracket on the seat-tube axis."""
        s, c = self.seat_sincos
        return self.seat_tube_offset * s, self.seat_tube_offset * c

    @cached_property
    def seat_tube_top(self) -> Vector:
        """Centre of the seat tube's top end."""
        return self.on_seat_axis(self.seat_tube_length)

    @cached_property
    def top_tube_head(self) -> Vector:
        """Where the top tube's axis meets the head tube's."""
        return self.on_steering_axis(self.head_tube_top_up - self.top_tube_at_head)

    @cached_property
    def top_tube_seat(self) -> Vector:
        """Where the top tube's axis meets the seat tube's."""
        return self.on_seat_axis(self.seat_tube_length - self.top_tube_at_seat)

    @cached_property
    def top_tube_run(self) -> Vector:
        """The top tube's axis as a vector, seat tube to head tube."""
        (hx, hy), (sx, sy) = self.top_tube_head, self.top_tube_seat
        return hx - sx, hy - sy

    @cached_property
    def top_tube_rise(self) -> Value:
        """Angle of the top tube above the horizontal, rising to the front."""
        dx, dy = self.top_tube_run
        return atan2(dy, dx)

    @cached_property
    def down_tube_head(self) -> Vector:
        """Where the down tube's axis meets the head tube's."""
        return self.on_steering_axis(self.head_tube_bottom_up + self.down_tube_at_head)

    @cached_property
    def down_tube_run(self) -> Value:
        """Length of the down tube's axis from its foot to the head tube's axis."""
        x, y = self.down_tube_head
        return sqrt(x * x + y * y - self.down_tube_offset * self.down_tube_offset)

    @cached_property
    def down_tube_rise(self) -> Value:
        """Angle of the down tube above the horizontal, rising to the front."""
        x, y = self.down_tube_head
        return atan2(y, x) + atan2(self.down_tube_offset, self.down_tube_run)

    @cached_property
    def down_tube_foot(self) -> Vector:
        """Foot of the perpendicular from the bottom bracket on the down tube's axis."""
        s, c = sincos(self.down_tube_rise)
        return self.down_tube_offset * s, -self.down_tube_offset * c

    @property
    def down_tube_taper(self) -> Vector:
        """Where the down tube begins and ends to change its diameter, from its foot along its axis."""
        if self.has("down_tube_taper_start"):
            return self.down_tube_taper_start, self.down_tube_taper_end
        kept = self.down_tube_kept if self.has("down_tube_kept") else 0.0
        return kept, self.down_tube_run - kept

    @cached_property
    def bb_height(self) -> Value:
        """Bottom bracket above the ground."""
        return self.rear_radius - self.bb_drop

    @cached_property
    def mechanical_trail(self) -> Value:
        """Perpendicular from the front contact patch to the steering axis."""
        return self.front_radius * self.head_sincos[1] - self.fork_offset

    @cached_property
    def steerer_clamp_up(self) -> Value:
        """Middle of the stem's clamp on the steerer, from the fork's foot along the axis."""
        return self.head_tube_top_up + self.upper_stack + self.spacers + 0.5 * self.stem_clamp_height

    @cached_property
    def bar(self) -> Vector:
        """Handlebar clamp centre."""
        x, y = self.on_steering_axis(self.steerer_clamp_up)
        s, c = self.head_sincos
        rise, run = sincos(self.stem_angle)
        ahead, up = self.stem_length * run, self.stem_length * rise
        return x + ahead * s - up * c, y + ahead * c + up * s

    @cached_property
    def saddle(self) -> Vector:
        """Saddle's top at the clamp."""
        return -self.saddle_clamp_back, self.saddle_rise


POINTS: dict[str, str] = {
    "rear_axle": "rear_axle",
    "front_axle": "front_axle",
    "fork_foot": "fork_foot",
    "crown_race": "crown_race",
    "head_tube_bottom": "head_tube_bottom",
    "head_tube_top": "head_tube_top",
    "seat_tube_foot": "seat_tube_foot",
    "seat_tube_top": "seat_tube_top",
    "top_tube_at_head": "top_tube_head",
    "top_tube_at_seat": "top_tube_seat",
    "down_tube_at_head": "down_tube_head",
    "down_tube_at_bb": "down_tube_foot",
}
"""Named points of a frame, and the attribute of Plane that holds each."""


def points(frame: Plane) -> dict[str, Vector]:
    """Every named point of the frame; saddle and bar where their numbers are known."""
    zero = 0.0 * frame.bb_drop
    found: dict[str, Vector] = {"bb": (zero, zero)}
    found.update((name, getattr(frame, attribute)) for name, attribute in POINTS.items())
    found["rear_contact"] = (-frame.rear_centre_horizontal, -frame.bb_height)
    found["front_contact"] = (frame.front_centre_horizontal, -frame.bb_height)
    if all(map(frame.has, RIDER)):
        found["saddle"] = frame.saddle
    if all(map(frame.has, COCKPIT)):
        found["bar"] = frame.bar
    return found

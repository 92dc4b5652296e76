"""The frame at rest under the rider: the fork shorter, the rear axle higher, the whole turned.

Fork travel shortens the fork along its axis; rear travel lifts the rear axle straight
up from where it stands unsagged. Then the frame turns until both wheels stand on level
ground again.
"""

from __future__ import annotations

from collections.abc import Mapping

from layout.geometry.analytic import Value, atan2, sincos, sqrt
from layout.geometry.plane import Plane, Vector


def sagged_parameters(parameters: Mapping[str, Value]) -> dict[str, Value]:
    """Base parameters of the sagged frame, from those of the unsagged one with its sags in mm.

    A sag that is missing is none. Angles turn with the frame: nose up makes them less.
    """
    frame = Plane(parameters)
    fork = parameters.get("fork_sag", 0.0)
    rear = parameters.get("rear_sag", 0.0)
    s, c = frame.head_sincos
    front_x, front_y = frame.front_axle
    front = (front_x - fork * c, front_y + fork * s)
    back = (-frame.rear_centre_horizontal, frame.bb_drop + rear)
    turn = _levelling(back, front, frame.front_radius - frame.rear_radius)
    back, front = _turned(back, turn), _turned(front, turn)
    changed = {
        "bb_drop": back[1],
        "rear_centre_horizontal": -back[0],
        "front_centre_horizontal": front[0],
        "head_angle": frame.head_angle - turn,
        "seat_angle": frame.seat_angle - turn,
        "fork_length_on_axis": frame.fork_length_on_axis - fork,
    }
    if frame.has("saddle_rise") and frame.has("saddle_clamp_back"):
        x, y = _turned(frame.saddle, turn)
        changed.update(saddle_clamp_back=-x, saddle_rise=y)
    return {**parameters, **changed}


def _levelling(back: Vector, front: Vector, difference: Value) -> Value:
    """Turn in degrees, nose up positive, that leaves the front axle `difference` above the rear."""
    dx, dy = front[0] - back[0], front[1] - back[1]
    level = sqrt(dx * dx + dy * dy - difference * difference)
    return atan2(difference, level) - atan2(dy, dx)


def _turned(point: Vector, turn: Value) -> Vector:
    s, c = sincos(turn)
    x, y = point
    return x * c - y * s, x * s + y * c

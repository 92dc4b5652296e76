"""Worst cases: pedal against front tyre, pedal against ground, tubes against tyres.

The tyre is taken at its tread circle. Turned about the steering axis its rear half sweeps
a surface of revolution; its outermost skin is swept by the tread circle for any tyre
narrower than the wheel is large, so the tyre's width does not enter.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, absolute, atan2, clamp, hypot, least, sincos, sqrt, where
from layout.geometry.plane import Plane

_NEWTON_STEPS = 12
"""Quadratic from a start a few centimetres off: twelve steps reach rounding with several to spare."""
TINY = 1e-9
"""An edge shorter than this is a point, mm."""


def pedal_gap(f: Plane) -> Value:
    """Fore-and-aft gap, mm, from the spindle's middle, crank level forward, to the tyre's swept surface.

    A point at axial height h and radius rho about the steering axis is on the surface
    where (rho + offset)^2 + h^2 = Rf^2. With d the vector from the fork's foot,
    rho^2 + h^2 = d.d and rho^2 = (d.n)^2 + z^2; solved for x by Newton.
    """
    s, c = f.head_sincos
    foot_x, foot_y = f.fork_foot
    y, z = -foot_y, f.pedal_side
    radius, offset = f.front_radius, f.fork_offset
    x = -sqrt(radius * radius - y * y - z * z) + offset * s
    for _ in range(_NEWTON_STEPS):
        across = x * s + y * c
        rho = sqrt(across * across + z * z)
        miss = x * x + y * y + z * z + 2.0 * offset * rho + offset * offset - radius * radius
        x = x - miss / (2.0 * x + 2.0 * offset * across * s / rho)
    return foot_x + x - f.crank_length


def lean_to_pedal(f: Plane) -> Value:
    """Lean in degrees, about the line of the contact patches, at which the lower pedal touches."""
    return atan2(f.bb_height - f.crank_length - f.pedal_below, f.pedal_outer)


def down_tube_gap(f: Plane) -> Value:
    """Gap, mm, between the down tube and the front tyre, or the fork crown where that is less.

    Steering moves tyre and crown away from the middle plane along circles about the
    steering axis, so the least gap is the one straight ahead.
    """
    gap = _distance_to_down_tube(f, f.front_axle) - f.front_radius
    if f.has("crown_radius"):
        s, c = f.head_sincos
        x, y = f.crown_race
        corner = (x - f.crown_radius * s, y - f.crown_radius * c)
        gap = least(gap, _distance_to_down_tube(f, corner))
    return gap


def seat_tube_gap(f: Plane) -> Value:
    """Gap, mm, between the seat tube and the rear tyre in the middle plane; negative where they overlap."""
    s, c = f.seat_sincos
    (x, y), (foot_x, foot_y) = f.rear_axle, f.seat_tube_foot
    dx, dy = x - foot_x, y - foot_y
    along = clamp(dy * s - dx * c, 0.0, f.seat_tube_length)
    return hypot(dx + along * c, dy - along * s) - f.rear_radius - 0.5 * f.seat_tube_diameter


def _distance_to_down_tube(f: Plane, point: tuple[Value, Value]) -> Value:
    """From a point to the down tube's outline between its foot and the head tube; less than 0 inside it."""
    s, c = sincos(f.down_tube_rise)
    x, y = f.down_tube_foot
    dx, dy = point[0] - x, point[1] - y
    along = dx * c + dy * s
    across = dy * c - dx * s
    head = 0.5 * f.down_tube_diameter
    if not f.has("down_tube_diameter_bb"):
        return hypot(along - clamp(along, 0.0, f.down_tube_run), across) - head
    bb, out = 0.5 * f.down_tube_diameter_bb, absolute(across)
    start, end = f.down_tube_taper
    to_line = _distance_to_edge(along, out, (start, bb), (end, head))
    to_ends = least(
        _distance_to_edge(along, out, (0.0 * start, bb), (start, bb)),
        _distance_to_edge(along, out, (end, head), (f.down_tube_run, head)),
    )
    return least(to_line, to_ends)


def _distance_to_edge(along: Value, out: Value, a: tuple[Value, Value], b: tuple[Value, Value]) -> Value:
    """From a point to a straight edge from `a` to `b`; less than 0 under it, on the tube's side."""
    run, rise = b[0] - a[0], b[1] - a[1]
    dx, dy = along - a[0], out - a[1]
    size = hypot(run, rise)
    point = size.real <= TINY
    size = where(point, 0.0 * size + TINY, size)
    c, s = run / size, rise / size
    on, off = dx * c + dy * s, dy * c - dx * s
    beyond = on - clamp(on, 0.0, size)
    return where(point, hypot(dx, dy), where(beyond.real == 0.0, off, hypot(beyond, off)))

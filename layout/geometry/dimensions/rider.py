"""Saddle, cockpit and pedals: what needs the rider's numbers.

Usual ranges: common practice, except the limits marked as from memory of ISO 4210-2.
"""

from __future__ import annotations

from layout.geometry.analytic import Value, atan2, hypot
from layout.geometry.clearances import down_tube_gap, lean_to_pedal, pedal_gap
from layout.geometry.dimensions.kind import entries, entry
from layout.geometry.dimensions.spans import AngleSpan, Arm, LengthSpan, Way
from layout.geometry.plane import Plane

_SADDLE = ("saddle_clamp_back", "saddle_rise")
_BAR = ("stem_length", "stem_angle", "spacers")


@entry("mm", (250.0, 1100.0), (550.0, 860.0), needs=_SADDLE, span=LengthSpan("bb", "saddle"))
def saddle_height(f: Plane) -> Value:
    """Straight line from bottom bracket centre to the saddle's top at the clamp."""
    return hypot(*f.saddle)


@entry("deg", (45.0, 95.0), (67.0, 80.0), needs=_SADDLE, span=AngleSpan("bb", "saddle", Arm.BEHIND))
def seat_angle_effective(f: Plane) -> Value:
    """Angle from the horizontal of the line from bottom bracket centre to the saddle's clamp."""
    return atan2(f.saddle_rise, f.saddle_clamp_back)


@entry("mm", (-200.0, 300.0), (-20.0, 120.0), needs=("saddle_clamp_back",))
def saddle_setback(f: Plane) -> Value:
    """Horizontal, from bottom bracket centre back to the saddle's nose."""
    return f.saddle_clamp_back - f.saddle_nose_length


@entry(
    "mm",
    (-20.0, 450.0),
    (100.0, 290.0),
    needs=("saddle_clamp_back",),
    span=LengthSpan("saddle", "bb", Way.LEVEL),
)
def saddle_clamp_back(f: Plane) -> Value:
    """Horizontal, from bottom bracket centre back to the saddle's clamp."""
    return f.saddle_clamp_back


@entry("mm", (60.0, 220.0), (110.0, 170.0), needs=("saddle_clamp_back",))
def saddle_nose_length(f: Plane) -> Value:
    """Horizontal, from the saddle's clamp to its nose."""
    return f.saddle_nose_length


@entry("mm", (0.0, 200.0), (30.0, 140.0), needs=("stem_length",))
def stem_length(f: Plane) -> Value:
    """Stem, clamp to clamp."""
    return f.stem_length


@entry("deg", (-60.0, 90.0), (-25.0, 40.0), needs=("stem_angle",))
def stem_angle(f: Plane) -> Value:
    """Stem from square to the steerer, up positive."""
    return f.stem_angle


@entry("mm", (0.0, 150.0), (0.0, 60.0), needs=("spacers",))
def spacers(f: Plane) -> Value:
    """Spacers between upper headset stack and stem."""
    return f.spacers


@entry("mm", (15.0, 90.0), (30.0, 50.0), needs=("spacers",))
def stem_clamp_height(f: Plane) -> Value:
    """Height of the stem's clamp on the steerer."""
    return f.stem_clamp_height


@entry("mm", (100.0, 1200.0), (370.0, 660.0), needs=_BAR, span=LengthSpan("bb", "bar", Way.LEVEL))
def bar_x(f: Plane) -> Value:
    """Handlebar clamp centre ahead of bottom bracket centre."""
    return f.bar[0]


@entry("mm", (100.0, 1300.0), (480.0, 800.0), needs=_BAR, span=LengthSpan("bb", "bar", Way.PLUMB))
def bar_y(f: Plane) -> Value:
    """Handlebar clamp centre above bottom bracket centre."""
    return f.bar[1]


@entry("mm", (60.0, 750.0), (140.0, 350.0), needs=("spacers",))
def steerer_length(f: Plane) -> Value:
    """Head tube, both headset stacks, spacers and stem clamp height."""
    return f.head_tube_length + f.lower_stack + f.upper_stack + f.spacers + f.stem_clamp_height


@entry("mm", (60.0, 230.0), (150.0, 180.0), needs=("crank_length",))
def crank_length(f: Plane) -> Value:
    """Bottom bracket axis to pedal spindle."""
    return f.crank_length


@entry("mm", (80.0, 250.0), (125.0, 170.0), needs=("crank_length",))
def pedal_side(f: Plane) -> Value:
    """Middle of the pedal's spindle from the mid-plane."""
    return f.pedal_side


@entry("mm", (100.0, 300.0), (160.0, 220.0), needs=("pedal_outer",))
def pedal_outer(f: Plane) -> Value:
    """The pedal's outer edge from the mid-plane."""
    return f.pedal_outer


@entry("mm", (0.0, 80.0), (5.0, 40.0), needs=("pedal_below",))
def pedal_below(f: Plane) -> Value:
    """The pedal's lowest part under its spindle, pedal level."""
    return f.pedal_below


@entry("mm", (-50.0, 250.0), (40.0, 160.0), needs=("shoe_ahead_of_spindle",))
def shoe_ahead_of_spindle(f: Plane) -> Value:
    """How far the shoe reaches ahead of the pedal's spindle."""
    return f.shoe_ahead_of_spindle


@entry("mm", (-500.0, 800.0), (89.0, 400.0), asked_only=True, needs=("crank_length",))
def pedal_to_tyre(f: Plane) -> Value:
    """Least fore-and-aft gap from the middle of the pedal's spindle to the tyre's swept surface.

    The crank points level forward; the least is over all steering angles. 89 with
    foot-holding devices: ISO 4210-2, from memory, check the standard.
    """
    return pedal_gap(f)


@entry(
    "mm",
    (-700.0, 800.0),
    (0.0, 300.0),
    asked_only=True,
    needs=("crank_length", "shoe_ahead_of_spindle"),
)
def toe_clearance(f: Plane) -> Value:
    """pedal_to_tyre less shoe_ahead_of_spindle."""
    return pedal_gap(f) - f.shoe_ahead_of_spindle


@entry(
    "deg",
    (-90.0, 90.0),
    (25.0, 60.0),
    asked_only=True,
    needs=("crank_length", "pedal_outer", "pedal_below"),
)
def pedal_lean_angle(f: Plane) -> Value:
    """Lean at which the lower pedal touches the ground.

    25 degrees: ISO 4210-2, from memory, check the standard.
    """
    return lean_to_pedal(f)


@entry("mm", (-500.0, 600.0), (6.0, 250.0), asked_only=True)
def down_tube_to_tyre(f: Plane) -> Value:
    """Least gap between down tube and front tyre (and fork crown, where its size is given).

    6: ISO 4210-2, from memory, check the standard.
    """
    return down_tube_gap(f)


ENTRIES = entries(globals())

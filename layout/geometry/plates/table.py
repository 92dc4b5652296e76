"""The flat parts over the base: the axle's table and the clamp on the shell; and where their posts stand."""

from __future__ import annotations

import math

from layout.geometry.plates.contour import Round
from layout.geometry.plates.corners import OVERSHOOT, TAKEN, Corner, rectangle, slot
from layout.geometry.plates.foot import Foot
from layout.geometry.plates.plate import Cutout, Plate, circle

SHELL_SPREAD = 0.5
"""The posts' inner faces stand this much of the shell's radius from its axis: it is then held at four
places 30 degrees either side of square to the chain stays, which pass between the horns."""
BOLT_PASSES = 1.0
"""Free between the draw bolt's hole and the posts, mm."""
TABLE_CORNER = 4.0
CLAMP_RIM = 6.0
"""What the clamp reaches over the shell all round, mm."""


def shell_post_offset(radius: float, foot: Foot) -> float:
    """From the shell's axis to the middle of each post, mm.

    As the shell asks, but so far that the draw bolt passes between the posts and the base keeps a
    web between their slots.
    """
    p = foot.process
    beside_bolt = p.bolt.hole / 2 + BOLT_PASSES + p.thickness / 2
    return max(SHELL_SPREAD * radius + p.thickness / 2, beside_bolt, foot.slot_half + foot.web / 2)


def shell_pocket_half(radius: float, offset: float, foot: Foot) -> float:
    """Half the pocket's width: the chord of shell and clearance at the post's inner face, mm.

    Raises ValueError where the post stands outside the shell, or under so little of it that the
    pocket's reliefs would meet.
    """
    p = foot.process
    inner = offset - p.thickness / 2
    half = math.sqrt(max((radius + p.clearance / 2) ** 2 - inner**2, 0.0))
    if half <= TAKEN * foot.relief:
        raise ValueError("the posts stand outside the shell")
    return half


def axle_post_offset(axle_hole: float, foot: Foot) -> float:
    """From the axle to the middle of each of its posts, mm."""
    return axle_hole / 2 + foot.web + foot.slot_half


def axle_table(name: str, axle_hole: float, foot: Foot) -> Plate:
    """The plate that the dummy axle stands on: x across the posts, their slots above and below the hole."""
    p = foot.process
    offset = axle_post_offset(axle_hole, foot)
    slots = tuple(
        Cutout(
            f"slot for the {word} axle post",
            slot((0.0, side * offset), foot.tab + p.fit, p.thickness + p.fit, foot.relief),
        )
        for side, word in ((-1.0, "one"), (1.0, "other"))
    )
    high = offset + (p.thickness + p.fit) / 2 + OVERSHOOT * foot.relief + foot.web
    outline = rectangle(-foot.half, -high, foot.half, high, kind=Corner.ROUND, radius=TABLE_CORNER)
    hole = circle("hole for the rear axle", (0.0, 0.0), axle_hole)
    return Plate(name, p.thickness, outline, (hole, *slots), marks={"rear_axle": (0.0, 0.0)})


def clamp(name: str, shell_diameter: float, foot: Foot) -> Plate:
    """The disc that a bolt through the shell draws down on it."""
    p = foot.process
    hole = circle("bolt hole", (0.0, 0.0), p.bolt.hole)
    outline = Round((0.0, 0.0), shell_diameter / 2 + CLAMP_RIM)
    return Plate(name, p.thickness, outline, (hole,), marks={"bb": (0.0, 0.0)})

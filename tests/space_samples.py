"""A plain frame in space: its points in the plane and the sizes of its parts, mm; and roles of no frame."""

from __future__ import annotations

from dataclasses import replace

from layout.geometry.space.form import BridgePlace, RearEnd, Shell, round_form
from layout.geometry.space.frame import SpaceFrame, assemble
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY, TOP_TUBE, End, Role

POINTS = {
    "bb": (0.0, 0.0),
    "rear_axle": (-400.0, 70.0),
    "seat_tube_foot": (0.0, 0.0),
    "seat_tube_top": (-160.0, 520.0),
    "top_tube_at_seat": (-146.0, 474.5),
    "top_tube_at_head": (389.6, 526.0),
    "head_tube_top": (380.0, 555.0),
    "head_tube_bottom": (428.0, 410.0),
    "down_tube_at_bb": (0.0, 0.0),
    "down_tube_at_head": (416.0, 446.25),
}
FORMS = {
    "seat_tube": round_form(28.6),
    "top_tube": round_form(28.6),
    "down_tube": round_form(34.9),
    "head_tube": round_form(36.0),
    "chain_stay": round_form(22.2, 14.0),
    "seat_stay": round_form(12.0, 14.0),
}
SHELL_SIZE = Shell(68.0, 40.0)
REAR = RearEnd(spacing=135.0, thickness=6.0, stay_spacing=42.0)


def called(name: str, first: str = "first", second: str = "second") -> Role:
    """A role for a tube that stands alone."""
    return replace(TOP_TUBE, name=name, ends=(End(first), End(second)))


def placed_all(mount: str) -> SpaceFrame:
    """The plain frame with its seat stays mounted so, and a bridge between each pair of stays."""
    bridges = [BridgePlace(CHAIN_STAY, 60.0), BridgePlace(SEAT_STAY, 150.0)]
    return assemble(POINTS, FORMS, SHELL_SIZE, REAR._replace(mount=mount), bridges)

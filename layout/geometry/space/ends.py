"""What the two ends of each tube are called, and the points they stand for, first end first."""

from __future__ import annotations

TUBE_ENDS = {
    "seat_tube": ("bb", "top"),
    "top_tube": ("seat", "head"),
    "down_tube": ("bb", "head"),
    "head_tube": ("bottom", "top"),
    "chain_stay": ("bb", "axle"),
    "seat_stay": ("axle", "top"),
}

TUBE_POINTS = {
    "seat_tube": ("seat_tube_foot", "seat_tube_top"),
    "top_tube": ("top_tube_at_seat", "top_tube_at_head"),
    "down_tube": ("down_tube_at_bb", "down_tube_at_head"),
    "head_tube": ("head_tube_bottom", "head_tube_top"),
    "chain_stay": ("bb", "rear_axle"),
    "seat_stay": ("rear_axle", "top_tube_at_seat"),
}
"""The named points that a distance along each tube is taped from, first end first."""

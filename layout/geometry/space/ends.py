"""What the two ends of each main tube are called, first end first."""

from __future__ import annotations

TUBE_ENDS = {
    "seat_tube": ("bb", "top"),
    "top_tube": ("seat", "head"),
    "down_tube": ("bb", "head"),
    "head_tube": ("bottom", "top"),
    "chain_stay": ("bb", "axle"),
    "seat_stay": ("axle", "top"),
}

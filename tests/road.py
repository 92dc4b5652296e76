"""The eight numbers of a plain road frame that tests of the solver begin with, mm and degrees."""

from __future__ import annotations

ROAD = {
    "bb_drop": 70.0,
    "rear_centre": 430.0,
    "front_centre": 604.0,
    "head_angle": 71.5,
    "seat_angle": 73.5,
    "head_tube_length": 140.0,
    "axle_to_crown": 395.0,
    "fork_offset": 45.0,
}

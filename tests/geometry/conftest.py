"""Whole frames made forwards, from base parameters, to solve backwards."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import HELD_DEFAULTS, INPUT_DEFAULTS
from layout.geometry.plane import Plane
from layout.geometry.sanity import impossible

Frame = dict[str, float]

RANGES: dict[str, tuple[float, float]] = {
    "bb_drop": (-20.0, 90.0),
    "rear_centre_horizontal": (375.0, 480.0),
    "front_centre_horizontal": (540.0, 800.0),
    "rear_radius": (230.0, 380.0),
    "front_radius": (230.0, 380.0),
    "head_angle": (60.0, 76.0),
    "fork_offset": (20.0, 75.0),
    "fork_length_on_axis": (290.0, 570.0),
    "lower_stack": (0.0, 20.0),
    "head_tube_length": (80.0, 240.0),
    "upper_stack": (0.0, 30.0),
    "seat_angle": (68.0, 79.0),
    "seat_tube_length": (320.0, 680.0),
    "top_tube_at_head": (20.0, 60.0),
    "top_tube_at_seat": (20.0, 90.0),
    "down_tube_at_head": (25.0, 60.0),
}


def dimensions_of(frame: Frame) -> Frame:
    """Every dimension that base parameters reach, straight from the registry."""
    plane = Plane({**HELD_DEFAULTS, **INPUT_DEFAULTS, **frame})
    return {n: float(d.function(plane)) for n, d in REGISTRY.items() if all(map(plane.has, d.needs))}


def sane_frame(rng: random.Random) -> Frame:
    """Base parameters of a frame that lies within every sane range and can be built."""
    while True:
        frame = {n: rng.uniform(*r) for n, r in RANGES.items()}
        crown = frame["front_radius"] + rng.uniform(15.0, 160.0)
        frame["fork_length_on_axis"] = min(crown, 600.0)
        plane = Plane({**HELD_DEFAULTS, **INPUT_DEFAULTS, **frame})
        values = dimensions_of(frame)
        within = all(REGISTRY[n].sane[0] <= v <= REGISTRY[n].sane[1] for n, v in values.items())
        if within and impossible(plane, ()) is None:
            return frame


@pytest.fixture
def make_frame() -> Callable[[random.Random], Frame]:
    """The maker of random sane frames."""
    return sane_frame


@pytest.fixture
def derive() -> Callable[[Frame], Frame]:
    """The forward computation."""
    return dimensions_of

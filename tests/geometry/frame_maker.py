"""Whole frames made forwards, from base parameters, to solve backwards; and sets of their dimensions."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from layout.geometry.derivative import jacobian
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import HELD_DEFAULTS, INPUT_DEFAULTS, Equation, given
from layout.geometry.plane import FRAME_PARAMETERS, Plane
from layout.geometry.sanity import impossible
from layout.geometry.structure import Span

Values = dict[str, float]

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
"""Real frames, 32 to 68 cm seat tubes, 60 to 76 degree heads, 20 to 29 inch wheels."""

NAMES = [n for n, d in REGISTRY.items() if not (d.asked_only or d.needs or d.is_input)]
"""Dimensions of the frame that may be given and are solved for."""


def whole(frame: Values) -> Values:
    """Base parameters with the sizes and inputs that are held at their defaults."""
    return {**HELD_DEFAULTS, **INPUT_DEFAULTS, **frame}


def dimensions_of(frame: Values) -> Values:
    """Every dimension that base parameters reach, straight from the registry."""
    plane = Plane(whole(frame))
    return {n: float(d.function(plane)) for n, d in REGISTRY.items() if all(map(plane.has, d.needs))}


def is_possible(frame: Values) -> bool:
    """Whether every dimension lies in its possible range and the frame can be built."""
    values = dimensions_of(frame)
    within = all(REGISTRY[n].possible[0] <= v <= REGISTRY[n].possible[1] for n, v in values.items())
    return within and impossible(Plane(whole(frame)), ()) is None


def sane_frame(rng: random.Random) -> Values:
    """Base parameters of a random possible frame."""
    while True:
        frame = {n: rng.uniform(*r) for n, r in RANGES.items()}
        frame["fork_length_on_axis"] = min(frame["front_radius"] + rng.uniform(15.0, 160.0), 600.0)
        if is_possible(frame):
            return frame


def sufficient(order: Sequence[str], parts: Sequence[Equation] = ()) -> list[str]:
    """The first names of `order` that fix a frame together with `parts`, each independent of the rest."""
    span = Span(FRAME_PARAMETERS, parts)
    return [n for n in order if span.add(given(n))]


def condition(names: Sequence[str], frame: Values, parts: Sequence[Equation] = ()) -> float:
    """Condition number of a set of dimensions at a frame, mm and degrees as they are."""
    functions = [given(n).function for n in names] + [e.function for e in parts]
    return float(np.linalg.cond(jacobian(functions, whole(frame), FRAME_PARAMETERS)[1]))

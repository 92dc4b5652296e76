"""solve: a FrameSpec becomes a Frame, every dimension and every named point.

Origin at the bottom-bracket centre, x forward, y up, z towards the viewer who sees
the drive side. Millimetres and degrees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from layout.errors import Notice

Point = tuple[float, float]


@dataclass(frozen=True)
class TubeSize:
    """Outside diameters at a tube's first and second end, and wall, mm.

    Ends in surface.md's order: seat_tube bb-top, top_tube seat-head, down_tube bb-head,
    chain_stay bb-axle, seat_stay axle-top; head_tube bottom-top.
    """

    first: float
    second: float
    wall: float | None = None


@dataclass(frozen=True)
class Wheel:
    """One wheel: its unloaded radius, and bead seat radius and tyre width where marked."""

    radius: float
    bead_seat_radius: float | None = None
    tyre_width: float | None = None
    marking: str = ""


@dataclass(frozen=True)
class Job:
    """The words of the title block, as written; empty where not given."""

    number: str = ""
    title: str = ""
    rider: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    date: str = ""
    revision: str = ""
    notes: str = ""


@dataclass(frozen=True)
class Fitting:
    """A fitting on a tube: `at` mm along it from `origin` (an end of the tube), on `side`."""

    kind: str
    tube: str
    at: float
    origin: str
    side: str


@dataclass(frozen=True)
class Frame:
    """A solved frame. `dimensions` has every name of the registry, None where not determined.

    `defaults` maps spec keys ("tubes.top_tube.diameter") to the values used;
    `given` lists the dimension names the builder wrote, in their order.
    """

    dimensions: Mapping[str, float | None]
    points: Mapping[str, Point]
    given: tuple[str, ...]
    defaults: Mapping[str, float]
    residuals: Mapping[str, float]
    sagged: Mapping[str, float | None] | None
    warnings: tuple[Notice, ...]
    tubes: Mapping[str, TubeSize]
    shell_diameter: float
    shell_width: float
    front_wheel: Wheel
    rear_wheel: Wheel
    job: Job
    crank_length: float | None = None
    fittings: tuple[Fitting, ...] = ()
    heading: str = "right"
    wheels_shown: str | None = None
    tubes_shown: str = "outline"

"""Sizes of tubes, shell and wheels: what the spec writes, else the stated defaults."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from layout.geometry.solver import Solution
from layout.geometry.space.form import OVAL_KEPT
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, SEAT_TUBE, TOP_TUBE, WRITTEN, Role
from layout.spec.load import FrameSpec
from layout.spec.parts import TubeBlock
from layout.spec.standards import DEFAULT_MARKING, DEFAULT_SHELL, SHELLS, TyreMarking, read_marking

Oval = tuple[float, float]
"""Width across the frame's plane and height in it, mm, before it is turned."""


@dataclass(frozen=True)
class TubeSize:
    """Outside diameters at a tube's first and second end, and wall, mm.

    `given` says of each end whether its diameter was written; else it is a default. Of an oval end `first`
    or `second` is its height in the frame's plane, `ovals` its width and height. `taper` is where it begins
    and ends to change, mm from the first end, as written.
    """

    first: float
    second: float
    wall: float | None = None
    given: tuple[bool, bool] = field(default=(True, True), compare=False)
    ovals: tuple[Oval | None, Oval | None] = (None, None)
    taper: tuple[float, float] | None = None

    @property
    def reversed(self) -> TubeSize:
        """The same tube, its second end first."""
        return replace(
            self, first=self.second, second=self.first, given=self.given[::-1], ovals=self.ovals[::-1]
        )

    @property
    def outside(self) -> str:
        """Both ends in words, once where they are alike; an oval as width x height."""
        ends = zip((self.first, self.second), self.ovals, strict=True)
        shown = [f"{d:.1f}" if o is None else f"{o[0]:g} x {o[1]:g}" for d, o in ends]
        return " to ".join(dict.fromkeys(shown))


class Wheel(NamedTuple):
    """One wheel: its unloaded radius, and bead seat radius and tyre width where marked."""

    radius: float
    bead_seat_radius: float | None = None
    tyre_width: float | None = None
    marking: str = ""


class Parts(NamedTuple):
    """Sizes of tubes and shell, mm, and those of them that are defaults, by key."""

    tubes: Mapping[str, TubeSize]
    shell_width: float
    shell_diameter: float
    defaults: Mapping[str, float]

    @property
    def held(self) -> dict[str, float]:
        """The sizes that geometry uses."""
        return held_sizes(self.tubes, self.shell_diameter)


def held_sizes(tubes: Mapping[str, TubeSize], shell_diameter: float) -> dict[str, float]:
    """Part sizes: of the top tube at mid-length, of the down tube at the head and where it tapers."""
    seat, top, down, head = (tubes[r.name] for r in (SEAT_TUBE, TOP_TUBE, DOWN_TUBE, HEAD_TUBE))
    return {
        "seat_tube_diameter": seat.first,
        "top_tube_diameter": (top.first + top.second) / 2,
        "down_tube_diameter": down.second,
        "head_tube_diameter_top": head.second,
        "head_tube_diameter_bottom": head.first,
        "shell_diameter": shell_diameter,
        **_down_tube_taper(down),
    }


def _down_tube_taper(down: TubeSize) -> dict[str, float]:
    """What more is to be known of a down tube that is not the same all along."""
    if down.first == down.second:
        return {}
    found = {"down_tube_diameter_bb": down.first}
    if down.taper is not None:
        start, end = down.taper
        return {**found, "down_tube_taper_start": start, "down_tube_taper_end": end}
    return {**found, "down_tube_kept": OVAL_KEPT} if any(down.ovals) else found


def parts_of(spec: FrameSpec) -> Parts:
    """The sizes of a spec's tubes and shell, with those that are defaults by key."""
    taken: dict[str, float] = {}

    def default(key: str, value: float) -> float:
        taken[key] = value
        return value

    written = spec.spec.tubes
    tubes = {}
    for role in WRITTEN:
        sized = _by_end if role.sized_by_end else _by_thick_end
        tubes[role.name] = sized(role, getattr(written, role.name), default)
    shell = spec.spec.bottom_bracket
    standard = SHELLS[shell.shell or DEFAULT_SHELL]
    if shell.shell is None:
        width = shell.width or default("bottom_bracket.width", standard.width)
        diameter = shell.diameter or default("bottom_bracket.diameter", standard.diameter)
    else:
        width, diameter = shell.width or standard.width, shell.diameter or standard.diameter
    return Parts(tubes, width, diameter, taken)


def _by_thick_end(role: Role, tube: TubeBlock, default: Callable[[str, float], float]) -> TubeSize:
    """The diameter of the thick end and that of the other, which is the same unless the role tapers."""
    own, end = _thick(tube), tube.diameter_end
    key = f"tubes.{role.name}.diameter"
    thick = own or default(key, role.diameters[0])
    thin = end or (default(f"{key}_end", min(role.diameters[1], thick)) if role.tapered else thick)
    given = own is not None, end is not None or (own is not None and not role.tapered)
    ovals = tube.section, tube.section if all(role.oval) and end is None else None
    size = TubeSize(thick, thin, _wall(tube), given, ovals=ovals, taper=tube.taper)
    return size if role.thick == 0 else size.reversed


def _by_end(role: Role, tube: TubeBlock, default: Callable[[str, float], float]) -> TubeSize:
    """Each end's diameter: its own, else the one for both, else the default."""
    key = f"tubes.{role.name}.diameter"
    written = [getattr(tube, f"diameter_{word}") or tube.diameter for word in role.end_words]
    given = [size is not None for size in written]
    keys = [f"{key}_{word}" if any(given) else key for word in role.end_words]
    first, second = (
        size or default(k, usual) for size, k, usual in zip(written, keys, role.diameters, strict=True)
    )
    return TubeSize(first, second, _wall(tube), (given[0], given[1]))


def _thick(tube: TubeBlock) -> float | None:
    """The thick end as the side view shows it: an oval by its upright extent, turned as it is."""
    if tube.section is None:
        return tube.diameter
    width, height = tube.section
    turn = math.radians(tube.turned or 0.0)
    return math.hypot(height * math.cos(turn), width * math.sin(turn))


def _wall(tube: TubeBlock) -> float | None:
    """The wall at mid-length."""
    return tube.walls[1] if tube.walls else tube.wall


def wheels_of(spec: FrameSpec, solution: Solution) -> tuple[Wheel, Wheel]:
    """Rear and front wheel; radii are the solved ones, markings the written or default ones."""
    written = spec.spec.wheels
    rear: object = written.rear
    if "rear_radius" in solution.defaults:
        rear = written.front or read_marking(DEFAULT_MARKING)
    front: object = rear if "front_radius" in solution.defaults else written.front
    sizes = (solution.dimensions["rear_radius"], solution.dimensions["front_radius"])
    return _wheel(rear, sizes[0] or 0.0), _wheel(front, sizes[1] or 0.0)


def _wheel(written: object, radius: float) -> Wheel:
    if isinstance(written, TyreMarking):
        return Wheel(radius, written.bead_seat_diameter / 2, written.width, written.marking)
    return Wheel(radius)

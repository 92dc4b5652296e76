"""solve: a FrameSpec becomes a Frame, every dimension and every named point.

Origin at the bottom-bracket centre, x forward, y up, z towards the viewer who sees
the drive side. Millimetres and degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from layout.errors import Fault, Notice, SolveError
from layout.geometry.plane import INPUTS, UNKNOWNS
from layout.geometry.solver import Agreement, Solution, solve_frame
from layout.geometry.space.roles import DOWN_TUBE, HEAD_TUBE, ROLES, SEAT_TUBE, TOP_TUBE, WRITTEN, Role
from layout.spec.load import FrameSpec
from layout.spec.parts import Tube
from layout.spec.registered import key_of
from layout.spec.standards import DEFAULT_MARKING, DEFAULT_SHELL, SHELLS, Tyre, read_marking

if TYPE_CHECKING:
    from layout.geometry.tolerance import Tolerances

Point = tuple[float, float]


Oval = tuple[float, float]
"""Width across the frame's plane and height in it, mm, before it is turned."""


@dataclass(frozen=True)
class TubeSize:
    """Outside diameters at a tube's first and second end, and wall, mm.

    `given` says of each end whether its diameter was written; else it is a default. Of an oval end `first`
    or `second` is its height in the frame's plane, `ovals` its width and height.
    """

    first: float
    second: float
    wall: float | None = None
    given: tuple[bool, bool] = field(default=(True, True), compare=False)
    ovals: tuple[Oval | None, Oval | None] = (None, None)

    @property
    def reversed(self) -> TubeSize:
        """The same tube, its second end first."""
        return TubeSize(self.second, self.first, self.wall, self.given[::-1], self.ovals[::-1])

    @property
    def outside(self) -> str:
        """Both ends in words, once where they are alike; an oval as width x height."""
        ends = zip((self.first, self.second), self.ovals, strict=True)
        shown = [f"{d:.1f}" if o is None else f"{o[0]:g} x {o[1]:g}" for d, o in ends]
        return " to ".join(dict.fromkeys(shown))


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

    @property
    def role(self) -> Role:
        """What the tube is that it sits on."""
        return ROLES[self.tube]


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

    @property
    def shell_given(self) -> tuple[bool, bool]:
        """Whether the shell's width and its diameter were written or named; else they are defaults."""
        keys = ("bottom_bracket.width", "bottom_bracket.diameter")
        return keys[0] not in self.defaults, keys[1] not in self.defaults


def solve(spec: FrameSpec) -> Frame:
    """Every dimension and named point of the frame that the spec describes, mm and degrees.

    Raises SolveError where the numbers fix no frame, more than one, or contradict each
    other; each fault has the file, line and dotted key of what it names.
    """
    model = spec.spec
    parts = _parts(spec)
    with _placing(spec):
        solution = solve_frame(_numbers(spec), parts.held, choose=_choice(spec), agreement=_agreement(spec))
    rear, front = _wheels(spec, solution)
    fittings = tuple(_fittings(spec))
    _on_their_tubes(spec, fittings, solution.points)
    return Frame(
        dimensions=solution.dimensions,
        points=solution.points,
        given=solution.given,
        defaults={**_defaults(solution), **parts.defaults},
        residuals=solution.residuals,
        sagged=solution.sagged,
        warnings=solution.warnings,
        tubes=parts.tubes,
        shell_diameter=parts.shell_diameter,
        shell_width=parts.shell_width,
        front_wheel=front,
        rear_wheel=rear,
        job=Job(**model.job.model_dump()),
        crank_length=solution.dimensions["crank_length"],
        fittings=fittings,
        heading=model.drawing.heading,
        wheels_shown=model.drawing.wheels,
        tubes_shown=model.drawing.tubes,
    )


def tolerances(spec: FrameSpec) -> Tolerances:
    """How the spec's instruments, one sigma each, move every dimension of the frame, mm and degrees.

    Given lengths are off by what a jig's stop is, given angles by what a gauge is. Raises
    as `solve` does.
    """
    from layout.geometry.tolerance import tolerances as tolerances_of

    instruments = spec.spec.tolerance.instruments
    with _placing(spec):
        return tolerances_of(
            _numbers(spec),
            _parts(spec).held,
            choose=_choice(spec),
            agreement=_agreement(spec),
            stop=instruments.stop,
            gauge=instruments.gauge,
        )


def _numbers(spec: FrameSpec) -> dict[str, float]:
    return {name: given.value for name, given in spec.givens.items()}


def _choice(spec: FrameSpec) -> dict[str, float]:
    return {name: value for name, value in spec.spec.choose if value is not None}


def _agreement(spec: FrameSpec) -> Agreement:
    return Agreement(spec.spec.agreement.length, spec.spec.agreement.angle)


@contextmanager
def _placing(spec: FrameSpec) -> Iterator[None]:
    """Give the solver's faults the file, line and dotted key of what they name."""
    try:
        yield
    except SolveError as e:
        raise SolveError(*(_located(fault, spec) for fault in e.faults)) from e


def _located(fault: Fault, spec: FrameSpec) -> Fault:
    """The solver's fault with the place of the dimension it names; of `geometry` where it names none."""
    key = fault.key or "geometry"
    if key in spec.givens:
        key = spec.givens[key].key
    elif fault.key is not None:
        key = key_of(key)
    return replace(fault, key=key).located(*spec.place(key))


def _defaults(solution: Solution) -> dict[str, float]:
    """The solver's defaults under the keys where a spec would give them."""
    return {key_of(name): value for name, value in solution.defaults.items() if name in solution.dimensions}


@dataclass(frozen=True)
class _Parts:
    """Sizes of tubes and shell, mm, and those of them that are defaults, by key."""

    tubes: Mapping[str, TubeSize]
    shell_width: float
    shell_diameter: float
    defaults: Mapping[str, float]

    @property
    def held(self) -> dict[str, float]:
        """The sizes that geometry uses."""
        return _held(self.tubes, self.shell_diameter)


def plane_parameters(frame: Frame) -> dict[str, float]:
    """The parameters of geometry's Plane that this frame has, mm and degrees.

    Those of rider, cockpit and crank that are not determined are missing.
    """
    found = {name: frame.dimensions.get(name) for name in (*UNKNOWNS, *INPUTS)}
    if "saddle" in frame.points:
        found["saddle_rise"] = frame.points["saddle"][1]
    known = {name: value for name, value in found.items() if value is not None}
    return {**_held(frame.tubes, frame.shell_diameter), **known}


def _held(tubes: Mapping[str, TubeSize], shell_diameter: float) -> dict[str, float]:
    """Part sizes: of the top tube at mid-length, of the down tube at the head."""
    seat, top, down, head = (tubes[r.name] for r in (SEAT_TUBE, TOP_TUBE, DOWN_TUBE, HEAD_TUBE))
    return {
        "seat_tube_diameter": seat.first,
        "top_tube_diameter": (top.first + top.second) / 2,
        "down_tube_diameter": down.second,
        "head_tube_diameter_top": head.second,
        "head_tube_diameter_bottom": head.first,
        "shell_diameter": shell_diameter,
    }


def _parts(spec: FrameSpec) -> _Parts:
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
    return _Parts(tubes, width, diameter, taken)


def _by_thick_end(role: Role, tube: Tube, default: Callable[[str, float], float]) -> TubeSize:
    """The diameter of the thick end and that of the other, which is the same unless the role tapers."""
    own, end = _thick(tube), tube.diameter_end
    key = f"tubes.{role.name}.diameter"
    thick = own or default(key, role.diameters[0])
    thin = end or (default(f"{key}_end", min(role.diameters[1], thick)) if role.tapered else thick)
    given = own is not None, end is not None or (own is not None and not role.tapered)
    ovals = tube.section, tube.section if all(role.oval) and end is None else None
    size = TubeSize(thick, thin, _wall(tube), given, ovals)
    return size if role.thick == 0 else size.reversed


def _by_end(role: Role, tube: Tube, default: Callable[[str, float], float]) -> TubeSize:
    """Each end's diameter: its own, else the one for both, else the default."""
    key = f"tubes.{role.name}.diameter"
    written = [getattr(tube, f"diameter_{word}") or tube.diameter for word in role.end_words]
    given = [size is not None for size in written]
    keys = [f"{key}_{word}" if any(given) else key for word in role.end_words]
    first, second = (
        size or default(k, usual) for size, k, usual in zip(written, keys, role.diameters, strict=True)
    )
    return TubeSize(first, second, _wall(tube), (given[0], given[1]))


def _thick(tube: Tube) -> float | None:
    """The thick end as the side view shows it: an oval by its upright extent, turned as it is."""
    if tube.section is None:
        return tube.diameter
    width, height = tube.section
    turn = math.radians(tube.turned or 0.0)
    return math.hypot(height * math.cos(turn), width * math.sin(turn))


def _wall(tube: Tube) -> float | None:
    """The wall at mid-length."""
    return tube.walls[1] if tube.walls else tube.wall


def _wheels(spec: FrameSpec, solution: Solution) -> tuple[Wheel, Wheel]:
    """Rear and front wheel; radii are the solved ones, markings the written or default ones."""
    written = spec.spec.wheels
    rear: object = written.rear
    if "rear_radius" in solution.defaults:
        rear = read_marking(DEFAULT_MARKING)
    front: object = rear if "front_radius" in solution.defaults else written.front
    sizes = (solution.dimensions["rear_radius"], solution.dimensions["front_radius"])
    return _wheel(rear, sizes[0] or 0.0), _wheel(front, sizes[1] or 0.0)


def _wheel(written: object, radius: float) -> Wheel:
    if isinstance(written, Tyre):
        return Wheel(radius, written.bead_seat_diameter / 2, written.width, written.marking)
    return Wheel(radius)


def _fittings(spec: FrameSpec) -> Iterator[Fitting]:
    for row in spec.spec.fittings:
        role = ROLES[row.tube]
        origin = row.origin or role.ends[0].word
        yield Fitting(row.kind, row.tube, row.at, origin, row.side or role.inner)


def _on_their_tubes(spec: FrameSpec, fittings: Sequence[Fitting], points: Mapping[str, Point]) -> None:
    """Raise SolveError for each fitting that would sit beyond the end of its tube."""
    faults = []
    for i, fitting in enumerate(fittings):
        length = math.dist(*(points[name] for name in fitting.role.points))
        if fitting.at > length:
            tube, key = fitting.role.words, f"fittings.{i}.at"
            text = f"is {fitting.at:g} from {fitting.origin}, but the {tube} is {length:.1f} long"
            faults.append(Fault(text, "range", key).located(*spec.place(key)))
    if faults:
        raise SolveError(*faults)

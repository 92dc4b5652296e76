"""The frame in its plane: every dimension and named point, and the sizes they are solved with.

Origin at the bottom-bracket centre, x forward, y up, z towards the viewer who sees
the drive side. Millimetres and degrees.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from layout.errors import Fault, Notice, SolveError
from layout.frame.job import Point
from layout.frame.sizes import TubeSize, Wheel, held_sizes, parts_of, wheels_of
from layout.geometry.plane import FRAME_PARAMETERS, INPUTS, UNKNOWNS
from layout.geometry.solver import Agreement, Solution, solve_frame
from layout.spec.load import FrameSpec
from layout.spec.registered import key_of

if TYPE_CHECKING:
    from layout.geometry.tolerance import Tolerances


JIG_SETTINGS = {
    "bb_drop": "bb_drop",
    "rear_centre": "rear_centre",
    "front_centre": "front_centre",
    "head_angle": "head_angle",
    "seat_angle": "seat_angle",
    "lower_stack": "head_tube_height",
}
"""What a jig is set to, by the dimension that answers to it: the head tube's height is that of its lower end
over the fork, so it moves what the lower stack moves."""
_AT_JIG = {"rear_centre_horizontal": "rear_centre", "front_centre_horizontal": "front_centre"}


class PlaneFrame(NamedTuple):
    """A frame solved in its plane. `dimensions` has every name of the registry, None where not determined.

    `defaults` maps spec keys ("tubes.top_tube.diameter") to the values used; `given` lists the
    dimension names the builder wrote, in their order; `sizes` are the tubes' by name; `rests_on` has, by
    dimension, the default sizes of wheels and headset that move it.
    """

    dimensions: Mapping[str, float | None]
    points: Mapping[str, Point]
    given: tuple[str, ...]
    defaults: Mapping[str, float]
    residuals: Mapping[str, float]
    sagged: Mapping[str, float | None] | None
    rests_on: Mapping[str, tuple[str, ...]]
    warnings: tuple[Notice, ...]
    sizes: Mapping[str, TubeSize]
    shell_diameter: float
    shell_width: float
    front_wheel: Wheel
    rear_wheel: Wheel

    @property
    def crank_length(self) -> float | None:
        """Bottom bracket axis to pedal spindle, mm, where the rider's is known."""
        return self.dimensions["crank_length"]

    @property
    def shell_given(self) -> tuple[bool, bool]:
        """Whether the shell's width and its diameter were written or named; else they are defaults."""
        keys = ("bottom_bracket.width", "bottom_bracket.diameter")
        return keys[0] not in self.defaults, keys[1] not in self.defaults

    @property
    def parameters(self) -> dict[str, float]:
        """The parameters of geometry's Plane that this frame has, mm and degrees.

        Those of rider, cockpit and crank that are not determined are missing.
        """
        found = {name: self.dimensions.get(name) for name in (*UNKNOWNS, *INPUTS)}
        if "saddle" in self.points:
            found["saddle_rise"] = self.points["saddle"][1]
        known = {name: value for name, value in found.items() if value is not None}
        return {**held_sizes(self.sizes, self.shell_diameter), **known}


def solve_plane(spec: FrameSpec) -> PlaneFrame:
    """Every dimension and named point of the frame that the spec describes, mm and degrees.

    Raises SolveError where the numbers fix no frame, more than one, or contradict each
    other; each fault has the file, line and dotted key of what it names.
    """
    parts = parts_of(spec)
    with _placing(spec):
        solution = solve_frame(_numbers(spec), parts.held, choose=_choice(spec), agreement=_agreement(spec))
    rear, front = wheels_of(spec, solution)
    return PlaneFrame(
        dimensions=solution.dimensions,
        points=solution.points,
        given=solution.given,
        defaults={**_defaults(solution), **parts.defaults},
        residuals=solution.residuals,
        sagged=solution.sagged,
        rests_on=solution.rests_on,
        warnings=solution.warnings,
        sizes=parts.tubes,
        shell_diameter=parts.shell_diameter,
        shell_width=parts.shell_width,
        front_wheel=front,
        rear_wheel=rear,
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
            parts_of(spec).held,
            choose=_choice(spec),
            agreement=_agreement(spec),
            stop=instruments.stop,
            gauge=instruments.gauge,
        )


def jig_tolerances(spec: FrameSpec) -> Tolerances:
    """The same for what a jig is set to, whatever the spec gives: drop, both centres, both angles, head tube.

    Tubes, fork and wheels are as they are. The error of the head tube's height is that of a stop. Raises as
    `solve` does.
    """
    from layout.geometry.tolerance import Tolerances
    from layout.geometry.tolerance import tolerances as tolerances_of

    dimensions, instruments = solve_plane(spec).dimensions, spec.spec.tolerance.instruments
    names = [_AT_JIG.get(name, name) for name in (*FRAME_PARAMETERS, *INPUTS)]
    values = {n: v for n in names if (v := dimensions[n]) is not None}
    errors = {n: 0.0 for n in values if n not in JIG_SETTINGS}
    moved = tolerances_of(
        values, parts_of(spec).held, stop=instruments.stop, gauge=instruments.gauge, errors=errors
    )
    return Tolerances(
        {said: moved.errors[n] for n, said in JIG_SETTINGS.items()},
        {said: moved.effects[n] for n, said in JIG_SETTINGS.items()},
        moved.combined,
    )


def _numbers(spec: FrameSpec) -> dict[str, float]:
    return {name: given.value for name, given in spec.givens.items()}


def _choice(spec: FrameSpec) -> dict[str, float]:
    return {name: value for name, value in spec.spec.choose if value is not None}


def _agreement(spec: FrameSpec) -> Agreement:
    own = {name: given.agreement for name, given in spec.givens.items() if given.agreement is not None}
    return Agreement(spec.spec.agreement.length, spec.spec.agreement.angle, own)


@contextmanager
def _placing(spec: FrameSpec) -> Iterator[None]:
    """Give the solver's faults the file, line and dotted key of what they name."""
    try:
        yield
    except SolveError as e:
        raise SolveError(*(_locate(fault, spec) for fault in e.faults)) from e


def _locate(fault: Fault, spec: FrameSpec) -> Fault:
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

"""The frame in its plane as readings have it: parameters floated, dimensions with their uncertainty.

    held    wheels, fork and headset, at the spec's values: they are bolted on, not built
    floats  the frame's own parameters, with no pull toward the design: what no reading reaches
            has no estimate

Every reading is an equation of the solver's own registry, or a distance between two points.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from layout.checks.alignment import is_angle
from layout.checks.fit import HALF_WIDTH_95, Fit, FitModel, Floats, fitted
from layout.checks.level import LEAN, LEVELLED, ZERO, leaning
from layout.errors import Notice
from layout.frame.solve import Frame
from layout.geometry.analytic import Value, hypot
from layout.geometry.derivative import jacobian
from layout.geometry.diagnosis.slips import slip
from layout.geometry.dimensions import REGISTRY
from layout.geometry.plane import FRAME_PARAMETERS, Plane, points
from layout.spec.model import Tolerance
from layout.spec.readings import Reading, ReadingKind

BOLTED_ON = (
    "rear_radius", "front_radius", "fork_offset", "fork_length_on_axis", "lower_stack", "upper_stack",
)  # fmt: skip
"""Wheels, fork and headset."""
FLOATING = tuple(name for name in FRAME_PARAMETERS if name not in BOLTED_ON)
FLOAT_IF_READ = ("seat_tube_offset", "down_tube_offset")
"""Taken from the spec, unless a reading is of the offset itself."""
MOVED = ("rear_axle", "head_tube_bottom", "head_tube_top", "seat_tube_top")
"""Points that can be pulled before the frame is welded."""
SLIPPED = 2.0
"""How near the number meant by a slip of the pen comes to the one expected, in deviations of the reading."""
SLACK = 1e-9
"""Rounding allowed where a deviation is compared with its tolerance."""

NO_FIT = (
    "no frame that can be built has these readings, so they are not used. One is far off, or its uncertainty "
    "is too small. Check the digits and the uncertainties, and measure again."
)

SCATTER = "the readings scatter {times:.1f} times more than their uncertainty allows. Measure all again."

Function = Callable[[Plane], Value]


class Judged(NamedTuple):
    """One dimension: mm or degrees by `unit`. What no reading reaches has None for all that is found.

    `held`: of what is bolted on or of the rider, at the spec's value: nothing that is built moves it.
    """

    name: str
    unit: str
    design: float | None
    estimate: float | None
    uncertainty: float | None
    tolerance: float
    held: bool = False

    @property
    def deviation(self) -> float | None:
        """Built less designed."""
        if self.estimate is None or self.design is None:
            return None
        return self.estimate - self.design

    @property
    def within(self) -> bool | None:
        """Whether the estimate is in tolerance."""
        off = self.deviation
        return None if off is None else abs(off) <= self.tolerance + SLACK

    @property
    def surely_out(self) -> bool:
        """Whether the deviation exceeds the tolerance by more than its 95 % half-width."""
        off = self.deviation
        if off is None or self.uncertainty is None:
            return False
        return abs(off) > self.tolerance + HALF_WIDTH_95 * self.uncertainty + SLACK


class SuspectReading(NamedTuple):
    """A reading set aside; `expected` is what the others say it should read, None where they cannot.

    `shared`: it is off with others by one cause.
    """

    reading: Reading
    expected: float | None
    shared: bool = False


class Move(NamedTuple):
    """How far a point lies from where the design has it, BB held: mm ahead and up, and their deviations."""

    point: str
    ahead: float
    up: float
    ahead_deviation: float
    up_deviation: float


def distance_of(start: str, end: str) -> Function:
    """The distance between two named points as a function of the plane, mm."""

    def function(plane: Plane) -> Value:
        here = points(plane)
        (ax, ay), (bx, by) = here[start], here[end]
        return hypot(bx - ax, by - ay)

    return function


class Built:
    """The frame in its plane, fitted to readings of it."""

    def __init__(self, frame: Frame, rows: Sequence[Reading], tolerance: Tolerance) -> None:
        self.frame, self.tolerance = frame, tolerance
        self.design = frame.plane.parameters
        read = {r.names[0] for r in rows if r.kind is ReadingKind.DIMENSION}
        self.columns = (*FLOATING, *(n for n in FLOAT_IF_READ if n in read))
        functions = [_function(r) for r in rows]
        start = np.array([self.design[c] for c in self.columns])
        _, by_row = self._derivative(functions, start)
        reaches = [bool(np.any(row != 0.0)) for row in by_row]
        self.rows = [r for r, reached in zip(rows, reaches, strict=True) if reached]
        self.held = [r for r, reached in zip(rows, reaches, strict=True) if not reached]
        self.functions = [f for f, reached in zip(functions, reaches, strict=True) if reached]
        self.fit: Fit = fitted(self._model(start))

    def judged(self) -> Iterator[Judged]:
        """Every dimension of the registry that the design has."""
        plane, design = Plane(self.design), self.frame.plane.dimensions
        names = [n for n, d in REGISTRY.items() if design[n] is not None and able(plane, n)]
        values, gradients = self._derivative([REGISTRY[n].function for n in names], self.fit.parameters)
        deviations = self.fit.deviations(gradients)
        for name, value, gradient, deviation in zip(names, values, gradients, deviations, strict=True):
            held = not np.any(gradient != 0.0)
            known = not held and _known(value, deviation)
            unit = REGISTRY[name].unit
            yield Judged(
                name,
                unit,
                design[name],
                float(value) if known else None,
                uncertainty=float(deviation) if known else None,
                tolerance=tolerance_of(unit, self.tolerance),
                held=held,
            )

    @property
    def zero_off(self) -> float | None:
        """By how many degrees the gauge's zero, or the frame's level, is likely off; None where it is not."""
        return sum(self.fit.causes.values()) if self.fit.causes else None

    @property
    def leans(self) -> bool:
        """Whether it is the frame that is not level: a length read plumb or level says so."""
        return set(self.fit.causes) == {LEAN}

    def suspects(self) -> list[SuspectReading]:
        """Readings set aside or off by one cause, plain slips of the pen first, with what the others say."""
        shared = LEAN if self.leans else ZERO
        alike = np.flatnonzero(self._shared()[:, shared]).tolist() if self.fit.causes else []
        aside = sorted({*self.fit.suspects, *alike})
        values, gradients = self._derivative([self.functions[i] for i in aside], self.fit.parameters)
        deviations = self.fit.deviations(gradients)
        suspects = []
        for i, value, deviation in zip(aside, values, deviations, strict=True):
            expected = float(value) if _known(value, deviation) else None
            suspects.append(SuspectReading(self.rows[i], expected, i in alike))
        return sorted(suspects, key=self._is_no_slip)

    def _is_no_slip(self, suspect: SuspectReading) -> bool:
        """Whether no slip of the pen makes what was read of what is expected."""
        row, expected = suspect.reading, suspect.expected
        if expected is None or row.measured is None:
            return True
        plane = Plane(self._parameters(self.fit.parameters))
        reach = SLIPPED * sigma_of(row, self.tolerance)
        return slip(row.names[0], row.measured, expected, reach, frame=plane) is None

    def moves(self) -> Iterator[Move]:
        """How far each point is off, where the readings fix it."""
        design = points(Plane(self.design))
        functions = [_coordinate(n, k) for n in MOVED for k in (0, 1)]
        values, gradients = self._derivative(functions, self.fit.parameters)
        deviations = self.fit.deviations(gradients)
        for i, name in enumerate(MOVED):
            (x, y), (dx, dy) = values[2 * i : 2 * i + 2], deviations[2 * i : 2 * i + 2]
            if _known(x, dx) and _known(y, dy):
                yield Move(
                    name,
                    float(x - design[name][0]),
                    float(y - design[name][1]),
                    float(dx),
                    up_deviation=float(dy),
                )

    def notices(self) -> Iterator[Notice]:
        """Readings that say nothing of the frame, and readings that scatter more than they should."""
        for row in self.held:
            what = " to ".join(row.names)
            message = f"{what} is not used: wheels, fork and headset are held at the spec's values."
            yield Notice("held_reading", message)
        if not self.fit.found:
            yield Notice("no_fit", NO_FIT)
        if self.fit.scatter > 1.0:
            yield Notice("scatter", SCATTER.format(times=self.fit.scatter))

    def _model(self, start: Floats) -> FitModel:
        return FitModel(
            np.array([r.measured for r in self.rows], dtype=float),
            np.array([sigma_of(r, self.tolerance) for r in self.rows], dtype=float),
            self._predicted,
            lambda p: self._derivative(self.functions, p)[1],
            start=start,
            causes=self._causes(),
        )

    def _causes(self) -> Floats | None:
        """What each cause adds to the readings, a column of nothing where less than two share it.

        Without a length read plumb or level the two are one.
        """
        shared = self._shared()
        several = np.count_nonzero(shared, axis=0) > 1
        several[LEAN] &= bool(np.any(shared[:, LEAN] != shared[:, ZERO]))
        return np.where(several, shared, 0.0) if several.any() else None

    def _shared(self) -> Floats:
        """What one degree of each cause adds to every reading (n, 2)."""
        here = points(Plane(self.design))
        rows = [(_levelled(r), leaning(r.names[0], here) if _is_read(r) else 0.0) for r in self.rows]
        return np.array(rows, dtype=float).reshape(-1, 2)

    def _predicted(self, values: Floats) -> Floats:
        plane = Plane(self._parameters(values))
        return np.array([_value(f, plane) for f in self.functions], dtype=float)

    def _parameters(self, values: Floats) -> dict[str, float]:
        return {**self.design, **dict(zip(self.columns, values.tolist(), strict=True))}

    def _derivative(self, functions: Sequence[Function], at: Floats) -> tuple[Floats, Floats]:
        """Values (n) and derivatives (n, columns) of `functions`."""
        if not functions:
            return np.zeros(0), np.zeros((0, len(self.columns)))
        with np.errstate(all="ignore"):
            return jacobian(functions, self._parameters(at), self.columns)


def _value(function: Function, plane: Plane) -> float:
    """The function's value; NaN where it has none, as at the sine of infinity or over a tube with no run."""
    try:
        return float(function(plane))
    except (ArithmeticError, ValueError):
        return math.nan


def _known(value: float, deviation: float) -> bool:
    """Whether the readings tell a quantity: a finite value, known to a finite deviation."""
    return math.isfinite(value) and math.isfinite(deviation)


def _function(reading: Reading) -> Function:
    if reading.kind is ReadingKind.DISTANCE:
        return distance_of(*reading.names)
    return REGISTRY[reading.names[0]].function


def _is_read(reading: Reading) -> bool:
    """Whether it was read as a dimension, not between two points."""
    return reading.kind is ReadingKind.DIMENSION


def _levelled(reading: Reading) -> float:
    """What a gauge's zero one degree off adds to a reading."""
    return LEVELLED.get(reading.names[0], 0.0) if _is_read(reading) else 0.0


def _coordinate(name: str, axis: int) -> Function:
    return lambda plane: points(plane)[name][axis]


def able(plane: Plane, name: str) -> bool:
    """Whether the plane has what a dimension is computed from."""
    found = REGISTRY[name]
    return all(map(plane.has, found.needs)) and (not found.is_input or plane.has(name))


def sigma_of(reading: Reading, tolerance: Tolerance) -> float:
    """A reading's standard deviation: its own, else the instrument's."""
    if reading.uncertainty is not None:
        return reading.uncertainty
    if reading.kind is ReadingKind.DIMENSION:
        angle = REGISTRY[reading.names[0]].unit == "deg"
    else:
        angle = reading.kind is ReadingKind.ALIGNMENT and is_angle(reading.names[0])
    return tolerance.instruments.gauge if angle else tolerance.instruments.tape


def tolerance_of(unit: str, tolerance: Tolerance) -> float:
    """What a dimension of this unit may be off."""
    return tolerance.angle if unit == "deg" else tolerance.length

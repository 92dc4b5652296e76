"""The numbers of one call: checked, and sorted into what is solved for and what is only put in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from layout.errors import Fault, SolveError
from layout.geometry import messages
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import HELD_DEFAULTS, INPUT_DEFAULTS, Equation
from layout.geometry.plane import HELD

_HUGE = 1e300
"""Beyond lies no number anybody means; keeps out infinities, NaN and whole numbers too long for a float."""


STOP = 0.5
"""Error of a jig's stop or a length stepped off with a tape, mm, one sigma (common practice)."""
GAUGE = 0.15
"""Error of a digital angle gauge, degrees, one sigma: 0.1 to 0.2 (common practice)."""


@dataclass(frozen=True)
class Agreement:
    """How far given numbers may disagree: lengths in mm, angles in degrees.

    `own` has that of single dimensions that are surer or less sure than the rest; one that has
    0 is held as it is, and never doubted.
    """

    length: float = 0.5
    angle: float = 0.1
    own: Mapping[str, float] = field(default_factory=dict)

    def of(self, equation: Equation) -> float:
        """The agreement expected of one equation."""
        return self.own.get(equation.name, self.angle if equation.angle else self.length)


class Problem(NamedTuple):
    """What was given, in its order, and how it is used.

    All but `given` is in the registry's order, so that nothing depends on how a file is written.
    `targets` are the numbers the frame is solved for; `inputs` those given that are never
    solved for, `default_inputs` and `default_sizes` what stands in for those not given;
    `base` is all that is put in as it is: inputs and part sizes.
    """

    given: dict[str, float]
    targets: dict[str, float]
    inputs: dict[str, float]
    default_inputs: dict[str, float]
    default_sizes: dict[str, float]
    base: dict[str, float]
    agreement: Agreement

    def known_values(self, known: Iterable[Equation]) -> dict[str, float]:
        """All parameters known before anything is solved: `known` equations give one outright."""
        return {**self.base, **{e.name: self.targets[e.name] if e.value is None else e.value for e in known}}

    @property
    def names(self) -> tuple[str, ...]:
        """The dimensions that are solved for."""
        return tuple(self.targets)


def read(
    given: Mapping[str, float], held: Mapping[str, float], choose: Mapping[str, float], agreement: Agreement
) -> Problem:
    """Check and sort the numbers; raises SolveError with a fault for each that cannot be used."""
    faults = [
        *(f for name, value in given.items() for f in _dimension_faults(name, value)),
        *(f for name, value in held.items() for f in _size_faults(name, value)),
        *(f for name, value in choose.items() for f in _choice_faults(name, value)),
    ]
    if faults:
        raise SolveError(*faults)
    numbers = {n: float(given[n]) for n in REGISTRY if n in given}
    inputs = {n: v for n, v in numbers.items() if REGISTRY[n].is_input}
    sizes = {n: float(held[n]) for n in HELD if n in held}
    default_inputs = {n: v for n, v in INPUT_DEFAULTS.items() if n not in inputs}
    default_sizes = {n: v for n, v in HELD_DEFAULTS.items() if n not in sizes}
    return Problem(
        given={n: numbers[n] for n in given},
        targets={n: v for n, v in numbers.items() if n not in inputs},
        inputs=inputs,
        default_inputs=default_inputs,
        default_sizes=default_sizes,
        base={**default_sizes, **sizes, **default_inputs, **inputs},
        agreement=agreement,
    )


def _dimension_faults(name: str, value: object) -> Iterator[Fault]:
    dimension = REGISTRY.get(name)
    if dimension is None:
        yield Fault(messages.NO_DIMENSION.format(name=name), "unknown_key", name)
    elif dimension.asked_only:
        yield Fault(messages.CALCULATED.format(name=name), "unknown_key", name)
    elif not _is_number(value):
        yield Fault(messages.NO_NUMBER.format(name=name, value=value), "type", name)
    else:
        assert isinstance(value, (int, float))
        if not dimension.is_possible(value):
            (low, high), unit = dimension.possible, dimension.unit
            said = "degrees" if unit == "deg" else unit
            text = messages.OUT_OF_RANGE.format(name=name, value=value, low=low, high=high, unit=said)
            yield Fault(text, "range", name)


def _size_faults(name: str, value: object) -> Iterator[Fault]:
    if name not in HELD:
        yield Fault(messages.NO_SIZE.format(name=name, names=", ".join(HELD)), "unknown_key", name)
    elif not _is_number(value):
        yield Fault(messages.NO_NUMBER.format(name=name, value=value), "type", name)


def _choice_faults(name: str, value: object) -> Iterator[Fault]:
    if name not in REGISTRY:
        yield Fault(messages.NO_CHOICE.format(name=name), "unknown_key", name)
    elif not _is_number(value):
        yield Fault(messages.NO_CHOICE_NUMBER.format(name=name, value=value), "type", name)


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and -_HUGE < value < _HUGE

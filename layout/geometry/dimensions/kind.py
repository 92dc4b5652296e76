"""What the registry knows of a dimension, and the decorator that enters one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from layout.geometry.analytic import Value
from layout.geometry.dimensions.spans import Span
from layout.geometry.plane import INPUTS, UNKNOWNS, Plane

Range = tuple[float, float]
Function = Callable[[Plane], Value]


class Dimension(NamedTuple):
    """One plane dimension: how it is named, measured, bounded and computed.

    `unit` is "mm" or "deg". `possible` bounds what may be given; `usual` is common practice,
    None where there is none. `function` takes a Plane of floats or arrays and returns the value.
    `asked_only` marks worst cases, which are found and never given. `needs` are the
    parameters of rider, cockpit or crank without which there is no value. `span` is where the
    side view has it; None where it has no place between named points.
    """

    name: str
    meaning: str
    unit: str
    possible: Range
    usual: Range | None
    function: Function
    asked_only: bool = False
    needs: tuple[str, ...] = ()
    span: Span | None = None

    def is_possible(self, value: Any) -> Any:
        """Whether it may have this value; an array of whether it may, for an array of values."""
        low, high = self.possible
        return (value >= low) & (value <= high)

    @property
    def is_parameter(self) -> bool:
        """Whether it is a base parameter of the plane that the solver may find."""
        return self.name in UNKNOWNS

    @property
    def is_input(self) -> bool:
        """Whether it is always given or a default, never solved for."""
        return self.name in INPUTS


def entry(
    unit: str,
    possible: Range,
    usual: Range | None,
    *,
    asked_only: bool = False,
    needs: tuple[str, ...] = (),
    span: Span | None = None,
) -> Callable[[Function], Dimension]:
    """Make a Dimension of a function; its name and its docstring's first line are the dimension's."""

    def enter(function: Function) -> Dimension:
        meaning = (function.__doc__ or "").strip().split("\n")[0].rstrip(".")
        return Dimension(
            name=function.__name__,
            meaning=meaning,
            unit=unit,
            possible=possible,
            usual=usual,
            function=function,
            asked_only=asked_only,
            needs=needs,
            span=span,
        )

    return enter


def entries(module: dict[str, object]) -> list[Dimension]:
    """The dimensions defined in a module's namespace, in the order they are written."""
    return [value for value in module.values() if isinstance(value, Dimension)]

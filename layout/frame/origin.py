"""Where a number comes from, in a word: written by the builder, a stated default, or worked out."""

from __future__ import annotations

from collections.abc import Iterable

from layout.frame.plane import PlaneFrame
from layout.geometry.dimensions import REGISTRY
from layout.spec.registered import key_of

GIVEN, FITTED, DEFAULT, CALCULATED = "given", "fitted", "default", ""
SHOWN = {"mm": 0.05, "deg": 0.005}
"""Half of the last digit that tables show: a given number that the fit moves by more is shown as fitted."""


def origin_of(plane: PlaneFrame, name: str) -> str:
    """One of given, fitted (given, but the fit of all given numbers moves it), default; else nothing."""
    if name in plane.given:
        moved = abs(plane.residuals.get(name, 0.0)) > SHOWN[REGISTRY[name].unit]
        return FITTED if moved else GIVEN
    return DEFAULT if key_of(name) in plane.defaults else CALCULATED


def written_value(plane: PlaneFrame, name: str) -> float | None:
    """What was written of a dimension that is fitted; None of any other."""
    value = plane.dimensions.get(name)
    if value is None or origin_of(plane, name) != FITTED:
        return None
    return value + plane.residuals[name]


def size_origin(given: Iterable[bool]) -> str:
    """The word for sizes that are all given or all defaults, else one for each in their order.

    >>> size_origin([True, True]), size_origin([True, False])
    ('given', 'given, default')
    """
    return ", ".join(dict.fromkeys(GIVEN if own else DEFAULT for own in given))

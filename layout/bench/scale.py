"""What a jig's own scale is set to: its reading, the step and the shims on it."""

from __future__ import annotations

from typing import NamedTuple

from layout.geometry.shims import Stack, Steps, stack
from layout.spec.jig import JigSetting

SAME = 1e-6
"""A value counts as within the jig's range when it is beyond by less than this: rounding."""


class Scale(NamedTuple):
    """What the jig's own scale reads, mm or degrees: exactly, and at the step with its shims.

    `limits` is the jig's range in the dimension's own terms where the value lies outside; `finished` the
    reading for the faced end where that is another.
    """

    reading: float
    step: float | None = None
    hole: int | None = None
    shims: tuple[float, ...] = ()
    error: float = 0.0
    reached: bool = True
    limits: tuple[float, float] | None = None
    finished: float | None = None

    @property
    def settable(self) -> bool:
        """Whether there is anything to set: the value within the range, and a step where there are steps."""
        return self.limits is None and (self.step is not None or self.reached)

    @property
    def goes(self) -> str:
        """The range that the value is beyond, in words, or that no step lies within it."""
        if self.limits is None:
            return "no step within the range"
        return f"the jig goes from {self.limits[0]:g} to {self.limits[1]:g}"


def scale_of(described: JigSetting, value: float, finished: float | None = None) -> Scale:
    """What the jig's scale reads for a value, and the step and shims where it is stepped.

    `finished` is the value of the end once it is faced, None where that is the same.
    """
    found = _scale_of(described, value)
    return found if finished is None else found._replace(finished=described.reading(finished))


def _scale_of(described: JigSetting, value: float) -> Scale:
    reading = described.reading(value)
    limits = described.range
    beyond = limits is not None and not limits[0] - SAME <= value <= limits[1] + SAME
    outside = limits if beyond else None
    if described.pitch is None:
        return Scale(reading, limits=outside)
    found = _stack(described, value)
    if found is None:
        return Scale(reading, reached=False, limits=outside)
    step = described.reading(found.step)
    hole = round(step / described.pitch)
    return Scale(
        reading,
        step,
        hole,
        found.shims,
        error=found.error,
        reached=found.reached,
        limits=outside,
    )


def _stack(described: JigSetting, value: float) -> Stack | None:
    """Steps lie at whole multiples of the pitch on the jig's scale, seen in the dimension's terms."""
    low, high = described.range or (-float("inf"), float("inf"))
    steps = Steps(described.pitch or 1.0, described.value(0.0), low, high)
    return stack(value, steps, described.shims, described.side)

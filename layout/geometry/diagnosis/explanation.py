"""A fault with how little would mend it, so that the likeliest of several explanations is told."""

from __future__ import annotations

import math
from dataclasses import dataclass

from layout.errors import Fault
from layout.geometry.dimensions import REGISTRY

NOTHING_MENDS = math.inf


@dataclass(frozen=True)
class Explanation:
    """A fault, and the least change of one number that makes a frame that can be built.

    `change` is a share of that number's sane range; NOTHING_MENDS where no single number does.
    """

    fault: Fault
    change: float

    @property
    def mendable(self) -> bool:
        """Whether the change of one number mends it."""
        return self.change < NOTHING_MENDS


def share(name: str, change: float) -> float:
    """A change of a dimension as a share of its sane range, without sign.

    >>> share("head_angle", -4.5) == share("head_angle", 4.5) < 1.0
    True
    """
    low, high = REGISTRY[name].sane
    return abs(change) / (high - low)

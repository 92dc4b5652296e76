"""The scales that something is reduced to where it is shown and not measured, and how they are lettered."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

REDUCTIONS = (2, 5, 10, 20, 50, 100)
"""ISO 5455 (from memory), the largest first: 1:2, 1:5, ..."""
NOT_FOR_MEASURING = "not for measuring"

Found = TypeVar("Found")


def ratio(scale: int) -> str:
    """A reduction as it is lettered.

    >>> ratio(5)
    '1:5'
    """
    return f"1:{scale}"


def reduced_words(scale: int) -> str:
    """What is said beside a reduced drawing.

    >>> reduced_words(5)
    '1:5, not for measuring'
    """
    return f"{ratio(scale)}, {NOT_FOR_MEASURING}"


def largest(scales: Iterable[int], attempt: Callable[[int], Found | None]) -> Found | None:
    """What `attempt` gives at the first scale at which it gives anything; None where it never does.

    >>> largest(REDUCTIONS, lambda scale: scale if 700 / scale <= 180 else None)
    5
    """
    tried = (attempt(scale) for scale in scales)
    return next((found for found in tried if found is not None), None)

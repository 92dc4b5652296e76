"""How numbers and lists are put into messages."""

from __future__ import annotations

from collections.abc import Sequence

from layout.geometry.dimensions import REGISTRY

_COUNTS = "no one two three four five six seven eight nine ten eleven twelve".split()


def count(n: int) -> str:
    """A small number in words.

    >>> count(10), count(13)
    ('ten', '13')
    """
    return _COUNTS[n] if n < len(_COUNTS) else str(n)


def listed(items: Sequence[str], last: str = "and") -> str:
    """Items with commas, and a word before the last.

    >>> listed(["trail", "stack", "reach"], "or")
    'trail, stack or reach'
    """
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def number(value: float, name: str) -> str:
    """A value with the decimals that its dimension deserves: 0.1 mm, 0.01 degree; never "-0".

    >>> number(609.44, "front_centre"), number(-0.001, "top_tube_slope")
    ('609.4', '0.00')
    """
    return f"{rounded(value, name) + 0.0:.{_decimals(name)}f}"


def measured(value: float, name: str) -> str:
    """A value with its unit.

    >>> measured(609.44, "front_centre"), measured(71.5, "head_angle")
    ('609.4 mm', '71.50 degrees')
    """
    return f"{number(value, name)} {unit_of(name)}"


def unit_of(name: str) -> str:
    """The word for a dimension's unit."""
    return "degrees" if REGISTRY[name].unit == "deg" else REGISTRY[name].unit


def rounded(value: float, name: str) -> float:
    """A value as it is shown."""
    return round(value, _decimals(name))


def _decimals(name: str) -> int:
    return 2 if REGISTRY[name].unit == "deg" else 1

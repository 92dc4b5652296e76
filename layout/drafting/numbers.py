"""The one function that turns a number into what is shown to people."""

from __future__ import annotations

import math

_GRAIN = 6
"""Values are rounded to 1e-6 before the shown digits are cut, so that the last bits of a
machine's arithmetic cannot tip a half up on one machine and down on another."""


def format_number(value: float, decimals: int) -> str:
    """`value` with fixed decimals, halves away from zero; never an exponent, never "-0".

    Raises ValueError where `value` is not finite.

    >>> format_number(612.25, 1), format_number(-0.04, 1), format_number(73.0, 0)
    ('612.3', '0.0', '73')
    """
    if not math.isfinite(value):
        raise ValueError(f"cannot show {value!r} as a number: it is not finite")
    unit: int = 10**decimals
    count = math.floor(abs(round(value, _GRAIN)) * unit + 0.5 + 1e-9)
    sign = "-" if value < 0 and count else ""
    whole, part = divmod(count, unit)
    return f"{sign}{whole}.{part:0{decimals}d}" if decimals > 0 else f"{sign}{whole}"

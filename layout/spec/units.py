"""Lengths and angles with their unit written: 54 cm, 21 1/4 in, 0.5 in, 1-1/8 in, 73 deg.

A number without a unit is millimetres or degrees and never guessed to be anything else.
"""

from __future__ import annotations

import re
from fractions import Fraction

INCH = 25.4
LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH, "inch": INCH, "inches": INCH}
LENGTHS |= {'"': INCH, "''": INCH}
ANGLES = {"deg": 1.0, "degree": 1.0, "degrees": 1.0, "°": 1.0}

_NUMBER = r"\d+(?:\.\d*)?|\.\d+"
_FRACTION = r"(?:(\d+)[ -])?(\d+)/(\d+)"
_UNITS = "|".join(re.escape(u) for u in sorted({*LENGTHS, *ANGLES}, key=len, reverse=True))
_QUANTITY = re.compile(rf"([-+]?)(?:{_FRACTION}|({_NUMBER}))\s*({_UNITS})", re.IGNORECASE)

PATTERN = r"^[-+]?(([0-9]+[ -])?[0-9]+/[0-9]+|[0-9]+(\.[0-9]*)?|\.[0-9]+)\s*({units})$"
"""For the JSON Schema, by units."""


def pattern(unit: str) -> str:
    """The regular expression of a text with a unit, in the dialect of JSON Schema."""
    words = LENGTHS if unit == "mm" else ANGLES
    return PATTERN.replace("{units}", "|".join(words))


def with_unit(text: str) -> tuple[float, str] | None:
    """The value of a text with a unit in mm or degrees, and which of the two; None where it is none.

    >>> with_unit("54 cm"), with_unit("21 1/4 in"), with_unit("1-1/8 in"), with_unit("73 deg")
    ((540.0, 'mm'), (539.75, 'mm'), (28.575, 'mm'), (73.0, 'degrees'))
    """
    found = _QUANTITY.fullmatch(text.strip())
    if found is None:
        return None
    sign, whole, above, below, number, word = found.groups()
    if number is not None:
        size = Fraction(number)
    elif int(below) == 0:
        return None
    else:
        size = int(whole or 0) + Fraction(int(above), int(below))
    word = word.lower()
    kind, units = ("mm", LENGTHS) if word in LENGTHS else ("degrees", ANGLES)
    value = float(size * Fraction(str(units[word])))
    return (-value if sign == "-" else value), kind


def in_inches(value: float) -> str:
    """A number of inches as it is written, to a sixteenth.

    >>> in_inches(21.25), in_inches(22.0), in_inches(0.5)
    ('21 1/4 in', '22 in', '1/2 in')
    """
    sixteenths = round(value * 16)
    whole, rest = divmod(sixteenths, 16)
    part = Fraction(rest, 16)
    words = [str(whole)] if whole or not rest else []
    return " ".join([*words, *([str(part)] if rest else []), "in"])

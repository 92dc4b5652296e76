"""What a text that is not a number was most likely meant as."""

from __future__ import annotations

import re

from layout.spec import words
from layout.spec.units import INCH, with_unit

_FRACTION = re.compile(r"(?:\d+[ -])?\d+/\d+")
_MINUTES = re.compile(r"(\d+)\s*°\s*(\d{1,2})\s*['′]?")
_SPELT = re.compile(r"([-+]?[\d.]+)\s*(millimet|centimet)(?:er|re)s?", re.IGNORECASE)
_BOLT = re.compile(r"[mM](\d+(?:\.\d+)?)")
_MARKED = re.compile(r"[~±≈=<>?]*\s*(\d+(?:\.\d+)?)\s*[;.?~]*")
_TWO_NUMBERS = re.compile(r"[\d.]+\s*(?:[-–x×/+*]|to|\.\.)\s*[\d.]+.*")


def number_hint(text: str, expected: str) -> str:
    """What to write in place of a text; `expected` is the range that the message names.

    >>> number_hint("1-1/8", "8 to 80 mm"), number_hint("72°30'", "45 to 90 degrees")
    ('Did you mean 1-1/8 in?', 'Did you mean 72.5?')
    >>> number_hint("425 1/2", "230 to 1200 mm"), number_hint("M10", "3 to 30 mm")
    ('Did you mean 425.5?', 'Write 10.')
    """
    length = expected.endswith(" mm")
    minutes = _MINUTES.fullmatch(text)
    if minutes and expected.endswith("degrees") and int(minutes[2]) < 60:
        return words.DID_YOU_MEAN.format(names=f"{int(minutes[1]) + int(minutes[2]) / 60:g}")
    inches = with_unit(f"{text} in") if length and _FRACTION.fullmatch(text) else None
    if inches is not None:
        low = float(expected.partition(" to ")[0])
        plain = inches[0] / INCH
        return words.DID_YOU_MEAN.format(names=f"{plain:g}" if plain > max(low, 0.0) + INCH else f"{text} in")
    spelt = _SPELT.fullmatch(text)
    if length and spelt:
        unit = "mm" if spelt[2].lower() == "millimet" else "cm"
        return words.DID_YOU_MEAN.format(names=f"{spelt[1]} {unit}")
    for known in (_BOLT, _MARKED):
        found = known.fullmatch(text)
        if found:
            return words.WRITE_NUMBER.format(number=found[1])
    return words.ONE_NUMBER if _TWO_NUMBERS.fullmatch(text) else words.NUMBER_OR_NOTHING

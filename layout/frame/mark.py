"""The frame's mark: eight characters by which a sheet or file tells which frame it shows.

They change with any number of the spec that moves a line of a drawing, a template, a plate or a jig, and
with nothing else: not with words (title, rider, notes, a material's name), not with tolerances or the
printer, not with the order of keys or the unit of a number.
"""

from __future__ import annotations

import json
import re
from hashlib import sha256
from typing import Any

from layout.spec.model import Spec

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Digits and capitals without I, L, O and U, which are misread as others."""
LENGTH = 8
"""40 bits: of a thousand marks two are alike once in two million."""
WORDS: dict[str, Any] = {"job": True, "printer": True, "tolerance": True, "plates": {"material"}}
"""The blocks and keys that move no line."""
SAID = "frame mark"
"""What stands before a mark wherever one is written."""
PATTERN = re.compile(rf'(?:{SAID}s? |"mark": ")([{ALPHABET}]{{{LENGTH}}}(?: and [{ALPHABET}]{{{LENGTH}}})?)')
"""A mark, or the two marks of a comparison, as they are written in a file."""


def mark_of(spec: Spec) -> str:
    """The mark of the frame that a spec describes."""
    blocks = spec.model_dump(mode="json", by_alias=True, exclude=WORDS, exclude_defaults=True)
    numbers = {key: _written(v) for key, v in blocks.items() if v != {}}
    digest = int.from_bytes(sha256(json.dumps(numbers, sort_keys=True).encode()).digest())
    base = len(ALPHABET)
    return "".join(ALPHABET[digest // base**k % base] for k in range(LENGTH))


def _written(value: Any) -> Any:
    """The same without the blocks that nothing is written in: a block more in the model changes no mark."""
    if not isinstance(value, dict):
        return value
    return {key: w for key, v in value.items() if (w := _written(v)) != {}}


def mark_words(*marks: str) -> str:
    """A mark, or several, as pages and files say them; nothing where there is none.

    >>> mark_words("K7QF2M9D"), mark_words("K7QF2M9D", "00XYZ123"), mark_words("")
    ('frame mark K7QF2M9D', 'frame marks K7QF2M9D and 00XYZ123', '')
    """
    said = [m for m in marks if m]
    return f"{SAID}{'s' if len(said) > 1 else ''} {' and '.join(said)}" if said else ""

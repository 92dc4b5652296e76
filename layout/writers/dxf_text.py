"""Words as DXF wants them: plain ASCII that every reader turns back into the same characters."""

from __future__ import annotations

import re

_CONTROL_CODES = {"°": "%%d", "±": "%%p", "⌀": "%%c"}
"""Signs that TEXT has had codes for since before Unicode, so that every stroke font draws them."""

_DIAMETER = re.compile(r"Ø(?=\s?\d)")
"""The letter that stands for the diameter sign, told from a name's by the number after it."""

REPLACEMENT = "?"
"""For characters beyond the 16 bits of a \\U+ code."""


def dxf_text(text: str) -> str:
    r"""`text` for a TEXT entity, in ASCII.

    A caret begins a control character in DXF, and two per cent signs begin a code, so both
    are written by their numbers. Control characters, which would break the file, become spaces.

    >>> dxf_text("Ø28.6 ±0.5, 73.0° façade"), dxf_text("a^b")
    ('%%c28.6 %%p0.5, 73.0%%d fa\\U+00E7ade', 'a\\U+005Eb')
    """
    marked = _DIAMETER.sub("⌀", text.replace("\0", " ").replace("%%", "\0"))
    return "".join(_character(c) for c in marked).replace("\0", r"\U+0025\U+0025")


def dxf_plain(text: str) -> str:
    """`text` for a header value, in ASCII, on one line."""
    return "".join(c if " " <= c <= "~" else _escaped(c) for c in text)


def _character(c: str) -> str:
    if c == "\0":
        return c
    if c in _CONTROL_CODES:
        return _CONTROL_CODES[c]
    if " " <= c <= "~" and c not in "^\\":
        return c
    return _escaped(c)


def _escaped(c: str) -> str:
    code = ord(c)
    if code < 32 or 127 <= code < 160:
        return " "
    return f"\\U+{code:04X}" if code <= 0xFFFF else REPLACEMENT

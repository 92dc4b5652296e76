"""Words as DXF R2010 wants them: UTF-8, with codes for the signs that stroke fonts are sure to draw."""

from __future__ import annotations

import re

_SIGNS = str.maketrans({"°": "%%d", "±": "%%p", "⌀": "%%c"})
"""TEXT has had these codes since before Unicode, so that every stroke font draws them."""

_DIAMETER = re.compile(r"Ø(?=\s?\d)")
"""The letter that stands for the diameter sign, told from a name's by the number after it."""

_PERCENT_RUN = re.compile("%{2,}")
_CODE_LIKE = re.compile(r"\\(?=[UM]\+)")
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")


def dxf_text(text: str) -> str:
    r"""`text` for a TEXT entity.

    Control characters, which would break the file's lines, become spaces. A caret begins a
    control code unless a space follows, two per cent signs begin a sign's code, and \U+ a
    character's: where the words have these themselves, they are written so as to mean them.

    >>> dxf_text("Ø28.6 ±0.5, 73.0° façade"), dxf_text("a^b 50%%")
    ('%%c28.6 %%p0.5, 73.0%%d façade', 'a^ b 50%%%%%%')
    """
    text = _CONTROL.sub(" ", text)
    text = _PERCENT_RUN.sub(lambda run: "%%%" * len(run[0]), text)
    text = _CODE_LIKE.sub(r"\\U+005C", text).replace("^", "^ ")
    return _DIAMETER.sub("⌀", text).translate(_SIGNS)


def dxf_plain(text: str) -> str:
    """`text` for a header value or a name: one line, no codes."""
    return _CONTROL.sub(" ", text)

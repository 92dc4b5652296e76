"""One character of the alphabet: its strokes, its width and the room it wants at its sides.

Glyphs are drawn by hand in `glyphs_letters` and `glyphs_signs`. The rest are composed
here when first used: accented letters of a letter and its marks, raised and lowered
figures of figures, fractions of both.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from layout.drafting.glyphs.letters import CAPITALS, DIGIT_CELL, DIGITS, LETTERS
from layout.drafting.glyphs.path import Path, extent, move_strokes, read
from layout.drafting.glyphs.signs import CARON_BESIDE, COMMA_ABOVE, MARKS, SIGNS

GRID = 20.0
"""Grid units to the capital height."""
WORD_SPACE = 8.0
"""Between two words beside their own room at the sides, so that 6/10 of the height is clear (ISO 3098,
from memory)."""
_RAISE = 6.0
"""Marks are drawn to stand on a letter 14 high; a capital is 20."""
_SMALL = 0.62
"""Raised and lowered figures against full ones."""

_SPACES = {
    " ": WORD_SPACE,
    "\u00a0": WORD_SPACE,
    "\t": WORD_SPACE,
    "\n": WORD_SPACE,
    "\u2007": DIGIT_CELL + 5.0,
    "\u2009": WORD_SPACE / 2,
    "\u202f": WORD_SPACE / 2,
}
_SAME = {"μ": "µ", "ʼ": "’", "\u2010": "-", "\u2011": "-", "∙": "·", "⋅": "·"}
_BARE_MARKS = {"¨": "\u0308", "¯": "\u0304", "¸": "\u0327", "´": "\u0301", "ˇ": "\u030c"}
_RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))
_LOWERED = dict(zip("₀₁₂₃₄₅₆₇₈₉", "0123456789", strict=True))
_FRACTIONS = {"¼": "14", "½": "12", "¾": "34", "⅓": "13", "⅔": "23"} | {
    "⅛": "18",
    "⅜": "38",
    "⅝": "58",
    "⅞": "78",
}
_RINGED = {"©": "C", "®": "R"}
_RAISED_LETTERS = {"ª": "a", "º": "o"}

_BELOW = frozenset("\u0326\u0327\u0328")
_CARON, _CEDILLA, _COMMA, _OGONEK = "\u030c", "\u0327", "\u0326", "\u0328"
_TALL = frozenset(CAPITALS) | frozenset("ÆØhkl")
_CARON_AT = {"d": 2.6, "l": -0.8, "t": 1.2, "L": -3.4}
"""The caron written beside its letter, this far from the letter's right side."""
_OGONEK_AT = dict.fromkeys("AaIiu", 0.0) | {"E": -1.6, "e": -2.0, "U": -4.0}
"""The ogonek hangs this far from the letter's right side, else in the middle."""
_MIDDLE = {"j": 1.9, "J": 1.4, "a": 0.4, "d": 1.0, "L": -1.4, "r": -1.0, "l": -0.6}
"""Marks stand this much right of the middle where the letter's weight does."""


@dataclass(frozen=True, slots=True)
class Glyph:
    """Strokes within 0 <= x <= `width`; `left` and `right` are the room outside; grid units.

    `bottom` and `top` bound the strokes' middle lines; both 0 for a space.
    """

    left: float
    width: float
    right: float
    bottom: float
    top: float
    paths: tuple[Path, ...]


@lru_cache(maxsize=4096)
def glyph(char: str) -> Glyph | None:
    """The glyph of one character, or None where the alphabet lacks it."""
    if char in _SPACES:
        return Glyph(0.0, _SPACES[char], 0.0, 0.0, top=0.0, paths=())
    if char in DIGITS:
        left, right, text = DIGITS[char]
        paths = read(text)
        _, low, _, high = extent(paths)
        return Glyph(left, DIGIT_CELL, right, low, top=high, paths=paths)
    for table in (LETTERS, SIGNS):
        if char in table:
            left, right, text = table[char]
            return _make_glyph(left, right, read(text))
    return _composed_glyph(char)


@lru_cache(maxsize=1)
def box() -> Glyph:
    """What is drawn for a character that the alphabet lacks: an empty box."""
    return _make_glyph(2.5, 2.5, read("0,0 0,20 11,20 11,0 0,0"))


def _make_glyph(left: float, right: float, paths: tuple[Path, ...]) -> Glyph:
    """A glyph whose strokes are moved to begin at x = 0."""
    x0, y0, x1, y1 = extent(paths)
    return Glyph(left, x1 - x0, right, y0, top=y1, paths=move_strokes(paths, -x0, 0.0))


def _known_glyph(char: str) -> Glyph:
    found = glyph(char)
    if found is None:
        raise LookupError(f"the alphabet has no {char!r} to compose with")
    return found


def _composed_glyph(char: str) -> Glyph | None:
    if char in _BARE_MARKS:
        return _make_glyph(2.0, 2.0, read(MARKS[_BARE_MARKS[char]]))
    if char in _SAME:
        return glyph(_SAME[char])
    if char in _RAISED:
        return _make_glyph(1.5, 1.5, _small(_RAISED[char], 0.0, GRID * (1 - _SMALL)))
    if char in _LOWERED:
        return _make_glyph(1.5, 1.5, _small(_LOWERED[char], 0.0, -3.0))
    if char in _FRACTIONS:
        return _fraction(*tuple(_FRACTIONS[char]))
    if char in _RINGED:
        body = _known_glyph(_RINGED[char])
        return _make_glyph(
            2.3, 2.3, read("a10,10,10,10,90,450") + move_strokes(body.paths, 10 - body.width / 4, 5, 0.5)
        )
    if char in _RAISED_LETTERS:
        body = _known_glyph(_RAISED_LETTERS[char])
        return _make_glyph(
            1.6, 1.6, move_strokes(body.paths, 0.0, 10.6, _SMALL) + read(f"0,7 {body.width * _SMALL},7")
        )
    return _accented_glyph(char)


def _small(digit: str, x: float, y: float) -> tuple[Path, ...]:
    """A small figure whose strokes begin at `x` and stand at `y`."""
    paths = _known_glyph(digit).paths
    return move_strokes(paths, x - extent(paths)[0] * _SMALL, y, _SMALL)


def _fraction(over: str, under: str) -> Glyph:
    top = _small(over, 0.0, GRID * (1 - _SMALL))
    right = extent(top)[2]
    slash = read(f"{right - 2.6},0 {right + 7.4},20")
    return _make_glyph(2.0, 2.0, top + slash + _small(under, right + 5.0, 0.0))


def _accented_glyph(char: str) -> Glyph | None:
    base, *marks = tuple(unicodedata.normalize("NFD", char))
    if not marks or any(m not in MARKS for m in marks):
        return None
    above = [m for m in marks if m not in _BELOW]
    letter = glyph({"i": "ı", "j": "ȷ"}.get(base, base) if above else base)
    if letter is None or len(above) > 1:
        return None
    paths = letter.paths
    for mark in marks:
        paths += _mark(base, mark, letter.width)
    x0, _, x1, _ = extent(paths)
    # A mark may overhang its neighbours' room by half before it pushes them away.
    left = max(1.0, letter.left + x0 / 2)
    right = max(1.2, letter.right - (x1 - letter.width) / 2)
    return _make_glyph(left, right, paths)


def _mark(base: str, mark: str, width: float) -> tuple[Path, ...]:
    """One mark where it stands over, under or beside a letter `width` wide."""
    middle = width / 2 + _MIDDLE.get(base, 0.0)
    if mark == _CARON and base in _CARON_AT:
        return move_strokes(read(CARON_BESIDE), width + _CARON_AT[base], 0.0)
    if mark == _OGONEK:
        return move_strokes(
            read(MARKS[mark]), width + _OGONEK_AT[base] if base in _OGONEK_AT else middle, 0.0
        )
    if mark in (_CEDILLA, _COMMA) and base == "g":
        return move_strokes(read(COMMA_ABOVE), middle, 0.0)
    if mark == _CEDILLA and base in "GKkLlNnRr":
        return move_strokes(read(MARKS[_COMMA]), middle, 0.0)
    raised = mark not in _BELOW and base in _TALL
    return move_strokes(read(MARKS[mark]), middle, _RAISE if raised else 0.0)

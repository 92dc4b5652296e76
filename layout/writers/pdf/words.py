"""The words of a PDF: never painted, there to be searched, copied and read aloud.

A simple font holds 256 codes, so the characters used are dealt out over as many fonts
as they need, the same way each time. Widths are our own lettering's, so that a
selection lies where the strokes are; a ToUnicode map says what each code means.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter

from layout.drafting.lettering import text_width

CAPITAL_OVER_SIZE = 0.7
"""Capital height over font size: near that of common faces, so selections have a natural height."""

FIRST_CODE = 33
"""Codes below are left alone: some readers treat them as controls, and 32 as a word space."""
CODES_IN_FONT = 256 - FIRST_CODE
SPACE = 32

Codes = Mapping[str, tuple[str, int]]
"""The font's name and the code in it of each character."""


@dataclass(frozen=True)
class WordFont:
    """One font: its resource name, and the code of each character."""

    name: str
    codes: dict[str, int]

    def widths(self) -> list[int]:
        """Advance of each code from SPACE on, in thousandths of the font size."""
        by_code = {code: char for char, code in self.codes.items()}
        return [_advance(by_code[c]) if c in by_code else 0 for c in range(SPACE, max(by_code) + 1)]

    def to_unicode(self) -> bytes:
        """A CMap from codes to characters."""
        pairs = [
            f"<{code:02X}> <{char.encode('utf-16-be', 'replace').hex().upper()}>"
            for char, code in self.codes.items()
        ]
        blocks = [pairs[i : i + 100] for i in range(0, len(pairs), 100)]
        mapped = "\n".join(f"{len(b)} beginbfchar\n" + "\n".join(b) + "\nendbfchar" for b in blocks)
        return (
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
            "1 begincodespacerange\n<00> <FF>\nendcodespacerange\n"
            f"{mapped}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
        ).encode("ascii")


def deal_fonts(texts: Iterable[str]) -> tuple[WordFont, ...]:
    """Fonts that between them hold every character of `texts`; ASCII keeps its own codes."""
    chars = sorted({char for text in texts for char in text} | {" "})
    plain = {c: ord(c) for c in chars if SPACE <= ord(c) < 127}
    others = [c for c in chars if c not in plain]
    room = 256 - 128
    first = {**plain, **{c: 128 + i for i, c in enumerate(others[:room])}}
    fonts = [WordFont("W0", first)]
    rest = others[room:]
    for k in range(0, len(rest), CODES_IN_FONT):
        part = rest[k : k + CODES_IN_FONT]
        fonts.append(WordFont(f"W{len(fonts)}", {c: FIRST_CODE + i for i, c in enumerate(part)}))
    return tuple(fonts)


def codes_of(fonts: Iterable[WordFont]) -> Codes:
    """Where each character of several fonts is."""
    return {char: (font.name, code) for font in fonts for char, code in font.codes.items()}


def runs(text: str, codes: Codes) -> list[tuple[str, bytes]]:
    """`text` cut where the font changes: font name and codes of each piece."""
    coded = map(codes.__getitem__, text)
    return [(name, bytes([code for _, code in run])) for name, run in groupby(coded, itemgetter(0))]


def _advance(char: str) -> int:
    """From one character's start to the next one's, in thousandths of the font size."""
    return round(1000 * CAPITAL_OVER_SIZE * (text_width("n" + char + "n", 1.0) - text_width("nn", 1.0)))

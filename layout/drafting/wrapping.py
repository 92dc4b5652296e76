"""Words fitted into a width: broken into lines, or cut short with an ellipsis."""

from __future__ import annotations

from layout.drafting.lettering import text_width, widths_of_beginnings

ELLIPSIS = "…"


def wrap(text: str, width: float, height: float) -> tuple[str, ...]:
    """Lines of `text`, each at most `width` mm at `height`; a word that is longer is broken where it must.

    It is broken after a hyphen where it has one.

    A line holds at least one character, however narrow the width; no text is no lines.
    """
    if text_width(text, height) <= width:
        return (text,) if text.strip() else ()
    lines: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if text_width(joined, height) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, width, height)
        lines.extend(whole)
    return (*lines, line) if line else tuple(lines)


def wrap_most(text: str, width: float, height: float, most: int) -> tuple[str, ...]:
    """The same in at most so many lines: what has no room is cut short with an ellipsis.

    >>> wrap_most("a long title of many words", 20.0, 2.5, 2)
    ('a long title', 'of many…')
    """
    lines = wrap(text, width, height)
    if len(lines) <= most:
        return lines
    *first, last = lines[:most]
    return (*first, shorten(f"{last} {lines[most]}", width, height))


def shorten(text: str, width: float, height: float) -> str:
    """The text, or as much of its start as fits in `width` mm with an ellipsis behind.

    It is cut between words, or after a hyphen; within its first word where not even that fits.
    """
    if text_width(text, height) <= width:
        return text
    widths = widths_of_beginnings(text, height)
    cuts = (text[:end].rstrip() for end in range(len(text) - 1, 0, -1))
    fitting = [cut for cut in cuts if not cut or widths[len(cut) - 1] <= width
               if text_width(cut + ELLIPSIS, height) <= width]  # fmt: skip
    whole = (cut for cut in fitting if cut.endswith("-") or text[len(cut)] == " ")
    cut = next(whole, fitting[0] if fitting else "")
    return cut + ELLIPSIS


def widest_word(text: str, height: float) -> float:
    """The width in mm of the longest piece that `wrap` keeps whole where it can."""
    return max((text_width(word, height) for word in text.split()), default=0.0)


def widest_piece(text: str, height: float) -> float:
    """The same of the pieces that words with hyphens fall into."""
    return widest_word(text.replace("-", "- "), height)


def _broken(word: str, width: float, height: float) -> list[str]:
    parts: list[str] = []
    rest = word
    while text_width(rest, height) > width and len(rest) > 1:
        widths = widths_of_beginnings(rest, height)
        end = next((k for k in range(len(rest) - 1, 1, -1) if widths[k - 1] <= width), 1)
        end = rest.rfind("-", 0, end) + 1 or end
        parts.append(rest[:end])
        rest = rest[end:]
    return [*parts, rest]

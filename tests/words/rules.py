"""The rules that every sentence of the program keeps, as functions that name what breaks them.

A sentence ends at a full stop, a colon, a question mark or the end of its line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from layout.errors import Notice

MOST_WORDS = 20

ODD_WORDS = (
    "sane", "mend", "mended", "lest", "anew", "for want of", "by the look of", "take part",
    "takes no part", "beside", ", want", "wants", "wanted", "short of", "the contract", "the surface",
    "eats", "craned", "keep one", "has to be said", "in one go",
)  # fmt: skip
"""Words that a builder who learned English on the job may not know, and names of what no visitor has."""

_SENTENCE = re.compile(r"(?<=[.:?!])\s+|\n")
_ODD = re.compile(r"\b(" + "|".join(re.escape(w) for w in ODD_WORDS) + r")\b", re.IGNORECASE)
_VERDICT = re.compile(r"(^|[|\s])in\s*($|\|)", re.MULTILINE)
_BARE = re.compile(
    r"(?<![\w.\-/])-?\d+\.\d+(?![\d.]*(?: ?(?:mm|degrees|deg|kg|%|x|cm|in|m|times|TPI)\b|°|%))"
)
_TYPED = re.compile(
    r"`[^`]*`|'[^']*'|\{[^}]*\}|\[[^\]]*\]|\bis -?[\d.]+(?=[;.] )|(?:Write|Take) -?[\d.]+(?!\S)"
    r"|with \w+: -?[\d.]+|Did you mean [^?]*\?|-?\d[\d.]* (?:to|or) -?[\d.]+"
)
_TO_DO = re.compile(
    r"\b(write|give|delete|check|choose|add|shorten|rename|move|change|expected|type|save|put|close|align|"
    r"quote|exchange|print|use|measure|set|take|did you mean|correct|leave|draw|make|install|look|lists the|"
    r"shows what|belongs|called|is this|try|tell|raise|free|feed|report|replace|divide|"
    r"writes one|lists all|name another|cut it|cut less|fit it|mark them|would do)\b",
    re.IGNORECASE,
)


_LIST = re.compile(
    r"(?:[^\s,]+(?: [^\s,]+){0,5}, ){4,}[^\s,]+(?: [^\s,]+){0,5}|(?:\w+, ){3,}\w+(?: (?:or|and) \S+)?"
)
"""Five short items or more with commas between, or four single words: an enumeration."""


def words_in(sentence: str) -> int:
    """How many words a sentence has; code, an enumeration, or a number with its unit, is one."""
    plain = re.sub(r"`[^`]*`|\{[^}]*\}|\[[^\]]*\]", "code", sentence)
    plain = _LIST.sub("a list", plain)
    plain = re.sub(r"(-?\d[\d.]*) (mm|degrees?|deg|kg|%)", "number", plain)
    return len(plain.split())


def long_sentences(text: str) -> Iterator[str]:
    """The sentences of more than MOST_WORDS words."""
    for sentence in _SENTENCE.split(text):
        if words_in(sentence) > MOST_WORDS:
            yield sentence


def odd_words(text: str) -> list[str]:
    """The odd words of a text."""
    return [m[0] for m in _ODD.finditer(text)]


def bare_verdicts(text: str) -> list[str]:
    """Each bare "in" that stands alone in a cell: it reads as inch."""
    return [m[0] for m in _VERDICT.finditer(text)]


def bare_numbers(message: str) -> list[str]:
    """Decimal numbers of a message without a unit; not what was typed, nor what is offered to be typed."""
    return _BARE.findall(_TYPED.sub(" ", message))


def says_what_to_do(message: str) -> bool:
    """Whether an error tells a way out."""
    return bool(_TO_DO.search(message))


LISTS = re.compile(
    r"Tube to order: .*?(?=In mm: )"
    r"|(?:In mm: |Lugs and sockets, in mm |No clear place on the drawing for: |, in mm: )[^.]*(?:\.\d[^.]*)*"
    r"|[\w.]+\.\w+:? -?[\d.]+(?=[,.])"
)
"""Where a page gives the unit once for a whole list; and keys of the spec with what is to be written."""


def broken_page(text: str) -> list[str]:
    """What a block of a page breaks: a sentence has units beside its numbers, a cell's stand over it."""
    found = broken(text)
    if text.endswith("."):
        bare = bare_numbers(LISTS.sub(" ", text))
        found += [f"no unit: {number}" for number in bare]
    return found


def broken_notice(notice: Notice) -> list[str]:
    """What a warning or a note breaks: a warning tells what to do, as an error does."""
    message = LISTS.sub("listed", notice.message)
    found = broken(message, error=notice.kind == "warning")
    return [f"{notice.message} -> {what}" for what in found]


def broken(text: str, *, error: bool = False) -> list[str]:
    """What a text breaks, in words; empty where it keeps the rules."""
    found = [f"{words_in(s)} words: {s}" for s in long_sentences(text)]
    found += [f"odd word: {w}" for w in odd_words(text)]
    found += [f"bare verdict: {v!r}" for v in bare_verdicts(text)]
    if error and not says_what_to_do(text):
        found.append("nothing to do")
    if error:
        found += [f"no unit: {number}" for number in bare_numbers(text)]
    return found

"""What an inspection says to the builder: the verdict first, then the figures, then what to do."""

from __future__ import annotations

from collections.abc import Iterator

from layout.checks.built import Judged, SuspectReading
from layout.checks.inspect import FrameVerdict, Inspection
from layout.drafting.numbers import format_number
from layout.frame.words import words
from layout.report.advice import CAUTION, DECIMALS, effects, mending, pulls, signed_text
from layout.report.plain_table import aligned_lines

VERDICTS = {
    FrameVerdict.PASS: "PASS: every dimension that the readings reach is in tolerance.",
    FrameVerdict.FAIL: "FAIL: the frame is out of tolerance.",
    FrameVerdict.UNDETERMINED: "UNDETERMINED: the readings cannot tell. Measure more, or measure again.",
}
NAMED = 8
"""Dimensions beyond tolerance that are named; the table has them all."""
HEADINGS = ("dimension", "design", "built", "off", "± 1 s", "allowed", "")
HELD = "Wheels, fork and headset were held at the spec's values."


def headline(found: Inspection) -> str:
    """The verdict in a sentence; with a PASS, how many readings it leaves aside."""
    said = VERDICTS[found.verdict]
    count = len(found.suspects)
    if found.verdict is not FrameVerdict.PASS or not count:
        return said
    again = "One reading" if count == 1 else f"{count} readings"
    return f"{said} {again} to take again."


def report(found: Inspection) -> str:
    """Everything for the terminal, ending in a newline."""
    known = reached_dimensions(found)
    parts = [
        headline(found),
        because(found),
        "\n".join(aligned_lines([HEADINGS, *map(_row, known)], range(1, 7)) if known else ()),
        *("\n".join((title, *(f"  {line}" for line in lines))) for title, lines in blocks(found)),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def because(found: Inspection) -> str:
    """What the verdict rests on, in a sentence or two."""
    lines = reached_dimensions(found)
    out = [words(j.name) for j in lines if j.within is False]
    said = [f"{found.taken} readings reach {len(lines)} of {len(found.dimensions)} dimensions."]
    if found.suspects:
        count = len(found.suspects)
        said.append(f"{count} of them {'is' if count == 1 else 'are'} suspect and set aside.")
    if out:
        more = f" and {len(out) - NAMED} more" if len(out) > NAMED else ""
        said.append(f"Beyond tolerance: {', '.join(out[:NAMED])}{more}.")
    return " ".join((*said, HELD))


def reached_dimensions(found: Inspection) -> list[Judged]:
    """The dimensions that have an estimate; those that are out first, then as the registry has them."""
    known = [j for j in found.dimensions.values() if j.estimate is not None]
    return sorted(known, key=lambda j: j.within is not False)


def blocks(found: Inspection) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What there is to say beside the table, each under its title; nothing said leaves its title out."""
    said = [
        ("Suspect readings, set aside", tuple(_suspects(found))),
        ("To know", tuple(n.message for n in found.notices)),
        ("On the road", tuple(effects(found))),
        ("To bring it to the design, before welding", tuple(pulls(found))),
    ]
    mends = tuple(mending(found))
    if mends:
        said.append(("In tolerance but off; what would bring it nearer", (*mends, CAUTION)))
    return ((title, lines) for title, lines in said if lines)


def _suspects(found: Inspection) -> Iterator[str]:
    for suspect in found.suspects:
        yield _suspect(suspect)
    if len(found.suspects) > found.wrong:
        wrong = "one of them is" if found.wrong == 1 else f"{found.wrong} of them are"
        yield f"At least {wrong} misread; the readings do not tell which. Take them again."
    elif found.suspects:
        yield "Take them again: a misreading, or a frame that is bent where the others do not look."


def _suspect(suspect: SuspectReading) -> str:
    row = suspect.reading
    name = " to ".join(words(n) for n in row.names)
    if suspect.expected is None:
        return f"{name}: read {row.measured:g}; the others do not tell what it should be."
    return f"{name}: read {row.measured:g}, the others make it {format_number(suspect.expected, 1)}."


def _row(judged: Judged) -> tuple[str, ...]:
    decimals = DECIMALS[judged.unit]

    def shown(value: float | None) -> str:
        return "" if value is None else format_number(value, decimals)

    off = "" if judged.deviation is None else signed_text(judged)
    mark = {True: "in", False: "OUT", None: "not judged"}[judged.within]
    cells = (judged.design, judged.estimate, judged.uncertainty, judged.tolerance)
    design, built, uncertainty, allowed = map(shown, cells)
    return judged.name, design, built, off, uncertainty, allowed, mark



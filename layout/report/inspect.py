"""What an inspection says to the builder: the verdict first, then the figures, then what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from layout.checks.built import Judged, SuspectReading
from layout.checks.inspect import FrameVerdict, Inspection
from layout.drafting.numbers import format_number
from layout.frame.words import words
from layout.report.advice import CAUTION, DECIMALS, corrections, effects, pulls, signed_text
from layout.report.plain_table import aligned_lines

VERDICTS = {
    FrameVerdict.PASS: "PASS: the {measured} in tolerance{others}.",
    FrameVerdict.FAIL: "FAIL: the frame is out of tolerance.",
    FrameVerdict.UNDETERMINED: "UNDETERMINED: the readings cannot tell. Measure more, or measure again.",
}
NAMED = 8
"""Dimensions beyond tolerance that are named; the table has them all."""
HEADINGS = ("dimension", "design", "built", "off", "known to ±", "allowed", "")
DIRECTIONS = "Hold the BB and keep the frame level. Front and rear are level moves; up and down are plumb."
HELD = "Wheels, fork and headset were held at the spec's values."


def headline(found: Inspection) -> str:
    """The verdict in a sentence; with a PASS, how many readings it leaves aside."""
    known = len(reached_dimensions(found))
    missing = len(missing_dimensions(found))
    said = VERDICTS[found.verdict].format(
        measured="dimension measured is" if known == 1 else f"{known} dimensions measured are",
        others=f"; {missing} {'was' if missing == 1 else 'were'} not measured" if missing else "",
    )
    count = len(found.suspects)
    if found.verdict is not FrameVerdict.PASS or not count:
        return said
    again = "One reading" if count == 1 else f"{count} readings"
    return f"{said} {again} to take again."


Block = tuple[str, tuple[str, ...]]
"""Lines under a title."""


def report(found: Inspection, more: Mapping[str, tuple[str, ...]] | None = None) -> str:
    """Everything for the terminal, ending in a newline; `more` has blocks by their titles."""
    known = reached_dimensions(found)
    parts = [
        headline(found),
        because(found),
        "\n".join(aligned_lines([HEADINGS, *map(_row, known)], range(1, 7)) if known else ()),
        *("\n".join((title, *(f"  {line}" for line in lines))) for title, lines in blocks(found, more)),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def because(found: Inspection) -> str:
    """What the verdict rests on, in a sentence or two."""
    lines = reached_dimensions(found)
    out = [words(j.name) for j in lines if j.within is False]
    every = len(lines) + len(missing_dimensions(found))
    taken = "1 reading reaches" if found.taken == 1 else f"{found.taken} readings reach"
    said = [f"{taken} {len(lines)} of {every} dimensions of the frame."]
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


def missing_dimensions(found: Inspection) -> list[str]:
    """The frame's own dimensions that no reading reaches, in words: of these the verdict says nothing."""
    return [words(n) for n, j in found.dimensions.items() if j.estimate is None and not j.held]


def blocks(found: Inspection, more: Mapping[str, tuple[str, ...]] | None = None) -> Iterator[Block]:
    """What there is to say beside the table, each under its title; nothing said leaves its title out."""
    said = [
        ("Suspect readings, set aside", tuple(_suspects(found))),
        *(more or {}).items(),
        ("Good to know", tuple(n.message for n in found.notices)),
        ("Not measured", tuple(_not_measured(found))),
        ("On the road", tuple(effects(found))),
        ("To bring it to the design, before welding", tuple(_pulls(found))),
    ]
    corrected = tuple(corrections(found))
    if corrected:
        said.append(("In tolerance; could be closer", (*corrected, CAUTION)))
    return ((title, lines) for title, lines in said if lines)


def _not_measured(found: Inspection) -> Iterator[str]:
    missing = missing_dimensions(found)
    if missing:
        yield f"{', '.join(missing)}."


def _pulls(found: Inspection) -> Iterator[str]:
    moves = tuple(pulls(found))
    yield from moves
    if moves:
        yield DIRECTIONS


def _zero(found: Inspection, alike: Sequence[SuspectReading]) -> str:
    """The cause that angles from the level share, and what to do about it."""
    *most, last = (words(s.reading.names[0]) for s in alike)
    names = f"{', '.join(most)} and {last}" if most else last
    by = format_number(abs(found.zero_off or 0.0), 1)
    if found.leans:
        return (
            f"{names} are off together, as in a frame that leans by {by}°: it did not stand level. "
            "Level the frame. Then measure these again."
        )
    return (
        f"{names} are off alike, by {by}°: the zero of the gauge is off, or the frame did not stand level. "
        "Zero the gauge on the base and turn it end for end. Level the frame. Then measure these again."
    )


def _suspects(found: Inspection) -> Iterator[str]:
    for suspect in found.suspects:
        yield _suspect(suspect)
    alike = [s for s in found.suspects if s.shared]
    if alike:
        yield _zero(found, alike)
    if len(found.suspects) == len(alike):
        return
    if len(found.suspects) - len(alike) > found.wrong - bool(alike):
        wrong = "one of them is" if found.wrong == 1 else f"{found.wrong} of them are"
        yield f"At least {wrong} misread; the readings do not tell which. Measure them again."
    else:
        yield (
            "Measure again: the reading is wrong, or the frame is bent at a place the other readings "
            "do not check."
        )


def _suspect(suspect: SuspectReading) -> str:
    row = suspect.reading
    name = " to ".join(words(n) for n in row.names)
    if suspect.expected is None:
        return f"{name}: read {row.measured:g}{row.unit}; the others do not tell what it should be."
    return (
        f"{name}: read {row.measured:g}{row.unit}, the others make it "
        f"{format_number(suspect.expected, 1)}{row.unit}."
    )


def _row(judged: Judged) -> tuple[str, ...]:
    decimals = DECIMALS[judged.unit]

    def shown(value: float | None) -> str:
        return "" if value is None else format_number(value, decimals)

    off = "" if judged.deviation is None else signed_text(judged)
    mark = {True: "ok", False: "OUT", None: "not judged"}[judged.within]
    cells = (judged.design, judged.estimate, judged.uncertainty, judged.tolerance)
    design, built, uncertainty, allowed = map(shown, cells)
    return judged.name, design, built, off, uncertainty, allowed, mark



"""What the tape check says to the builder: the verdict first, then what to do, then the figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from layout.checks.tape import (
    Axes,
    Distance,
    Estimated,
    Judgement,
    SheetVerdict,
    SuspectDistance,
    TapedDistance,
)
from layout.drafting.numbers import format_number
from layout.errors import LayoutError
from layout.frame.words import words
from layout.report.plain_table import aligned_lines
from layout.sheets.media import MOST_OF_A_PRINTER, MediumKind, medium
from layout.spec.readings import PrintedSheet

Letters = Mapping[frozenset[str], str]


def report(
    judgement: Judgement, taped: Sequence[TapedDistance], sheet: PrintedSheet, letters: Letters
) -> str:
    """Everything, ending in a newline."""
    parts = [
        "\n".join(_verdict(judgement, taped, sheet, letters)),
        "\n".join(_set_aside(judgement, letters)),
        "\n".join(_figures(judgement)),
        "\n".join(_table(judgement, taped, letters)),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _verdict(
    judgement: Judgement, taped: Sequence[TapedDistance], sheet: PrintedSheet, letters: Letters
) -> Iterator[str]:
    if judgement.verdict is SheetVerdict.USE:
        yield "USE: the sheet is true. Every check distance is within its limit."
    elif judgement.verdict is SheetVerdict.UNDETERMINED:
        yield "UNDETERMINED: the readings are too few or too poor to tell. Do not use the sheet yet."
        yield from _what_is_missing(judgement, taped, letters)
    elif judgement.skew_alone:
        yield "REPRINT: do not use the sheet. It is skewed: the axes do not stand square to each other."
        yield (
            "No compensation mends that, so no numbers are offered. Feed the paper straight, or print "
            "on another machine, and measure again."
        )
    elif _is_scaled_page(judgement.scale):
        came = " and ".join(f"{format_number(v * 100, 1)} %" for v in _known_text(judgement.scale))
        yield f"REPRINT: do not use the sheet. It came out at {came}: no printer is that far off."
        yield (
            "The print dialogue has scaled the page (fit to page, shrink to margins). Print it again at "
            "100 % and measure that. Only if it comes out the same do these two numbers undo it:"
        )
        yield from _compensation(judgement, sheet)
    else:
        yield "REPRINT: do not use the sheet. Print it again with these two numbers:"
        yield from _compensation(judgement, sheet)


def _is_scaled_page(scale: Axes) -> bool:
    """Whether a print is further off than a printer's own error."""
    return any(abs(v - 1.0) > MOST_OF_A_PRINTER for v in _known_text(scale))


def _known_text(scale: Axes) -> list[float]:
    return [v for v in (scale.x, scale.y) if v is not None]


def _compensation(judgement: Judgement, sheet: PrintedSheet) -> Iterator[str]:
    x, y = judgement.compensation or (1.0, 1.0)
    yield ""
    yield f"    printer: {{x: {format_number(x, 5)}, y: {format_number(y, 5)}}}"
    yield ""
    yield (
        "in the spec, or in a file of its own named with --printer. "
        f"x acts {_along(sheet.media)}, y square to it."
    )
    if sheet.printer != (1.0, 1.0):
        old = " and ".join(format_number(v, 5) for v in sheet.printer)
        yield f"They replace the {old} that this sheet was printed with."
    if judgement.skew_stays:
        yield (
            "The sheet is skewed as well, which no compensation mends: the new print would still fail by "
            "it. Feed the paper straight, or print on another machine."
        )


def _along(media: str) -> str:
    """Which way a medium's x lies."""
    try:
        kind = medium(media).kind
    except LayoutError:
        return "along the roll, or along a sheet's long edge"
    return "along the roll" if kind is MediumKind.ROLL else "along the paper's long edge"


def _what_is_missing(judgement: Judgement, taped: Sequence[TapedDistance], letters: Letters) -> Iterator[str]:
    if not taped:
        yield "No reading is filled in."
        return
    if not judgement.found:
        yield (
            "No print of this drawing has these readings: one is far off, or said to be better than it can "
            "be. Look at the digits and the uncertainties, and take them again."
        )
        return
    measured = {_ends(t.distance) for t in taped}
    vague = ", ".join(letters[_ends(e.distance)] for e in judgement.checks if not e.known)
    yield f"Not known well enough: {vague}."
    left = [e.distance for e in judgement.checks if _ends(e.distance) not in measured]
    if left:
        yield f"Measure more; no reading yet of {', '.join(letters[_ends(d)] for d in left)}."
    elif judgement.suspects:
        yield "Measure the ones set aside again."
    else:
        yield "Measure each again, and give the readings' uncertainty where the tape is better than stated."


def _set_aside(judgement: Judgement, letters: Letters) -> Iterator[str]:
    suspects, wrong = judgement.suspects, judgement.wrong
    if not suspects:
        return
    if len(suspects) == 1:
        yield "One reading was set aside, misread by the look of it:"
    elif wrong < len(suspects):
        count = "One of these" if wrong == 1 else f"{wrong} of these"
        yield f"{count} must be misread and nothing tells which; all were set aside:"
    else:
        yield "These readings were set aside, misread by the look of them:"
    yield from (_suspect(s, letters) for s in suspects)
    if judgement.scatter > 1.0:
        times = format_number(judgement.scatter, 1)
        yield f"The rest still disagree {times} times as much as their uncertainty allows: measure all again."


def _suspect(suspect: SuspectDistance, letters: Letters) -> str:
    read = format_number(suspect.measured, 1)
    said = f"  {_label(suspect.distance, letters)}: read as {read}"
    if suspect.expected is None:
        return said
    return f"{said}, by the others it should read {format_number(suspect.expected, 1)}"


def _figures(judgement: Judgement) -> Iterator[str]:
    """Scales in per cent of true, skew in degrees, each with one standard deviation."""
    scale, deviation = judgement.scale, judgement.uncertainty
    yield "The print against the drawing, with one standard deviation:"
    for name, value, spread in _scales(scale, deviation):
        off = (value - 1.0) * 100
        sign = "+" if format_number(off, 3) != "0.000" and off > 0 else ""
        spread_shown = format_number(spread * 100, 3)
        yield f"  along the drawing's {name}  {sign}{format_number(off, 3)} %  +- {spread_shown}"
    if scale.skew is not None and deviation.skew is not None:
        yield f"  skew {format_number(scale.skew, 3)}°  +- {format_number(deviation.skew, 3)}"
    unknown = [n for n, v in (("x", scale.x), ("y", scale.y), ("skew", scale.skew)) if v is None]
    yield from (f"  {name}: not determined by these readings" for name in unknown)


def _scales(scale: Axes, deviation: Axes) -> Iterator[tuple[str, float, float]]:
    for name, value, spread in (("x", scale.x, deviation.x), ("y", scale.y, deviation.y)):
        if value is not None and spread is not None:
            yield name, value, spread


def _table(judgement: Judgement, taped: Sequence[TapedDistance], letters: Letters) -> Iterator[str]:
    """Each check distance: true, read, what the fit makes of it, its limit."""
    read = {_ends(t.distance): t.measured for t in taped}
    heading: tuple[str, ...] = ("", "from", "to", "true", "tape", "by the fit", "off", "limit", "")
    rows = [heading, *(_row(e, read, letters) for e in judgement.checks)]
    yield from aligned_lines(rows, range(3, 8), "  ")


def _row(e: Estimated, read: Mapping[frozenset[str], float], letters: Letters) -> tuple[str, ...]:
    d = e.distance
    measured = read.get(_ends(d))
    shown = "" if measured is None else format_number(measured, 1)
    fit = "" if e.estimate is None else format_number(e.estimate, 1)
    off = "" if e.estimate is None else format_number(e.estimate - d.true, 2)
    mark = "not known well enough" if not e.known else "" if e.within else "over"
    return (
        letters.get(_ends(d), ""), words(d.start), words(d.end), format_number(d.true, 1), shown, fit, off,
        format_number(d.limit, 2), mark,
    )  # fmt: skip


def _ends(d: Distance) -> frozenset[str]:
    return frozenset((d.start, d.end))


def _label(d: Distance, letters: Letters) -> str:
    letter = letters.get(_ends(d), "")
    return " ".join(part for part in (letter, words(d.start), "to", words(d.end)) if part)

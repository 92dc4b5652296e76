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
        "\n".join(_hook(judgement)),
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
            "No printer number corrects that, so none is offered. Feed the paper straight, or print "
            "on another machine, and measure again."
        )
    elif _is_scaled_page(judgement.scale):
        came = (f"{format_number(v * 100, 1)} % along {n}" for n, v in _known_scales(judgement.scale))
        yield f"REPRINT: do not use the sheet. It printed at {', '.join(came)}."
        yield "A printer alone is never that far off."
        yield (
            "The print dialogue has scaled the page (fit to page, shrink to margins). Print it again at "
            "100 % and measure that. If the second print measures the same, use these two numbers:"
        )
        yield from _compensation(judgement, sheet)
    else:
        yield "REPRINT: do not use the sheet. Print it again with these two numbers:"
        yield from _compensation(judgement, sheet)


def _is_scaled_page(scale: Axes) -> bool:
    """Whether a print is further off than a printer's own error."""
    return any(abs(v - 1.0) > MOST_OF_A_PRINTER for _, v in _known_scales(scale))


def _known_scales(scale: Axes) -> list[tuple[str, float]]:
    """The scales that the readings tell, with their axes."""
    return [(n, v) for n, v in (("x", scale.x), ("y", scale.y)) if v is not None]


def _compensation(judgement: Judgement, sheet: PrintedSheet) -> Iterator[str]:
    x, y = judgement.compensation or (1.0, 1.0)
    yield ""
    yield f"    printer: {{x: {format_number(x, 5)}, y: {format_number(y, 5)}}}"
    yield ""
    yield (
        "in the spec, or in a file of its own named with --printer. "
        f"x is {_along(sheet.media)}, y across it."
    )
    if sheet.printer != (1.0, 1.0):
        old = " and ".join(format_number(v, 5) for v in sheet.printer)
        yield f"They replace the {old} that this sheet was printed with."
    if judgement.skew_stays:
        yield (
            "The sheet is also skewed. The two numbers cannot correct that; a new print would fail again. "
            "Feed the paper straight, or print on another machine."
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
        yield from _ask(judgement, letters)
        return
    if not judgement.found:
        yield (
            "No print of this drawing has these readings: one is far off, or its uncertainty is too small. "
            "Look at the digits and the uncertainties, and take them again."
        )
        return
    if judgement.hook_or_stretch:
        yield "Either the paper has stretched or the hook of the tape is off: the readings do not tell."
        yield "Measure again without the hook: start at the 100 mm mark, and take 100 off each reading."
        return
    vague = ", ".join(letters[_ends(e.distance)] for e in judgement.checks if not e.known)
    yield f"Not known well enough: {vague}."
    if judgement.next:
        yield from _ask(judgement, letters)
    elif judgement.suspects:
        yield "Measure the ones set aside again."
    else:
        yield "Measure each again, and give the readings' uncertainty where the tape is better than stated."


def _ask(judgement: Judgement, letters: Letters) -> Iterator[str]:
    """What to measure next, best first."""
    asked = ", then ".join(_label(d, letters) for d in judgement.next)
    if asked:
        yield f"Measure next, best first: {asked}."


def _hook(judgement: Judgement) -> Iterator[str]:
    """A tape that reads all lengths wrong by the same."""
    if judgement.hook is not None:
        by, way = format_number(abs(judgement.hook), 1), "long" if judgement.hook > 0 else "short"
        yield (
            f"The hook of the tape is off: it reads every length about {by} mm too {way}. That was taken off "
            "before the sheet was judged. Do not measure from the hook: start at the 100 mm mark."
        )


def _set_aside(judgement: Judgement, letters: Letters) -> Iterator[str]:
    suspects, wrong = judgement.suspects, judgement.wrong
    if not suspects:
        return
    if len(suspects) == 1:
        yield "One reading was set aside, probably misread:"
    elif wrong < len(suspects):
        count = "One of these" if wrong == 1 else f"{wrong} of these"
        yield f"{count} must be misread and nothing tells which; all were set aside:"
    else:
        yield "These readings were set aside, probably misread:"
    yield from (_suspect(s, letters) for s in suspects)
    if judgement.scatter > 1.0:
        times = format_number(judgement.scatter, 1)
        yield f"The rest still disagree {times} times as much as their uncertainty allows: measure all again."


def _suspect(suspect: SuspectDistance, letters: Letters) -> str:
    read = format_number(suspect.measured, 1)
    said = f"  {_label(suspect.distance, letters)}: read as {read} mm"
    if suspect.expected is None:
        return said
    return f"{said}, the other readings give {format_number(suspect.expected, 1)} mm"


def _figures(judgement: Judgement) -> Iterator[str]:
    """Scales in per cent of true, skew in degrees, each with one standard deviation."""
    scale, deviation = judgement.scale, judgement.uncertainty
    yield "The print against the drawing, with one standard deviation:"
    for name, value, spread in _scales(scale, deviation):
        off = (value - 1.0) * 100
        sign = "+" if format_number(off, 3) != "0.000" and off > 0 else ""
        spread_shown = format_number(spread * 100, 3)
        yield f"  along the drawing's {name}  {sign}{format_number(off, 3)} %  ± {spread_shown} %"
    if scale.skew is not None and deviation.skew is not None:
        yield f"  skew {format_number(scale.skew, 3)}°  ± {format_number(deviation.skew, 3)}°"
    unknown = [n for n, v in (("x", scale.x), ("y", scale.y), ("skew", scale.skew)) if v is None]
    yield from (f"  {name}: not determined by these readings" for name in unknown)


def _scales(scale: Axes, deviation: Axes) -> Iterator[tuple[str, float, float]]:
    for name, value, spread in (("x", scale.x, deviation.x), ("y", scale.y, deviation.y)):
        if value is not None and spread is not None:
            yield name, value, spread


def _table(judgement: Judgement, taped: Sequence[TapedDistance], letters: Letters) -> Iterator[str]:
    """Each check distance: true, read, what the fit makes of it, its limit."""
    read = {_ends(t.distance): t.measured for t in taped}
    heading: tuple[str, ...] = ("", "from", "to", "true", "tape", "calculated", "off", "limit", "")
    rows = [heading, *(_row(e, read, letters) for e in judgement.checks)]
    yield from aligned_lines(rows, range(3, 8), "  ")


def _row(e: Estimated, read: Mapping[frozenset[str], float], letters: Letters) -> tuple[str, ...]:
    d = e.distance
    measured = read.get(_ends(d))
    shown = "" if measured is None else format_number(measured, 1)
    fit = "" if e.estimate is None else format_number(e.estimate, 1)
    off = "" if e.estimate is None else format_number(e.estimate - d.true, 2)
    mark = "?" if not e.known else "" if e.within else "over"
    return (
        letters.get(_ends(d), ""), words(d.start), words(d.end), format_number(d.true, 1), shown, fit, off,
        format_number(d.limit, 2), mark,
    )  # fmt: skip


def _ends(d: Distance) -> frozenset[str]:
    return frozenset((d.start, d.end))


def _label(d: Distance, letters: Letters) -> str:
    letter = letters.get(_ends(d), "")
    return " ".join(part for part in (letter, words(d.start), "to", words(d.end)) if part)

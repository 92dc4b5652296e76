"""What the terminal shows: tables in plain words, told apart by marks and not by colour alone.

Everything here returns text. Weight is the only styling, and only for a terminal that
wants it (NO_COLOR and TERM=dumb are honoured); piped text has no escape codes and is
never cut to a width. Tables are set here rather than by rich, whose import takes as long
as all of `solve`'s arithmetic and YAML together.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from layout.drafting.numbers import format_number
from layout.geometry.dimensions import REGISTRY
from layout.report.plain_table import printable

if TYPE_CHECKING:
    from layout.errors import Fault
    from layout.frame.solve import Frame
    from layout.geometry.tolerance import Tolerances
    from layout.report.written import FileWritten
    from layout.sheets.media import Medium

DECIMALS = {"mm": 1, "deg": 2}
"""A steel rule is read to 0.5 and an angle gauge to 0.1: one digit more than either."""

RESIDUAL_DECIMALS = 3
FARTHEST = 5
"""Residuals told below the table; all stand in it."""

SLIGHT = 0.1
"""Share of a dimension's spread below which a cause is not named: alone it adds 0.5 per cent."""
CHIEF_CAUSES = 4
"""Causes named of one dimension; the others are counted. `--json` has them all."""

_WHAT = {"mm": "lengths", "deg": "angles"}

_MISSING = "Not calculated: rider, cockpit, crank or sag numbers are missing for"

_BOLTED = frozenset(
    {"axle_to_crown", "fork_offset", "fork_length_on_axis", "lower_stack", "upper_stack", "head_tube_length"}
    | {"front_radius", "rear_radius", "seat_tube_length", "top_tube_at_seat", "top_tube_at_head"}
)
"""Given numbers that are bought or cut, not set."""

_GAP = "   "
_STYLES = {"given": "\x1b[1m", "fitted": "\x1b[1m", "default": "\x1b[2m"}
_PLAIN = "\x1b[0m"
"""Bold and faint (ECMA-48, select graphic rendition), beside the word that says the same."""

Row = tuple[str, ...]


def frame_json(
    frame: Frame, moved: Tolerances | None = None, at_jig: Tolerances | None = None
) -> dict[str, Any]:
    """A solved frame as plain data, full precision: what `solve --json` prints.

    The keys `tolerances` (of the given numbers) and `jig_tolerances` are there only where asked for.
    """
    told = {"tolerances": moved, "jig_tolerances": at_jig}
    asked = {key: asdict(t) for key, t in told.items() if t is not None}
    return {
        "dimensions": dict(frame.plane.dimensions),
        "points": {name: list(at) for name, at in frame.plane.points.items()},
        "given": list(frame.plane.given),
        "defaults": dict(frame.plane.defaults),
        "residuals": dict(frame.plane.residuals),
        "sagged": None if frame.plane.sagged is None else dict(frame.plane.sagged),
        "mark": frame.mark,
        "warnings": [{"code": w.code, "message": w.message} for w in frame.plane.warnings],
        **asked,
    }


def frame_report(frame: Frame) -> str:
    """Every dimension with its origin, then the parts, what is not determined, and warnings."""
    parts = [_heading(frame), _dimension_table(frame), _residual_lines(frame), _part_lines(frame)]
    missing = [name for name, value in frame.plane.dimensions.items() if value is None]
    if missing:
        parts.append(f"{_MISSING}:\n  {', '.join(missing)}")
    if frame.plane.warnings:
        from layout.report.written import told

        parts.append("\n".join(told(frame.plane.warnings)))
    return "\n\n".join(part for part in parts if part) + "\n"


def fault_report(givens: Mapping[str, float], faults: Iterable[Fault]) -> str:
    """The numbers as given when they make no frame: contradictions marked, and below them what is free."""
    told = list(faults)
    needs = {c.name: c.needs for f in told for c in f.conflict}
    named = {f.key.rsplit(".", 1)[-1] for f in told if f.key}
    rows: list[Row] = []
    for name, value in givens.items():
        unit = REGISTRY[name].unit
        mark = "contradicts" if name in needs else "at fault" if name in named else ""
        wanted = _need_text(name, needs[name]) if name in needs else ""
        rows.append((name, format_number(value, DECIMALS[unit]), unit, "given", mark, wanted))
    for n, names in enumerate((names for f in told for names in f.free), 1):
        rows.append((f"missing {n}", "", "", "", f"give one of {', '.join(names)}", ""))
    return _table(("dimension", "value", "unit", "origin", "", "the others need"), rows, (1, 5)) + "\n"


def _need_text(name: str, value: float | None) -> str:
    dimension = REGISTRY[name]
    if value is None or not dimension.is_possible(value):
        return "no possible value"
    return format_number(value, DECIMALS[dimension.unit])


def tolerance_reports(at_jig: Tolerances, of_given: Tolerances) -> str:
    """What the instruments' errors do at the jig's settings, and at the given numbers if those are others."""
    said = tolerance_report(at_jig, "When the jig is set")
    if set(of_given.errors) <= {*at_jig.errors, *_BOLTED}:
        return said
    return said + tolerance_report(of_given, "When the given numbers are set or measured instead")


def tolerance_report(moved: Tolerances, title: str = "When the given numbers are set") -> str:
    """How far every dimension moves by the errors of what it is set with, the chief causes named."""
    errors = {"deg" if name.endswith("angle") else "mm": error for name, error in moved.errors.items()}
    errors |= {REGISTRY[n].unit: error for n, error in moved.errors.items() if n in REGISTRY}
    assumed = ", ".join(f"{_WHAT[unit]} {error:g} {unit}" for unit, error in errors.items())
    rows = []
    for name, sigma in moved.combined.items():
        decimals = DECIMALS[REGISTRY[name].unit] + 1
        if sigma >= 0.5 * 10.0**-decimals:
            rows.append((name, format_number(sigma, decimals), REGISTRY[name].unit, _causes(moved, name)))
    table = _table(
        ("dimension", "off by", "unit", "changes most with (each number off by its error)"), rows, (1,)
    )
    return f"\n{title}. Errors, one standard deviation: {assumed}.\n\n{table}\n"


def _causes(moved: Tolerances, name: str) -> str:
    """What moves a dimension, the most first, down to SLIGHT of the whole."""
    effects = {given: row[name] for given, row in moved.effects.items()}
    chief = [g for g in effects if abs(effects[g]) >= SLIGHT * moved.combined[name]]
    decimals = DECIMALS[REGISTRY[name].unit] + 1
    shown = []
    for given in sorted(chief, key=lambda g: -abs(effects[g]))[:CHIEF_CAUSES]:
        number = format_number(effects[given], decimals)
        shown.append(f"{given} {number if number.startswith('-') else '+' + number}")
    rest = len(chief) - len(shown)
    return ", ".join([*shown, f"and {rest} smaller"] if rest else shown)


def drawn_report(files: Sequence[FileWritten], warnings: Sequence[str]) -> str:
    """The closing summary of a drawing: each file with its paper and page size, then warnings and notes."""
    rows = []
    for f in files:
        size = f"{f.size[0]:.0f} x {f.size[1]:.0f}" if f.size else "1:1" if f.format == "dxf" else ""
        rows.append((printable(f.path), f.kind, f.media or "", size, str(f.pages) if f.size else ""))
    parts = [_table(("file", "kind", "media", "page, mm", "pages"), rows, numbers=(3, 4))]
    if files:
        from layout.drafting.cautions import CAUTION

        parts.append(" ".join(CAUTION))
    if warnings:
        parts.append("\n".join(printable(line) for warning in warnings for line in warning.split("\n")))
    return "\n\n".join(parts) + "\n"


def media_table(media: Iterable[Medium]) -> str:
    """The papers by name: size, kind, what its device leaves blank, where the size comes from."""
    papers = list(media)
    rows = [
        (m.name, m.size, m.kind.value, f"{m.device.side:g} / {m.device.end:g}", m.source) for m in papers
    ]
    notes = [
        "Blank: margin the printer cannot print, mm, at the sides / at the ends.",
        *_longest(papers),
        "Cut sheets: portrait or landscape. A drawing too large for one is cut into tiles.",
        "Any size in mm: roll-W (roll-900) and WxH (300x400). Names in any case.",
    ]
    return f"{_table(('name', 'mm', 'kind', 'blank', 'source'), rows)}\n\n" + "\n".join(notes) + "\n"


def _longest(media: Iterable[Medium]) -> list[str]:
    """The plotter's limit of each device that has one."""
    limits = {m.device.name: m.device.longest for m in media if m.device.longest is not None}
    return [
        f"A page on a roll is as long as its drawing, up to {longest:g} mm ({name})."
        for name, longest in limits.items()
    ]


def _heading(frame: Frame) -> str:
    job = frame.job
    aside = ", ".join(word for word in (job.number, job.rider, job.date) if word)
    return " ".join(word for word in (job.title, f"({aside})" if aside else "") if word)


def _dimension_table(frame: Frame) -> str:
    from layout.frame.origin import origin_of

    header = ["dimension", "value", "unit", "origin"]
    if frame.plane.sagged:
        header.append("at rest")
    if frame.plane.residuals:
        header.append("given minus fitted")
    if frame.plane.rests_on:
        header.append("rests on the default of")
    rows = []
    for name, value in frame.plane.dimensions.items():
        if value is None:
            continue
        origin = origin_of(frame.plane, name) or "calculated"
        rows.append((name, _value_text(name, value), REGISTRY[name].unit, origin, *_extra(frame, name)))
    return _table(header, rows, numbers=(1, 4, 5), style_by=3)


def _extra(frame: Frame, name: str) -> Iterator[str]:
    """The cells that only some frames have: the value at rest, the residual, the defaults it rests on."""
    from layout.spec.registered import key_of

    if frame.plane.sagged:
        rest = frame.plane.sagged.get(name)
        yield "" if rest is None else _value_text(name, rest)
    if frame.plane.residuals:
        residual = frame.plane.residuals.get(name)
        yield "" if residual is None else format_number(residual, RESIDUAL_DECIMALS)
    if frame.plane.rests_on:
        own = name in frame.plane.given or key_of(name) in frame.plane.defaults
        yield "" if own else ", ".join(key_of(n) for n in frame.plane.rests_on.get(name, ()))


def _residual_lines(frame: Frame) -> str:
    """The given numbers that lie farthest from the fit, the largest share of its agreement first."""
    off = {n: r for n, r in frame.plane.residuals.items() if abs(r) >= 0.5 * 10.0**-RESIDUAL_DECIMALS}
    if not off:
        return ""
    told = [f"{n} {format_number(r, RESIDUAL_DECIMALS)} {REGISTRY[n].unit}" for n, r in off.items()]
    return f"Farthest from the fit (given minus fitted): {', '.join(told[:FARTHEST])}"


def _part_lines(frame: Frame) -> str:
    """Tubes and wheels in one line each, defaults marked."""
    from layout.frame.origin import size_origin

    rows = []
    for name, tube in frame.plane.sizes.items():
        rows.append((name, tube.outside, "mm", size_origin(tube.given)))
    shell = f"{frame.plane.shell_width:g} x {frame.plane.shell_diameter:g}"
    rows.append(("bottom bracket shell", shell, "mm", size_origin(frame.plane.shell_given)))
    for name, wheel in (("front", frame.plane.front_wheel), ("rear", frame.plane.rear_wheel)):
        if wheel.marking:
            own = f"wheels.{name}" not in frame.plane.defaults
            rows.append((f"{name} wheel", wheel.marking, "", size_origin([own])))
    return _table(("part", "size", "unit", "origin"), rows, numbers=(1,), style_by=3)


def _value_text(name: str, value: float) -> str:
    return format_number(value, DECIMALS[REGISTRY[name].unit])


def _table(
    header: Sequence[str], rows: Sequence[Row], numbers: Sequence[int] = (), style_by: int | None = None
) -> str:
    """Rows under a ruled header; the columns in `numbers` are set to the right, rows styled by one column."""
    widths = [max(len(row[n]) for row in (header, *rows)) for n in range(len(header))]
    rule = ("\u2500" if _draws_lines() else "-") * (sum(widths) + len(_GAP) * (len(widths) - 1))
    styled = _takes_styles()
    lines = [_line(header, widths, numbers), rule]
    for row in rows:
        style = _STYLES.get(row[style_by], "") if styled and style_by is not None else ""
        line = _line(row, widths, numbers)
        lines.append(f"{style}{line}{_PLAIN}" if style else line)
    return "\n".join(lines)


def _line(cells: Sequence[str], widths: Sequence[int], numbers: Sequence[int]) -> str:
    set_to = (
        cell.rjust(width) if n in numbers else cell.ljust(width)
        for n, (cell, width) in enumerate(zip(cells, widths, strict=True))
    )
    return _GAP.join(set_to).rstrip()


def _takes_styles() -> bool:
    """Whether standard output is a terminal that takes bold and faint."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return sys.stdout is not None and sys.stdout.isatty() and not plain


def _draws_lines() -> bool:
    """Whether standard output can write a ruled line."""
    return (getattr(sys.stdout, "encoding", None) or "ascii").lower().startswith("utf")

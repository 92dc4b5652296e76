"""The blocks beside the side view: dimensions, tape checks, cautions, title block, ruled cross."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from layout.bench.tape import TapeCheck
from layout.drafting.cautions import CAUTION_WIDTH, cautions_panel
from layout.drafting.columns import rows_in_halves
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.rulers import calibration_cross
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import Cells, Column, Field, table, text_block, title_block
from layout.frame.job import Job
from layout.frame.origin import origin_of, size_origin, written_value
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.views.title import TITLE_WIDTH, notes_row, title_rows, with_continuation

GUTTER = 12.0
"""Between panels on a sheet, so that the table ends flush with the blocks under it."""
CROSS_LENGTH = 200.0
SETTLED = ("rear_radius", "front_radius", "lower_stack", "upper_stack")
"""Sizes with a default that the numbers may settle otherwise."""
AT_REST = ("head_angle", "seat_angle", "bb_height", "trail", "stack", "reach")
"""What a rider would ask of a frame at rest on its suspension."""
SIDE_VIEW = "frame layout, side view"
TAPE_ADVICE = (
    "Let the paper settle for an hour after printing, then measure between the centres of the "
    "crosses. Measure again before use: paper grows and shrinks with the weather.",
)


def panels(frame: Frame, checks: Sequence[TapeCheck]) -> Mapping[str, Panel]:
    """Every panel by the name a sheet arranges it by."""
    return {
        "calibration": calibration_cross(CROSS_LENGTH),
        "checks": tape_panel(checks),
        "dimensions": dimension_panel(frame),
        "tubes": tubes_panel(frame),
        "cautions": cautions_panel(),
        **title_panels(frame),
    }


TABLES_WIDTH = TITLE_WIDTH + CAUTION_WIDTH + GUTTER
"""Tables end flush with the blocks under them."""


def dimensions_shown(frame: Frame) -> list[str]:
    """The names of the dimensions that are determined, in the registry's order."""
    return [name for name in REGISTRY if frame.plane.dimensions.get(name) is not None]


def dimension_panel(
    frame: Frame, names: Sequence[str] | None = None, width: float = TABLES_WIDTH, *, halves: bool = True
) -> Panel:
    """Dimensions that are determined (None: all), with a word for where each comes from.

    In two halves side by side, or one under the other where a page is too narrow for that.
    """
    rows = []
    for name in dimensions_shown(frame) if names is None else names:
        value = frame.plane.dimensions.get(name)
        rows.append((words(name), _value_text(name, value), _origin_words(frame, name)))
    columns = (Column("dimension", share=2.0), Column("mm or °", Cells.NUMBER), Column("is"))
    return table(
        "dimensions",
        "Dimensions (blank: calculated)",
        (*columns, *columns) if halves else columns,
        rows_in_halves(rows) if halves else rows,
        width=width,
    )


def _value_text(name: str, value: float | None) -> str:
    """A dimension's value as tables show it."""
    if value is None:
        return ""
    return format_number(value, 2) + "°" if REGISTRY[name].unit == "deg" else format_number(value, 1)


def _origin_words(frame: Frame, name: str) -> str:
    """Where a dimension comes from; of a fitted one what was given."""
    written = written_value(frame.plane, name)
    origin = origin_of(frame.plane, name)
    return origin if written is None else f"{origin}, given {_value_text(name, written)}"


def tubes_panel(frame: Frame, width: float = TABLES_WIDTH) -> Panel:
    """The outside sizes that the outlines are drawn with, and whether they are given or defaults.

    Of a tube with one end given and one a default, both are said in their order.
    """
    rows = []
    for name, size in frame.plane.sizes.items():
        rows.append((words(name), size.outside, size_origin(size.given)))
    shell = format_number(frame.plane.shell_diameter, 1)
    rows.append(("BB shell", shell, size_origin(frame.plane.shell_given[1:])))
    columns = (Column("tube", share=2.0), Column("outside, mm"), Column("is"))
    return table(
        "tubes",
        "Tubes: outside sizes drawn, ovals width x height",
        (*columns, *columns),
        rows_in_halves(rows),
        width=width,
    )


def tape_panel(checks: Sequence[TapeCheck], width: float | None = None) -> Panel:
    """The check distances with room for the readings, who took them, and the advice."""
    columns = (
        Column("", Cells.CENTRED),
        Column("from"),
        Column("to"),
        Column("true", Cells.NUMBER),
        Column("tape", Cells.BLANK),
    )
    rows = [(c.letter, words(c.start), words(c.end), format_number(c.value, 1), "") for c in checks]
    distances = table("checks", "Tape checks, mm", columns, rows, width=width)
    signed = table(
        "signed", "", (Column("measured by", Cells.BLANK), Column("date and hour", Cells.BLANK)), [("", "")],
        width=distances.width,
    )  # fmt: skip
    advice = text_block("advice", "", TAPE_ADVICE, distances.width, text_height=TEXT_NOTE)
    return stack_panels("checks", (distances, signed, advice))


def page_heading(
    job: Job, document: str, shares: Sequence[float], width: float, *, page: str, dated: str = "date"
) -> Panel:
    """The strip at the top of a document's page: whose frame, which job, which page.

    `shares` are those of its six fields of the width, `dated` what its date is called.
    """
    said = (
        (document, job.title or "frame"),
        ("number", job.number),
        ("rider", job.rider),
        (dated, job.date),
        ("rev.", job.revision),
        ("page", page),
    )
    fields = [Field(name, value, share) for (name, value), share in zip(said, shares, strict=True)]
    return title_block("heading", [fields], width)


def _default_replaced(frame: Frame) -> bool:
    return any(w.code == "default_replaced" for w in frame.plane.warnings)


def title_panels(frame: Frame, width: float = TITLE_WIDTH, across: float = TABLES_WIDTH) -> dict[str, Panel]:
    """The side view's title block, with what was assumed, and what is too long for it."""
    rows = [*title_rows(frame, SIDE_VIEW), notes_row(frame.job)]
    if frame.plane.sagged is not None:
        rest = ", ".join(f"{words(n)} {_value_text(n, frame.plane.sagged.get(n))}" for n in AT_REST)
        rows.append((Field("drawn without sag; at rest", rest, 1.0),))
    if "geometry.top_tube_slope" in frame.plane.defaults:
        rows.append((Field("assumed", "seat tube length assumed", 1.0),))
    replaced = [n for n in SETTLED if not origin_of(frame.plane, n)] if _default_replaced(frame) else []
    if replaced:
        found = ", ".join(f"{words(n)} {_value_text(n, frame.plane.dimensions.get(n))}" for n in replaced)
        rows.append((Field("calculated from your other numbers, not the default", found, 1.0),))
    return with_continuation(rows, width, across)

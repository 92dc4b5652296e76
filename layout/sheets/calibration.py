"""The calibration page of a medium: what to measure on it, and where to write what was found.

    P +                                        + Q     far crosses, where the paper is large
         :|  y
         :|    How to calibrate
         :|    measure | true | read | read / true
         :|__________  x
        0  :::::::::                                    ruled arms, 200 or as long as fits
    R +                                        + S

It is printed without compensation, long edge (or roll's length) level, so that x lies level
on every medium. Named points stand where a tape is laid: the ends of the arms and the far crosses.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from layout.drafting.cautions import CAUTION_WIDTH, cautions_panel
from layout.drafting.columns import Cells, Column
from layout.drafting.entities import Align, ControlPoint, Drawing, Entity, Line, Text
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.rulers import CORNER, OVERRUN, SHORTEST_UNASKED, TICK_END, calibration_cross
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE, THIN, Layer, Pen
from layout.drafting.tables import table, text_block
from layout.drafting.transform import move
from layout.drafting.vector import Point
from layout.errors import Fault, SheetError
from layout.sheets.border import BAND, FINE_NOTE, SMALL_NOTE, border, sheet_border
from layout.sheets.media import TRUE_PRINTER, Medium, MediumKind
from layout.sheets.page import Page, cut_pages, medium_words, roll_page
from layout.sheets.sheet import Placement, Sheet

RULED = 200.0
"""Length of the ruled arms, mm, where the paper has room for it."""
TENTH = 10.0
ROLL_LENGTH = 640.0
"""Inside the border of a roll's page, mm: far crosses 600 apart, where a tape read to half a
millimetre is good to 0.08 %."""
FAR_LEAST = (450.0, 350.0)
"""Paper with less than this inside its border has no far crosses: the ruled arms are as good."""
FAR_INSET = 20.0
FAR_ARM = 10.0
INSET = 1.0
"""The ruled arms' panel keeps this off the border, mm."""
WORDS_OFF = 14.0
"""From an arm to the blocks between the arms, mm: the names of the axes stand there."""
GUTTER = 5.0
HEIGHTS = ((TEXT_NOTE, TEXT_NOTE), (TEXT_NOTE, SMALL_NOTE), (SMALL_NOTE, SMALL_NOTE), (SMALL_NOTE, FINE_NOTE))
"""Of the words and of the cautions under them: the first that has room."""
_FINE = Pen(THIN)


class Length(NamedTuple):
    """A distance to read between two named points, mm; `axis` x or y where it tells that number."""

    start: str
    end: str
    true: float
    axis: str = ""


def calibration_sheet(medium: Medium) -> Sheet:
    """The calibration page of a medium.

    Raises SheetError (code media) where the paper is too small for arms of 100 and the words.
    """
    page = _page(medium)
    frame = border(page)
    far = frame.width >= FAR_LEAST[0] and frame.height >= FAR_LEAST[1]
    room = frame.grown(-(2 * FAR_INSET if far else INSET))
    arms = _arms(medium, room)
    cross = calibration_cross(*arms, asked=False)
    left, bottom = room.left, room.bottom
    corner = (left + CORNER[0], bottom + CORNER[1])
    points = _arm_points(corner, arms)
    if far:
        points |= _far_points(frame)
    entities = [
        *move(cross.drawing, left, bottom),
        *_named_points(points),
        *_axes(corner, arms, medium),
        *_blocks(medium, corner, arms, room, lengths=_lengths(points)),
    ]
    drawing = Drawing(f"Calibration page, {medium.name}", tuple(entities))
    return Sheet(
        f"calibration-{medium.name}",
        medium.name,
        "drawing",
        width=page.width,
        height=page.height,
        placements=(Placement(drawing, 0.0, 0.0),),
        furniture=sheet_border(page, drawing.title, mark=""),
        stretch=page.stretch,
    )


def _page(medium: Medium) -> Page:
    if medium.kind is MediumKind.ROLL:
        return roll_page(medium, ROLL_LENGTH + 2 * BAND, TRUE_PRINTER)
    return cut_pages(medium, TRUE_PRINTER)[0]


def _arms(medium: Medium, room: Rect) -> tuple[float, float]:
    """How long the level and the upright arm are."""
    beyond = calibration_cross(SHORTEST_UNASKED, asked=False)
    spare = (room.width - beyond.width, room.height - beyond.height)
    arms = tuple(
        min(RULED, SHORTEST_UNASKED + TENTH * math.floor(s / TENTH + 1e-9)) for s in spare
    )
    if min(arms) < SHORTEST_UNASKED:
        raise _too_small(medium)
    return arms[0], arms[1]


def _arm_points(corner: Point, arms: tuple[float, float]) -> dict[str, Point]:
    x, y = corner
    return {"corner": corner, "along_end": (x + arms[0], y), "across_end": (x, y + arms[1])}


def _far_points(frame: Rect) -> dict[str, Point]:
    """Four crosses as far apart as whole tens allow, about the middle of the page."""
    across, up = (
        TENTH * math.floor((size - 2 * FAR_INSET) / TENTH + 1e-9) for size in (frame.width, frame.height)
    )
    (cx, cy), x, y = frame.centre, across / 2, up / 2
    return {"p": (cx - x, cy + y), "q": (cx + x, cy + y), "r": (cx - x, cy - y), "s": (cx + x, cy - y)}


def _lengths(points: dict[str, Point]) -> list[Length]:
    """What to read: the far ones first where there are any, then the ruled arms."""
    rows = [("corner", "along_end", "x"), ("corner", "across_end", "y"), ("along_end", "across_end", "")]
    if "p" in points:
        rows = [("r", "s", "x"), ("r", "p", "y"), ("r", "q", ""), ("p", "s", ""), *rows]
    return [Length(a, b, math.dist(points[a], points[b]), axis) for a, b, axis in rows]


def _named_points(points: dict[str, Point]) -> Iterator[Entity]:
    """The points, each under fine lines that cross there; the far ones lettered."""
    for name, (x, y) in points.items():
        yield ControlPoint(name, (x, y))
        far = len(name) == 1
        back, on = (FAR_ARM, FAR_ARM) if far else (TICK_END, OVERRUN)
        yield Line((x - back, y), (x + on, y), Layer.POINT, _FINE)
        yield Line((x, y - back), (x, y + on), Layer.POINT, _FINE)
        if far:
            yield Text((x + 2.0, y + 2.0), name.upper(), TEXT_TABLE, Layer.SHEET)


def _axes(corner: Point, arms: tuple[float, float], medium: Medium) -> Iterator[Text]:
    """What the two arms are called on this paper."""
    x, y = corner
    along = "roll" if medium.kind is MediumKind.ROLL else "paper's long edge"
    yield Text((x + WORDS_OFF, y + 4.5), f"x: along the {along}", TEXT_TABLE, Layer.SHEET)
    beside = (x + 4.5 + TEXT_TABLE, y + arms[1] / 2)
    yield Text(beside, "y: across", TEXT_TABLE, Layer.SHEET, angle=90.0, align=Align.MIDDLE)


def _blocks(
    medium: Medium, corner: Point, arms: tuple[float, float], room: Rect, lengths: Sequence[Length]
) -> list[Entity]:
    """The words, the table and the cautions between the arms, lettered as large as they fit.

    On a narrow roll the cautions stand beyond the level arm.
    """
    left, bottom = corner[0] + WORDS_OFF, corner[1] + WORDS_OFF
    width = min(room.right, corner[0] + arms[0] + OVERRUN) - left
    height = corner[1] + arms[1] - bottom
    beyond = left + width + GUTTER
    apart = room.right - beyond >= CAUTION_WIDTH
    for size, small in HEIGHTS:
        panels = (
            text_block("how", "How to calibrate", _how(medium, arms), width, text_height=size),
            _readings(lengths, arms, width, size),
        )
        for between in ((*panels, cautions_panel(width, small)), *([panels] if apart else ())):
            if _fits(between, width, height):
                laid = list(_stacked_blocks(between, left, bottom + height))
                if between is panels:
                    laid += _stacked_blocks([cautions_panel(CAUTION_WIDTH, size)], beyond, bottom + height)
                return laid
    raise _too_small(medium)


def _fits(panels: Sequence[Panel], width: float, height: float) -> bool:
    high = sum(p.height + GUTTER for p in panels) - GUTTER
    return high <= height and max(p.width for p in panels) <= width + 1e-6


def _stacked_blocks(panels: Sequence[Panel], left: float, top: float) -> Iterator[Entity]:
    for panel in panels:
        top -= panel.height
        yield from move(panel.drawing, left, top)
        top -= GUTTER


def _how(medium: Medium, arms: tuple[float, float]) -> tuple[str, ...]:
    example = format_number(arms[0] * 1.003, 1)
    return (
        f"In the print dialogue choose the paper {medium_words(medium)} and 100 %, also called actual size. "
        "Never choose fit, shrink to printable area, or borderless.",
        "Let the paper settle for an hour. Measure each length below, with the tape that you will use, "
        "between the middles of the lines. Divide by the true length: "
        f"{example} mm for {format_number(arms[0], 1)} mm is {format_number(1.003, 4)}. "
        "Use the longest length in each direction.",
        "Write printer: {x: 1.0000, y: 1.0000} with your numbers in the frame's file, or in a file for "
        "--printer.",
        "More than 2 % off: the print dialogue has scaled the page; print again at 100 %. Sides right but "
        "diagonal wrong: the print is skewed; no number corrects that.",
    )


def _readings(lengths: Sequence[Length], arms: tuple[float, float], width: float, size: float) -> Panel:
    columns = (
        Column("measure"),
        Column("true", Cells.NUMBER, share=0.0),
        Column("read", Cells.BLANK),
        Column("read / true", Cells.BLANK),
    )
    rows = [(_length_text(row, arms), format_number(row.true, 1), "", "") for row in lengths]
    return table("readings", "", columns, rows, text_height=size, width=width)


def _length_text(row: Length, arms: tuple[float, float]) -> str:
    """A length as the table names it."""
    marks = {
        "corner": "0",
        "along_end": f"{format_number(arms[0], 0)} along",
        "across_end": f"{format_number(arms[1], 0)} across",
    }
    ends = f"{marks.get(row.start, row.start.upper())} to {marks.get(row.end, row.end.upper())}"
    return f"{row.axis}: {ends}" if row.axis else f"diagonal: {ends}"


def _too_small(medium: Medium) -> SheetError:
    message = f"{medium_words(medium)} is too small for a calibration page; take a4 or letter, or larger"
    return SheetError(Fault(message, code="media", key="media"))

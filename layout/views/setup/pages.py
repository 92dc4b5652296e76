"""The setup sheet: two upright pages for the bench, in the order of the work.

    page 1   sketch with numbers | where the points lie      page 2   cut list
             settings in order, values 10 high, room to read          stock, mitre order | fittings,
             gauge and jig in a few words                             clearances, cautions

Each page is a Drawing within 0, 0 and the room it is given; nothing on it is to be measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product

from layout.bench.cut_list import MITRE_NOTES
from layout.bench.settings import Setting
from layout.drafting.entities import Drawing, Entity
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import Field, text_block, title_block
from layout.drafting.transform import moved
from layout.drafting.vector import bearing
from layout.views.panels import CAUTIONS
from layout.views.setup.panels import (
    Work,
    blocks_panel,
    clearance_panel,
    cut_panel,
    fittings_panel,
    order_words,
    places_panel,
)
from layout.views.setup.rows import settings_panel
from layout.views.setup.sketch import sketch_panel

GUTTER = 4.0
SKETCH_SHARE = 0.46
"""Of the width: the sketch; the table of points has the rest."""
SKETCH_HEIGHTS = (42.0, 72.0)
"""The sketch takes what room the settings leave, within these."""
LEFT_SHARE = 0.38
"""Of the width: the left column of the second page."""
LEAN_SHOWN = 0.05
"""A line through the axles that leans less than this, degrees, is level to a gauge."""
SHEET_CAUTIONS = CAUTIONS[1:]
"""The first is about scale: nothing is to scale here."""

JIG_NOTES = (
    "Zero the gauge on the base; turned end for end it must read the same. Check every setting before "
    "tacking. Tapered head tube: gauge on a straight bar through it."
)
PLATE_NOTES = (
    "No jig: tape the drawing flat on the plate, stand the shell on its face over the BB cross, raise each "
    "tube on its block with its axis over its line. Angles by bevel from the BB level line."
)
UNEQUAL = "Do not level by a bar across the axles: it leans {0}° when the frame is right."


def pages(work: Work, width: float, height: float) -> tuple[Drawing, ...]:
    """The pages, each within `width` x `height` mm, with as many as the contents take."""
    first, noted = _first_page(work, width, height)
    rest = _flowed(work, width, height, MITRE_NOTES if noted else (*_first_notes(work), *MITRE_NOTES))
    count = len(first) + len(rest)
    drawn = []
    for number, placed in enumerate((*first, *rest), 1):
        head = heading(work, number, count, width)
        entities = [*moved(head.drawing, 0.0, height - head.height), *placed]
        drawn.append(Drawing(f"setup {number}", tuple(entities)))
    return tuple(drawn)


def heading(work: Work, page: int, count: int, width: float) -> Panel:
    """The strip at a page's top: whose frame, which job, which page."""
    job = work.frame.job
    fields = [
        Field("setup sheet", job.title or "frame", 0.33),
        Field("number", job.number, 0.13),
        Field("rider", job.rider, 0.21),
        Field("date", job.date, 0.16),
        Field("rev.", job.revision, 0.07),
        Field("page", f"{page} of {count}", 0.1),
    ]
    return title_block("heading", [fields], width)


def _first_page(work: Work, width: float, height: float) -> tuple[list[list[Entity]], bool]:
    """Sketch and points on top, the settings under them; the notes at the foot, and whether they had room.

    Settings that have no room go on pages of their own, numbered on.
    """
    top = height - heading(work, 1, 1, width).height - GUTTER
    listed = _listed(work)
    jig = any(s.scale is not None for s in listed)
    foot = text_block("notes", "", _first_notes(work), width, TEXT_NOTE)
    spare = top - settings_panel(listed, width, jig).height - foot.height - 2 * GUTTER
    band, entities = _band(work, listed, width, top, spare)
    y = top - band - GUTTER
    sheets: list[list[Entity]] = []
    done = 0
    while done < len(listed):
        rows = _rows_within(listed[done:], width, y, jig)
        y -= rows[1].height
        entities.extend(moved(rows[1].drawing, 0.0, y))
        done += rows[0]
        sheets.append(entities)
        if done < len(listed):
            entities, y = [], top
    fits = foot.height <= y - GUTTER
    if fits:
        sheets[-1].extend(moved(foot.drawing, 0.0, y - GUTTER - foot.height))
    return sheets, fits


def _rows_within(found: Sequence[Setting], width: float, room: float, jig: bool) -> tuple[int, Panel]:
    """As many settings from the front as fit, at least one, as a panel."""
    for count in range(len(found), 1, -1):
        panel = settings_panel(found[:count], width, jig)
        if panel.height <= room:
            return count, panel
    return 1, settings_panel(found[:1], width, jig)


def _band(
    work: Work, listed: Sequence[Setting], width: float, top: float, spare: float
) -> tuple[float, list[Entity]]:
    """The sketch, and beside it where the points lie and, on a plate, the blocks; how high that is."""
    beside = (1.0 - SKETCH_SHARE) * width - GUTTER
    panels = [places_panel(work, beside)]
    if work.frame.model.jig.is_plate:
        panels.append(blocks_panel(work, beside))
    least, most = SKETCH_HEIGHTS
    band = max(min(most, spare), least, sum(p.height + GUTTER for p in panels) - GUTTER)
    sketch = sketch_panel(work.frame, listed, SKETCH_SHARE * width, band)
    entities = list(moved(sketch.drawing, 0.0, top - band))
    y = top
    for panel in panels:
        y -= panel.height
        entities.extend(moved(panel.drawing, width - beside, y))
        y -= GUTTER
    return band, entities


def _listed(work: Work) -> list[Setting]:
    """The settings that have a row."""
    return [s for s in work.settings if s.number is not None]


def _first_notes(work: Work) -> list[str]:
    return [PLATE_NOTES] if work.frame.model.jig.is_plate else [" ".join((JIG_NOTES, *_leaning(work)))]


def _leaning(work: Work) -> list[str]:
    """What to say where the two axles are at different heights."""
    lean = abs(bearing(work.frame.plane.points["rear_axle"], work.frame.plane.points["front_axle"]))
    return [UNEQUAL.format(format_number(lean, 1))] if lean >= LEAN_SHOWN else []


def _flowed(work: Work, width: float, height: float, notes: Sequence[str]) -> list[list[Entity]]:
    """Everything after the settings: the cut list, then two columns, on one page if there is a way.

    What the columns have no room for goes across under both where that takes less height.
    """
    top = height - heading(work, 2, 2, width).height - GUTTER
    full = [cut_panel(work, width), text_block("mitring", "", [*notes, order_words(work)], width, TEXT_NOTE)]
    entities: list[Entity] = []
    y = top
    for panel in full:
        entities.extend(moved(panel.drawing, 0.0, y - panel.height))
        y -= panel.height + GUTTER
    sheets = [entities]
    blocks = list(_blocks(work, width))
    while blocks:
        fresh = len(sheets) > 1
        count, drawn, left = _in_columns(blocks, width, y, at_least=1 if fresh else 0)
        sheets[-1].extend(drawn)
        blocks = blocks[count:]
        while blocks and (across := blocks[0](width)).height <= left:
            sheets[-1].extend(moved(across.drawing, 0.0, left - across.height))
            left -= across.height + GUTTER
            blocks = blocks[1:]
        if blocks:
            sheets.append([])
            y = top
    return sheets


_Block = Callable[[float], Panel]


def _blocks(work: Work, full: float) -> Iterator[_Block]:
    """What fills the columns, in the order of the work, each for the width it gets, at most `full`."""
    if work.frame.fittings:
        yield lambda width: fittings_panel(work, width)
    if work.clearances:
        yield lambda width: clearance_panel(work, width)
    yield lambda width: _cautions(width) if width < full else _cautions_across(width)


def _cautions(width: float) -> Panel:
    return text_block("cautions", "Cautions", SHEET_CAUTIONS, width)


def _cautions_across(width: float) -> Panel:
    """The same without a line for the title, for the foot of a page."""
    first, *rest = SHEET_CAUTIONS
    return text_block("cautions", "", [f"Cautions: {first[:1].lower()}{first[1:]}", *rest], width)


def _in_columns(
    blocks: Sequence[_Block], width: float, room: float, at_least: int
) -> tuple[int, list[Entity], float]:
    """As many blocks from the front as two columns `room` high hold, where they go, and the room under both.

    Every way of dealing them to the narrow and the wide column is tried, most blocks first; of
    several ways the one that takes the least height in all, since its cells wrap least.
    """
    left = LEFT_SHARE * width
    places = ((0.0, left), (left + GUTTER, width - left - GUTTER))
    built = [[block(w) for _, w in places] for block in blocks]
    for count in range(len(blocks), 0, -1):
        ways = [_dealt(built[:count], sides) for sides in product((0, 1), repeat=count)]
        fitting = [way for way in ways if max(map(_height, way)) <= room or count == at_least]
        if fitting:
            best = min(fitting, key=lambda way: sum(map(_height, way)))
            left_over = room - max(map(_height, best)) - GUTTER
            return count, list(_stacked(best, [x for x, _ in places], room)), left_over
    return 0, [], room


_Columns = tuple[list[Panel], list[Panel]]


def _dealt(built: Sequence[Sequence[Panel]], sides: Sequence[int]) -> _Columns:
    columns: _Columns = ([], [])
    for panels, side in zip(built, sides, strict=True):
        columns[side].append(panels[side])
    return columns


def _height(column: Sequence[Panel]) -> float:
    return sum(p.height + GUTTER for p in column) - GUTTER


def _stacked(columns: Sequence[Sequence[Panel]], lefts: Sequence[float], top: float) -> Iterator[Entity]:
    for x, panels in zip(lefts, columns, strict=True):
        y = top
        for panel in panels:
            y -= panel.height
            yield from moved(panel.drawing, x, y)
            y -= GUTTER

"""The setup sheet: two upright pages for the bench, in the order of the work.

    page 1   sketch with numbers | where the points lie      page 2   cut list
             settings in order, values 10 high, room to read          stock, mitre order | fittings,
             gauge and jig in a few words                             clearances, cautions

Each page is a Drawing within 0, 0 and the room it is given; nothing on it is to be measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import product

from layout.bench.cut_list import MITRE_NOTES
from layout.bench.settings import Setting
from layout.drafting.cautions import cautions_across, cautions_panel
from layout.drafting.entities import Drawing
from layout.drafting.flow import GUTTER, Flow, HeadedPages, Stack
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import text_block
from layout.drafting.vector import bearing
from layout.views.panels import page_heading
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

HEADING_SHARES = (0.33, 0.13, 0.21, 0.16, 0.07, 0.1)
"""Of the width, the fields of a page's heading."""
SKETCH_SHARE = 0.46
"""Of the width: the sketch; the table of points has the rest."""
SKETCH_HEIGHTS = (42.0, 72.0)
"""The sketch takes what room the settings leave, within these."""
LEFT_SHARE = 0.38
"""Of the width: the left column of the second page."""
LEAN_SHOWN = 0.05
"""A line through the axles that leans less than this, degrees, is level to a gauge."""
SMALL_CAUTION = 2.5
"""The cautions where a page has no room for more: no page holds them alone."""

JIG_NOTES = (
    "Zero the gauge on the base. Turn it end for end: it must read the same. Check every setting before "
    "tacking. Tapered head tube: gauge on a straight bar through the tube."
)
PLATE_NOTES = (
    "Without a jig: fix the drawing flat on the plate. Stand the shell on its face over the BB cross. Put "
    "each tube on its block, its axis over its line. Set angles with a bevel from the BB level line."
)
UNEQUAL = "Do not level by a bar across the axles: the bar leans {0}° on a correct frame."


def pages(work: Work, width: float, height: float) -> tuple[Drawing, ...]:
    """The pages, each within `width` x `height` mm, with as many as the contents take."""
    paper = HeadedPages("setup", width, height, partial(_heading, work, width))
    flow = paper.flow()
    noted, cautioned = _to_set(work, flow)
    flow.turn()
    notes = MITRE_NOTES if noted else (*_first_notes(work), *MITRE_NOTES)
    _to_cut(work, flow, notes, cautioned=cautioned)
    return paper.drawings(flow)


def _heading(work: Work, width: float, page: int, count: int) -> Panel:
    said = f"{page} of {count}"
    return page_heading(work.frame.job, "setup sheet", HEADING_SHARES, width, page=said)


def _to_set(work: Work, flow: Flow) -> tuple[bool, bool]:
    """Sketch and points on top, the settings under them, notes and cautions at the foot.

    Comes back with whether the notes had room, and whether the cautions had it without shrinking the sketch
    below its least.
    Settings that have no room go on pages of their own, numbered on.
    """
    listed = _listed_settings(work)
    built = partial(settings_panel, width=flow.width, jig=any(s.scale is not None for s in listed))
    foot = text_block("notes", "", _first_notes(work), flow.width, text_height=TEXT_NOTE)
    cautions = cautions_across(flow.width)
    spare = flow.room - built(listed).height - foot.height - 2 * GUTTER
    under = cautions.height + GUTTER
    cautioned = spare - under >= _band_height(_beside_sketch(work, flow.width))
    _put_band(work, listed, flow, spare - under if cautioned else spare)
    flow.add_rows(listed, built)
    fits = flow.fits(foot)
    if fits:
        flow.put(foot)
    cautioned = flow.fits(cautions)
    if cautioned:
        flow.put(cautions)
    return fits, cautioned


def _beside_sketch(work: Work, width: float) -> list[Panel]:
    """What stands beside the sketch."""
    beside = (1.0 - SKETCH_SHARE) * width - GUTTER
    blocks = [blocks_panel(work, beside)] if work.frame.model.jig.is_plate else []
    return [places_panel(work, beside), *blocks]


def _band_height(panels: Sequence[Panel]) -> float:
    """The least height of the sketch and what stands beside it."""
    return max(SKETCH_HEIGHTS[0], sum(p.height + GUTTER for p in panels) - GUTTER)


def _put_band(work: Work, listed: Sequence[Setting], flow: Flow, spare: float) -> None:
    """The sketch, and beside it where the points lie and, on a plate, the blocks."""
    width = flow.width
    panels = _beside_sketch(work, width)
    height = max(min(SKETCH_HEIGHTS[1], spare), _band_height(panels))
    sketch = sketch_panel(work.frame, listed, SKETCH_SHARE * width, height)
    flow.put_beside([(0.0, [sketch]), (width - panels[0].width, panels)], height)


def _listed_settings(work: Work) -> list[Setting]:
    """The settings that have a row."""
    return [s for s in work.settings if s.number is not None]


def _first_notes(work: Work) -> list[str]:
    return [PLATE_NOTES] if work.frame.model.jig.is_plate else [" ".join((JIG_NOTES, *_leaning(work)))]


def _leaning(work: Work) -> list[str]:
    """What to say where the two axles are at different heights."""
    lean = abs(bearing(work.frame.plane.points["rear_axle"], work.frame.plane.points["front_axle"]))
    return [UNEQUAL.format(format_number(lean, 1))] if lean >= LEAN_SHOWN else []


def _to_cut(work: Work, flow: Flow, notes: Sequence[str], cautioned: bool) -> None:
    """Everything after the settings: the cut list, then two columns, on one page if there is a way.

    What the columns have no room for goes across under both where that takes less height.
    """
    width = flow.width
    flow.put(cut_panel(work, width))
    flow.put(text_block("mitring", "", [*notes, order_words(work)], width, text_height=TEXT_NOTE))
    blocks = list(_blocks(work, width, cautioned))
    while blocks:
        count, columns = _in_columns(blocks, width, flow.room, at_least=1 if flow.fresh else 0)
        if columns:
            flow.put_beside(columns, max(_height(panels) for _, panels in columns))
        blocks = blocks[count:]
        if len(blocks) == 1 and not cautioned and flow.fits(small := cautions_across(width, SMALL_CAUTION)):
            flow.put(small)
            return
        while blocks and flow.fits(across := blocks[0](width)):
            flow.put(across)
            blocks = blocks[1:]
        if blocks:
            flow.turn()


_Block = Callable[[float], Panel]


def _blocks(work: Work, full: float, cautioned: bool) -> Iterator[_Block]:
    """What fills the columns, in the order of the work, each for the width it gets, at most `full`.

    The cautions are left out where they stand on a page already.
    """
    if work.frame.fittings:
        yield lambda width: fittings_panel(work, width)
    if work.clearances:
        yield lambda width: clearance_panel(work, width)
    if not cautioned:
        yield lambda width: cautions_panel(width) if width < full else cautions_across(width)


def _in_columns(
    blocks: Sequence[_Block], width: float, room: float, at_least: int
) -> tuple[int, list[Stack]]:
    """As many blocks from the front as two columns `room` high hold, and the two columns.

    Every way of dealing them to the narrow and the wide column is tried, most blocks first; of
    several ways the one that takes the least height in all, since its cells wrap least.
    """
    left = LEFT_SHARE * width
    places = ((0.0, left), (left + GUTTER, width - left - GUTTER))
    built = [[block(w) for _, w in places] for block in blocks]
    for count in range(len(blocks), 0, -1):
        ways = [_deal_blocks(built[:count], sides) for sides in product((0, 1), repeat=count)]
        fitting = [way for way in ways if max(map(_height, way)) <= room or count == at_least]
        if fitting:
            best = min(fitting, key=lambda way: sum(map(_height, way)))
            return count, [(x, panels) for panels, (x, _) in zip(best, places, strict=True)]
    return 0, []


_Columns = tuple[list[Panel], list[Panel]]


def _deal_blocks(built: Sequence[Sequence[Panel]], sides: Sequence[int]) -> _Columns:
    columns: _Columns = ([], [])
    for panels, side in zip(built, sides, strict=True):
        columns[side].append(panels[side])
    return columns


def _height(column: Sequence[Panel]) -> float:
    return sum(p.height + GUTTER for p in column) - GUTTER

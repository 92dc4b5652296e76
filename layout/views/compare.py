"""Two frames over each other at true scale, bottom brackets together: the first dashed, the second solid.

The first is the rider's old frame, say, the second the new one. Both head the way the second
does. At each main point the note says how far the second's lies from the first's, ahead and up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from layout.drafting.calls import NoteCall
from layout.drafting.cautions import CAUTION_WIDTH, cautions_across, cautions_panel
from layout.drafting.columns import Cells, Column, rows_in_halves
from layout.drafting.entities import Circle, DatumLine, Drawing, Entity, Line, Polyline
from layout.drafting.flow import HeadedPages
from layout.drafting.numbers import format_number
from layout.drafting.obstacles import HARD
from layout.drafting.panel import Panel
from layout.drafting.panel_pages import PanelPages
from layout.drafting.placer import PlacedCalls, place
from layout.drafting.rooms import Rooms
from layout.drafting.rulers import calibration_cross
from layout.drafting.scene import Group, scene, squares
from layout.drafting.style import SCRIBE, TEXT_NOTE, TEXT_TABLE, THIN, Layer, Pattern, Pen
from layout.drafting.tables import Field, smaller, table, title_block
from layout.drafting.vector import Point
from layout.drafting.view import PagedView, View
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.views.crosses import control_points, crosses
from layout.views.panels import CROSS_LENGTH
from layout.views.panels import GUTTER as PANEL_GUTTER
from layout.views.side.plan import Plan, plan
from layout.views.side.strokes import adjacent_parts
from layout.views.side.tubes import tubes
from layout.views.title import TITLE_WIDTH, Row, title_rows, with_continuation

"""A frame and its tubes as they lie in space."""
FIRST = "first_"
"""Before the names of the first frame's points; the second's keep their own."""
COMPARED = (
    "bb", "rear_axle", "front_axle", "head_tube_bottom", "head_tube_top", "seat_tube_top",
    "top_tube_at_head", "top_tube_at_seat", "down_tube_at_head", "crown_race",
)  # fmt: skip
NOTED = ("rear_axle", "front_axle", "head_tube_bottom", "head_tube_top", "seat_tube_top")
RIDDEN = ("saddle", "bar")
ARM = 12.0
"""Half a cross's arms, mm."""
CLEAR = 5.0
"""Half the square round a cross that lettering keeps off."""
DASHED = Pen(SCRIBE, Pattern.DASHED)
"""The first frame's tubes."""
LIGHT_DASHES = Pen(THIN, Pattern.DASHED)
"""Its wheels, where the second's are double-dotted."""
LINE_PRICE = 20.0
ROWS_A_PAGE = 36
"""Rows of 3.5 lettering that stand under each other on an upright A4 page."""
DECIMALS = {"mm": 1, "deg": 2}
SAME = {"mm": 0.05, "deg": 0.005}
"""Differences under half of what is shown."""


class Difference(NamedTuple):
    """One dimension of both frames, mm or degrees; None where a frame does not determine it."""

    name: str
    unit: str
    first: float | None
    second: float | None

    @property
    def difference(self) -> float | None:
        """Second less first."""
        return None if self.first is None or self.second is None else self.second - self.first

    @property
    def cells(self) -> tuple[str, str, str]:
        """Both values and the difference with its sign, as shown; nothing where there is none."""
        decimals = DECIMALS[self.unit]

        def shown(value: float | None) -> str:
            return "" if value is None else format_number(value, decimals)

        off = self.difference
        same = off is None or abs(off) < SAME[self.unit]
        sign = "+" if off is not None and off > 0 else ""
        return shown(self.first), shown(self.second), "" if same else sign + shown(off)


def differences(first: Frame, second: Frame) -> tuple[Difference, ...]:
    """Every dimension that either frame determines, in the registry's order."""
    return tuple(
        Difference(name, found.unit, first.plane.dimensions[name], second.plane.dimensions[name])
        for name, found in REGISTRY.items()
        if first.plane.dimensions[name] is not None or second.plane.dimensions[name] is not None
    )


def overlay(first: Frame, second: Frame) -> View:
    """Both frames on the BB centre at true scale; the wheels give way where there is no room."""
    view, _ = _overlay(first, second, None)
    return view


def _overlay(first: Frame, second: Frame, rooms: Rooms | None) -> tuple[View, tuple[str, ...]]:
    """The view, and the notes that found no place; `rooms` where pages join."""
    new, old = plan(second), plan(replace(first, heading=second.heading))
    solid, dashed = list(_outlines(new)), [_dashed_stroke(e) for e in _outlines(old)]
    here, there = (_shown_points(p, rooms) for p in (new, old))
    marks = [*crosses(here.values(), ARM), *(_dashed_stroke(e) for e in crosses(there.values(), ARM))]
    placed = _notes(old, new, [*solid, *dashed], marks, rooms=rooms)
    levels = (
        DatumLine(new["bb"], 0.0, "BB level"),
        DatumLine(new["bb"], 90.0, "BB plumb"),
    )
    points = (*control_points(there, FIRST), *control_points(here))
    core = (*levels, *dashed, *solid, *placed.entities, *marks, *points)
    around = (*(_light_dashes(e) for e in adjacent_parts(old)), *adjacent_parts(new))
    held = (*dashed, *solid, *(p for p in points if p.name.removeprefix(FIRST) not in RIDDEN))
    view = View(
        Drawing(title(first, second), core),
        tuple((e,) for e in around),
        held,
        partial(_on_pages, first, second),
    )
    return view, placed.crowded


def _on_pages(first: Frame, second: Frame, rooms: Rooms) -> PagedView:
    return PagedView(*_overlay(first, second, rooms))


def overlay_tables(
    first: Frame,
    second: Frame,
    names: tuple[str, str],
    width: float,
    height: float,
    *,
    lost: Sequence[str],
    taken: float = 0.0,
) -> tuple[Drawing, ...]:
    """The overlay's panels on pages of `width` x `height` mm, with the notes that are not drawn.

    `taken` mm at the left of the first page are another's.
    """
    pages = PanelPages(width, height, taken)
    room, flow = pages.column, pages.flow
    rows = _title_rows(first, second, names)
    for panel in with_continuation(rows, min(TITLE_WIDTH, room), min(TITLE_WIDTH, room)).values():
        flow.add(panel)
    flow.add(cautions_panel(min(CAUTION_WIDTH, room)))
    made = partial(_table, names=names, width=room)
    flow.add_rows(differences(first, second), made)
    pages.add_lost(lost)
    return pages.drawings()


def panels(first: Frame, second: Frame, names: tuple[str, str]) -> Mapping[str, Panel]:
    """The blocks beside the overlay, by the names a sheet arranges them by."""
    return {
        "calibration": calibration_cross(CROSS_LENGTH),
        "dimensions": _wide_table(differences(first, second), names),
        "cautions": cautions_panel(),
        **with_continuation(_title_rows(first, second, names), TITLE_WIDTH, TITLE_WIDTH),
    }


def table_pages(
    first: Frame, second: Frame, names: tuple[str, str], width: float, height: float
) -> tuple[Drawing, ...]:
    """The table on pages of its own, each within `width` x `height` mm."""
    paper = HeadedPages("table", width, height, partial(_heading, first, second, names, width))
    flow = paper.flow()
    flow.add_rows(differences(first, second), partial(_table, names=names, width=width), ROWS_A_PAGE)
    flow.add(cautions_across(width, smaller(TEXT_NOTE)))
    return paper.drawings(flow)


def _heading(
    first: Frame, second: Frame, names: tuple[str, str], width: float, page: int, count: int
) -> Panel:
    """The strip at a page's top."""
    fields = [
        Field("first, dashed", first.job.title or names[0], 0.4),
        Field("second, solid", second.job.title or names[1], 0.4),
        Field("date", second.job.date, 0.2),
        Field("page", f"{page} of {count}", 0.12),
    ]
    return title_block("heading", [fields], width)


def title(first: Frame, second: Frame) -> str:
    """What the overlay is called."""
    return f"{first.job.title or 'first'} against {second.job.title or 'second'}"


def _outlines(p: Plan) -> Iterator[Entity]:
    yield from tubes(p)
    yield Line(p["crown_race"], p["fork_foot"], Layer.CENTRE)
    yield Line(p["fork_foot"], p["front_axle"], Layer.CENTRE)


def _dashed_stroke(e: Entity) -> Entity:
    """A stroke of the first frame."""
    if isinstance(e, Line | Circle | Polyline):
        layer = Layer.HIDDEN if e.layer in (Layer.OUTLINE, Layer.CENTRE) else e.layer
        return replace(e, layer=layer, pen=DASHED)
    return e


def _light_dashes(e: Entity) -> Entity:
    """A wheel of the first frame: as thin as the second's."""
    dashed = _dashed_stroke(e)
    return replace(dashed, pen=LIGHT_DASHES) if isinstance(dashed, Line | Circle | Polyline) else dashed


def _name_point(p: Plan) -> dict[str, Point]:
    return {n: p[n] for n in (*COMPARED, *RIDDEN) if p.has(n)}


def _shown_points(p: Plan, rooms: Rooms | None) -> dict[str, Point]:
    """The points with a cross; where pages join, saddle and bar only where no seam runs by them."""
    points = _name_point(p)
    return {n: at for n, at in points.items() if rooms is None or n not in RIDDEN or rooms.clear(at)}


def _notes(
    old: Plan, new: Plan, outlines: Sequence[Entity], marks: Sequence[Entity], *, rooms: Rooms | None
) -> PlacedCalls:
    """How far each main point of the second frame lies from the first's."""
    obstacles: list[Group] = [(outlines, HARD), (marks, HARD)]
    for p in (old, new):
        obstacles += [(squares(_name_point(p).values(), CLEAR), HARD), (list(adjacent_parts(p)), LINE_PRICE)]
    calls = []
    for n in (*NOTED, *RIDDEN):
        if old.has(n) and new.has(n):
            calls.append(NoteCall(_note(n, old[n], new[n], new.forward), new[n], TEXT_TABLE))
        elif old.has(n) or new.has(n):
            which, at = ("first", old[n]) if old.has(n) else ("second", new[n])
            calls.append(NoteCall(f"{words(n)} of the {which}", at, TEXT_TABLE))
    return place(calls, scene(obstacles), rooms=rooms)


def _note(name: str, old: Point, new: Point, forward: float) -> str:
    ahead, up = forward * (new[0] - old[0]), new[1] - old[1]
    if max(abs(ahead), abs(up)) < SAME["mm"]:
        return f"{words(name)}: the same"
    return f"{words(name)}: {_signed_text(ahead)} ahead, {_signed_text(up)} up"


def _signed_text(value: float) -> str:
    shown = format_number(value, 1)
    return f"+{shown}" if value > 0 and shown != "0.0" else shown


def _wide_table(found: Sequence[Difference], names: tuple[str, str]) -> Panel:
    """The table in two columns, as wide as the blocks under it."""
    body = rows_in_halves([(words(d.name), *d.cells) for d in found])
    width = TITLE_WIDTH + CAUTION_WIDTH + PANEL_GUTTER
    columns = _columns(("1st", "2nd"))
    said = f"1st, dashed: {names[0]}; 2nd, solid: {names[1]}"
    return table("dimensions", said, (*columns, *columns), body, text_height=TEXT_NOTE, width=width)


def _table(found: Sequence[Difference], names: tuple[str, str], width: float) -> Panel:
    rows = [(words(d.name), *d.cells) for d in found]
    return table("dimensions", "", _columns(names), rows, text_height=TEXT_NOTE, width=width)


def _columns(names: tuple[str, str]) -> tuple[Column, ...]:
    return (
        Column("mm and °", share=2.0),
        Column(names[0], Cells.NUMBER),
        Column(names[1], Cells.NUMBER),
        Column("change", Cells.NUMBER),
    )


def _title_rows(first: Frame, second: Frame, names: tuple[str, str]) -> list[Row]:
    """The second frame's, with the titles, numbers and marks of both."""
    both = (("first, dashed", first, names[0]), ("second, solid", second, names[1]))
    (_, owner, _), (document, _, rider), signed, about = title_rows(second, "two frames on the BB centre")
    return [
        *(
            (
                Field(said, frame.job.title or name, 0.5),
                Field("number", frame.job.number, 0.2),
                Field("frame mark", frame.mark, 0.3),
            )
            for said, frame, name in both
        ),
        (document, owner, rider),
        signed,
        about,
    ]

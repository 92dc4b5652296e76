"""The rear end's sheet: the plan, the seat stays above it, and the table of gaps beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import partial
from typing import NamedTuple

from layout.bench.tape import TapeCheck
from layout.drafting.bounds import box_of
from layout.drafting.cautions import CAUTION_WIDTH, cautions_panel
from layout.drafting.entities import Drawing, Text
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.rooms import Rooms
from layout.drafting.rulers import calibration_cross
from layout.drafting.style import TEXT_NOTE, TEXT_TABLE
from layout.drafting.tables import Cells, Column, table, text_block
from layout.drafting.transform import move
from layout.drafting.view import PagedView, View
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.clearance import MUDGUARD_GAP, TYRE_GAP, WANTED
from layout.geometry.space.roles import CHAIN_STAY
from layout.views.panels import tape_panel
from layout.views.rear.bends import draft_bends
from layout.views.rear.checks import checks, with_point_words
from layout.views.rear.parts import past_axle
from layout.views.rear.plan import draft_plan
from layout.views.rear.stays import draft_stays
from layout.views.title import TITLE_WIDTH, title_rows, with_continuation

BETWEEN = 30.0
"""Between the two views, on paper."""
TITLE_ABOVE = 8.0
CROSS_LENGTH = 150.0
DOCUMENT = "rear end in plan, seat stays in true shape"


class RearSheet(NamedTuple):
    """The sheet's view, panels and tape checks, and the callouts that found no clean place."""

    view: View
    panels: Mapping[str, Panel]
    checks: tuple[TapeCheck, ...]
    crowded: tuple[str, ...]


def draft_rear(frame: Frame) -> RearSheet:
    """Draft the rear end of a frame in space."""
    view, crowded = _view(frame, None)
    tape = checks(view.core.points())
    table = tape_panel([with_point_words(c) for c in tape])
    return RearSheet(view, {**_panels(frame), "checks": table}, tape, crowded)


def _view(frame: Frame, rooms: Rooms | None) -> tuple[View, tuple[str, ...]]:
    """Both parts over each other and the callouts without a place; `rooms` where pages join.

    Each part's callouts keep to its own levels: parts are placed one by one.
    """
    plan, stays = draft_plan(frame), draft_stays(frame)
    low, high = box_of(plan.entities), box_of(stays.entities)
    up = low.top + TITLE_ABOVE + BETWEEN - high.bottom
    across = -frame.forward * past_axle(frame, CHAIN_STAY)[1]
    bends = draft_bends(frame)
    down = low.bottom - BETWEEN
    floor, ceiling = low.bottom - BETWEEN / 2, low.top + TITLE_ABOVE / 2
    if rooms is not None:
        plan = draft_plan(frame, rooms.between(floor if bends else -math.inf, ceiling))
        above = rooms.between(ceiling + TITLE_ABOVE + TEXT_TABLE, math.inf)
        stays = draft_stays(frame, above.moved(-across, -up))
    if bends is not None and rooms is not None:
        bends = draft_bends(frame, rooms.between(-math.inf, floor).moved(-across, -down))
    titles = (
        Text((low.left, low.top + TITLE_ABOVE), "Chain stays, in their own plane, from above", TEXT_TABLE),
        Text(
            (low.left, high.top + up + TITLE_ABOVE), "Seat stays, in their own plane, from above", TEXT_TABLE
        ),
    )
    shown = (t for t in titles if rooms is None or rooms.whole(box_of([t])))
    entities = (*plan.entities, *(move(e, across, up) for e in stays.entities), *shown)
    held = (*plan.held, *(move(e, across, up) for e in stays.held))
    if bends is not None:
        entities += tuple(move(e, across, down) for e in bends.entities)
        held += tuple(move(e, across, down) for e in bends.held)
    title = Drawing(frame.job.title or DOCUMENT, entities)
    view = View(title, (), held, partial(_on_pages, frame))
    return view, (*plan.crowded, *stays.crowded, *(() if bends is None else bends.crowded))


def _on_pages(frame: Frame, rooms: Rooms) -> PagedView:
    view, lost = _view(frame, rooms)
    return PagedView(view, tuple(map(words, lost)))


def _panels(frame: Frame) -> dict[str, Panel]:
    gaps = _gap_table(frame)
    tyres = text_block("tyres", "", list(_tyre_words(frame)), gaps.width, text_height=TEXT_NOTE)
    return {
        "calibration": calibration_cross(CROSS_LENGTH),
        "dimensions": stack_panels("gaps", (gaps, tyres)),
        "cautions": cautions_panel(),
        **with_continuation(title_rows(frame, DOCUMENT), TITLE_WIDTH, TITLE_WIDTH),
    }


def _gap_table(frame: Frame) -> Panel:
    columns = (
        Column("between", share=2.0), Column("and"), Column("is", Cells.NUMBER),
        Column("least", Cells.NUMBER), Column("source", share=2.0),
    )  # fmt: skip
    body = [
        (words(g.tube), g.part, format_number(g.value, 1), format_number(WANTED[g.part].least, 1),
         WANTED[g.part].reason + (": TOO LITTLE" if g.value < WANTED[g.part].least else ""))
        for g in frame.clearances.gaps
    ]  # fmt: skip
    return table("gaps", "Least gaps, mm", columns, body, text_height=TEXT_NOTE, width=CAUTION_WIDTH + 30.0)


def _tyre_words(frame: Frame) -> Iterator[str]:
    if frame.around.tyre is None:
        yield "Tyre: width not given, so no tyre gaps."
    if frame.around.radius_of is None:
        yield "Largest tyre: not known for a wheel without a marking."
        return
    for said, width, gap in (
        ("without mudguard", frame.clearances.widest, TYRE_GAP),
        ("with mudguard", frame.clearances.widest_with_mudguard, MUDGUARD_GAP),
    ):
        room = f"{format_number(gap, 0)} mm all round"
        if width is None:
            yield f"Largest tyre {said} ({room}): none on this rim."
        else:
            yield f"Largest tyre {said} ({room}): {format_number(float(int(width)), 0)} mm wide."
    yield "Mudguard, chainring and crank clearances: common practice."

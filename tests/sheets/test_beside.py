"""Map and tables in free room of large sheets: blocks, and whole sheets of small frames, by shapely."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

sys.path.insert(0, str(Path(__file__).parents[1] / "views"))

from crowding import lettering, overlaps, stroke
from odd_frames import ODD
from paper_reading import off_page

from layout.drafting.entities import Arc, Circle, Drawing, Line, Polyline
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.frame.solve import solve
from layout.pipeline.draft import Draft, draft
from layout.sheets.lay import lay
from layout.sheets.media import medium
from layout.sheets.sheet import Sheet
from layout.sheets.tiles.free_room import GRAIN, FreeRoom
from layout.spec.load import load, loads

PAGES = (Rect(0.0, 0.0, 400.0, 300.0), Rect(400.0, 0.0, 800.0, 300.0))
spot = st.tuples(st.floats(0, 800).map(round), st.floats(0, 300).map(round))
sizes = st.lists(st.tuples(st.integers(20, 200), st.integers(20, 200)), min_size=1, max_size=5)


def small(name: str = "16-inch") -> Draft:
    return draft(solve(loads(ODD[name].text, "small.yaml")), "small.yaml")


def whole(sheet: Sheet) -> Drawing:
    """All placements of a sheet, which are placed alike, as one drawing."""
    assert len({(p.dx, p.dy) for p in sheet.placements}) == 1
    return Drawing("all", tuple(e for p in sheet.placements for e in p.drawing))


@given(st.lists(st.tuples(spot, spot), max_size=6), sizes)
def test_blocks_keep_off_what_is_drawn_and_off_each_other(lines, blocks):
    drawing = Drawing("ink", tuple(Line(a, b, Layer.OUTLINE) for a, b in lines))
    places = FreeRoom.beside(drawing, PAGES).places(blocks)
    if places is None:
        return
    ink = [LineString([a, b]) for a, b in lines]
    set_down = [
        box(at.left, at.bottom, at.left + w, at.bottom + h) for at, (w, h) in zip(places, blocks, strict=True)
    ]
    assert all(b.distance(line) >= GRAIN - 1e-6 for b in set_down for line in ink)
    on = [at.page for at in places]
    pairs = [(i, j) for i in range(len(on)) for j in range(i) if on[i] == on[j]]
    assert all(set_down[i].distance(set_down[j]) >= GRAIN - 1e-6 for i, j in pairs)
    for b, at in zip(set_down, places, strict=True):
        page = PAGES[at.page]
        assert box(page.left, page.bottom, page.right, page.top).buffer(1e-6).covers(b)
    assert on == sorted(on)


def test_blocks_are_set_from_the_top_left():
    room = FreeRoom.beside(Drawing("none"), PAGES)
    first, second, third = room.places([(190, 140), (190, 140), (190, 20)])
    assert (first.left, first.bottom) == (0.0, 160.0)
    assert (second.left, second.bottom) == (0.0, 15.0)
    assert (third.page, third.left, third.bottom) == (0, 195.0, 280.0)


def test_there_is_no_place_where_ink_leaves_none():
    across = Drawing("ink", tuple(Line((0.0, y), (800.0, y), Layer.OUTLINE) for y in (75.0, 150.0, 225.0)))
    room = FreeRoom.beside(across, PAGES)
    assert room.places([(100.0, 100.0)]) is None
    assert room.places([(100.0, 50.0)]) is not None
    assert FreeRoom.beside(Drawing("wheel", (Circle((200.0, 150.0), 120.0, Layer.WHEEL),)), PAGES).area == (
        400.0 * 300.0 * 2
    )


def test_a_small_frame_on_a_large_sheet_takes_one_sheet_with_its_tables():
    """Its tables took a sheet of their own, of which they filled a quarter."""
    drafted = small()
    (sheet,) = lay(drafted.arrangement, medium("a0"))
    drawing = whole(sheet)
    said = [words for words, _ in lettering(drawing)]
    assert {"Cautions", "Tape checks, mm", "Tubes: outside sizes drawn, ovals width x"} <= set(said)
    assert said[said.index("sheet") + 1] == "1 of 1"
    assert overlaps(drawing) == []
    assert list(off_page([sheet])) == []


def test_wheels_are_drawn_round_tables():
    (sheet,) = lay(small().arrangement, medium("a0"))
    view, tables = (p.drawing for p in sheet.placements)
    frames = [box(*stroke(e).bounds) for e in tables if isinstance(e, Polyline)]
    wheels = [stroke(e) for e in view if e.layer is Layer.WHEEL and isinstance(e, Line | Arc | Circle)]
    assert frames and wheels
    assert not any(wheel.intersects(frame) for wheel in wheels for frame in frames)


def test_corner_crosses_keep_clear_of_tables():
    (sheet,) = lay(small().arrangement, medium("a0"))
    tables = sheet.placements[1]
    (dx, dy) = tables.dx, tables.dy
    frames = [box(*stroke(e).bounds) for e in tables.drawing if isinstance(e, Polyline)]
    crosses = [e for e in sheet.furniture if isinstance(e, Circle)]
    assert len(crosses) == 4
    for e in crosses:
        ring = stroke(Circle((e.centre[0] - dx, e.centre[1] - dy), e.radius, e.layer))
        assert not any(ring.intersects(frame) for frame in frames)


def test_a_map_goes_with_the_tables_where_two_sheets_are_joined():
    sheets = lay(small("24-inch").arrangement, medium("a1"), checks=(("BB to rear axle", "300.0"),))
    assert [s.name for s in sheets] == ["1-1", "1-2"]
    said = [[words for p in s.placements for words, _ in lettering(p.drawing)] for s in sheets]
    assert "How to join the pages" in said[0]
    both = said[0] + said[1]
    assert both[both.index("sheet") + 1].endswith("of 2")
    assert all(overlaps(whole(sheet)) == [] for sheet in sheets)


@pytest.mark.parametrize("name", ["a4", "a3", "a1"])
def test_office_paper_and_a_sheet_that_the_frame_fills_have_tables_apart(name: str):
    spec = load(Path(__file__).parents[2] / "specs" / "all-road.yaml")
    sheets = lay(draft(solve(spec), "all-road.yaml").arrangement, medium(name))
    assert sheets[0].name == "map"

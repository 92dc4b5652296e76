"""Tiles put together by their registration crosses make the whole, and every page can be taped."""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import combinations

import pytest
from shapely import MultiLineString, box, unary_union
from shapely.geometry import Point as ShapelyPoint

from layout.drafting.bounds import bounds, entity_bounds, on_arc
from layout.drafting.clip import clip
from layout.drafting.entities import Arc, Circle, ControlPoint, Line, Polyline, Text
from layout.drafting.rect import Rect
from layout.drafting.transform import move
from layout.sheets.lay import lay_roll, lay_tiles, points_left_out
from layout.sheets.media import MEDIA, MediumKind, Printer, medium
from layout.sheets.page import lies_turned
from layout.sheets.roll import default_roll
from layout.sheets.tiles.grid import OVERLAP
from layout.sheets.tiles.ink import segments_of
from layout.sheets.tiles.marks import RING

CHECKS = [("rear axle to front axle", "1030.0"), ("BB to head tube top", "688.4")]
NAMES = ["a4", "letter", "a3", "200x300", "ansi-c"]
PRINTERS = [Printer(), Printer(0.985, 1.012), Printer(1.015, 0.985)]
HARD_EDGE = 5.0
"""What office printers leave blank at each edge, mm."""


@pytest.fixture(scope="module")
def laid(sketch):
    """Tiles by medium and printer, laid once."""

    @cache
    def lay(name, printer=PRINTERS[0]):
        return lay_tiles(sketch, medium(name), printer, CHECKS)

    return lay


def joined_pages(sheets):
    """Those that are joined, without the map and the tables."""
    return [s for s in sheets if re.fullmatch(r"\d+-\d+", s.name)]


@pytest.fixture(params=NAMES)
def whole_set(request, laid):
    return laid(request.param)


@pytest.fixture
def tiles(whole_set):
    return joined_pages(whole_set)


@pytest.fixture
def a4(laid):
    return joined_pages(laid("a4"))


def crosses(sheet):
    """Each registration cross by the name lettered beside it, in sheet coordinates."""
    rings = [e.centre for e in sheet.furniture if isinstance(e, Circle) and e.radius == RING]
    names = [e for e in sheet.furniture if isinstance(e, Text) and re.fullmatch(r"R\d+", e.text)]
    assert len(rings) == len(names) == 4
    return {n.text: min(rings, key=lambda r, n=n: math.dist(r, n.at)) for n in names}


def in_drawing(sheet, point):
    (placement,) = sheet.placements
    assert placement.turn == 0
    return point[0] - placement.dx, point[1] - placement.dy


def joined(sheets):
    """How far each page lies from the first, found by shared crosses alone; pages that hang together."""
    found = {sheets[0].name: (0.0, 0.0)}
    marks = {s.name: crosses(s) for s in sheets}
    queue = [sheets[0].name]
    while queue:
        here = queue.pop()
        for other in marks:
            shared = sorted(set(marks[here]) & set(marks[other]))
            if other in found or len(shared) < 2:
                continue
            shifts = [
                (found[here][0] + a[0] - b[0], found[here][1] + a[1] - b[1])
                for a, b in ((marks[here][n], marks[other][n]) for n in shared)
            ]
            assert shifts[0] == pytest.approx(shifts[-1], abs=1e-6), "no turn, no stretch between neighbours"
            found[other] = shifts[0]
            queue.append(other)
    return found


def lines(entities):
    pieces = [((x0, y0), (x1, y1)) for x0, y0, x1, y1 in segments_of(entities) if (x0, y0) != (x1, y1)]
    return MultiLineString(pieces)


def back_together(pages):
    """What each page prints of the strokes, cut as a writer cuts it, moved to its place by its crosses."""
    shifts, first = joined(pages), pages[0].placements[0]
    assert set(shifts) == {s.name for s in pages}
    pieces, paper = [], []
    for sheet in pages:
        placement, (x, y) = sheet.placements[0], shifts[sheet.name]
        for e in placement.drawing:
            if isinstance(e, Line | Arc | Circle | Polyline):
                cut = clip(move(e, placement.dx, placement.dy), placement.clip)
                pieces += [move(piece, x - first.dx, y - first.dy) for piece in cut]
        at = placement.clip.moved(x - first.dx, y - first.dy)
        paper.append(box(at.left, at.bottom, at.right, at.top))
    return pieces, unary_union(paper)


def test_joined_by_their_crosses_the_pages_make_the_whole(tiles):
    pieces, paper = back_together(tiles)
    straight = [e for e in tiles[0].placements[0].drawing if isinstance(e, Line | Polyline)]
    whole = lines(straight)
    seen = unary_union(lines(e for e in pieces if isinstance(e, Line | Polyline)))
    assert whole.intersection(paper).difference(seen.buffer(1e-6)).length < 1e-6
    assert seen.difference(whole.buffer(1e-6)).length < 1e-6


def test_joined_by_their_crosses_the_pages_make_every_arc(tiles):
    pieces, paper = back_together(tiles)
    arcs = [e for e in pieces if isinstance(e, Arc | Circle)]
    checked = 0
    for whole in (e for e in tiles[0].placements[0].drawing if isinstance(e, Arc | Circle)):
        mine = [
            e
            for e in arcs
            if math.dist(e.centre, whole.centre) < 1e-6 and abs(e.radius - whole.radius) < 1e-9
        ]
        first, last = (0.0, 360.0) if isinstance(whole, Circle) else (whole.start_angle, whole.end_angle)
        for k in range(1, 720):
            angle = first + (last - first) * k / 720
            at = ShapelyPoint(on_arc(whole, angle))
            if at.distance(paper.boundary) > 1e-5:
                assert paper.contains(at) == any(covers(e, angle) for e in mine)
                checked += 1
    assert checked > 500


def covers(piece, angle):
    return isinstance(piece, Circle) or any(
        piece.start_angle <= angle + 360.0 * k <= piece.end_angle for k in (-2, -1, 0, 1, 2)
    )


def printed(sheet):
    r = sheet.placements[0].clip
    return box(*in_drawing(sheet, (r.left, r.bottom)), *in_drawing(sheet, (r.right, r.top)))


def test_every_outline_and_point_is_on_a_page(tiles, sketch):
    paper = [printed(sheet) for sheet in tiles]
    assert lines(sketch.held).difference(unary_union(paper)).length < 1e-6
    for point in (e for e in sketch.held if isinstance(e, ControlPoint)):
        assert any(p.covers(ShapelyPoint(point.at)) for p in paper)


def test_no_points_centre_lies_within_six_of_a_seam(whole_set, tiles, sketch):
    cells = [printed(sheet).buffer(-OVERLAP / 2, join_style="mitre") for sheet in tiles]
    beside = (a.buffer(1e-6).intersection(b) for a, b in combinations(cells, 2))
    seams = [strip for strip in beside if strip.length > 1.0]
    assert seams
    for point in (e for e in sketch.held if isinstance(e, ControlPoint)):
        assert all(seam.distance(ShapelyPoint(point.at)) >= 6.0 - 1e-6 for seam in seams)


def test_all_tiles_place_one_drawing(a4):
    assert len({id(s.placements[0].drawing) for s in a4}) == 1


def test_map_and_tables_come_first_and_say_that_they_are_not_taped(whole_set, tiles):
    apart = [s for s in whole_set if s not in tiles]
    names = [s.name for s in apart]
    assert names == ["map", *(f"tables-{k}" for k in range(1, len(apart)))] and len(names) > 2
    assert whole_set[: len(apart)] == apart
    assert all("do not join this page to the drawing" in said(s) for s in apart)
    assert not any("do not join" in words for s in tiles for words in said(s))


def test_crosses_of_neighbours_are_the_same_place_of_the_drawing(tiles):
    places = {}
    for sheet in tiles:
        for name, at in crosses(sheet).items():
            assert places.setdefault(name, in_drawing(sheet, at)) == pytest.approx(
                in_drawing(sheet, at), abs=1e-6
            )
    assert len(set(places.values())) == len(places)


def test_crosses_lie_in_the_middle_of_the_overlaps_corners(tiles):
    for sheet in tiles:
        inner = sheet.placements[0].clip.grown(-OVERLAP / 2)
        for at, corner in zip(sorted(crosses(sheet).values()), sorted(inner.corners), strict=True):
            assert at == pytest.approx(corner)


def test_neighbours_print_the_overlap_both(a4):
    by_name = {s.name: s for s in a4}
    places = {name: tuple(map(int, name.split("-"))) for name in by_name}
    pairs = [(a, b) for a in by_name for b in by_name if places[b] == (places[a][0], places[a][1] + 1)]
    assert pairs
    for a, b in pairs:
        left, right = by_name[a].placements[0], by_name[b].placements[0]
        assert (left.clip.right - left.dx) - (right.clip.left - right.dx) == pytest.approx(OVERLAP)


def test_margins_on_a4_are_ten(a4):
    for sheet in a4:
        assert sheet.placements[0].clip == Rect(10.0, 10.0, sheet.width - 10.0, sheet.height - 10.0)


def test_all_pages_are_of_one_size_and_the_first_is_the_map(whole_set):
    assert whole_set[0].name == "map"
    assert len({(s.width, s.height, s.stretch, s.medium, s.kind) for s in whole_set}) == 1
    assert len({s.name for s in whole_set}) == len(whole_set)


def test_no_page_that_is_joined_is_without_frame(tiles, sketch):
    frame = lines((*sketch.held, *sketch.axes))
    for sheet in tiles:
        assert frame.intersection(printed(sheet)).length > 1.0


def test_pages_of_wheel_alone_are_left_out(a4, sketch):
    paper = unary_union([printed(sheet) for sheet in a4])
    drawing = a4[0].placements[0].drawing
    assert lines(drawing).difference(paper).length > 100.0
    assert lines(sketch.held).difference(paper).length < 1e-6


def test_points_on_pages_left_out_are_listed(sketch, make_sketch):
    assert points_left_out(lay_tiles(sketch, medium("a4"))) == ()
    lonely = make_sketch(around=(ControlPoint("saddle", (-300.0, 760.0)),))
    assert points_left_out(lay_tiles(lonely, medium("a4"))) == ("saddle",)
    assert points_left_out([lay_roll(lonely, default_roll(lonely))]) == ()


@pytest.mark.parametrize("printer", PRINTERS)
@pytest.mark.parametrize("name", ["a4", "letter", "200x300", "200x200"])
def test_nothing_is_printed_where_the_printer_cannot(name, printer, laid):
    for sheet in laid(name, printer):
        hard = Rect(HARD_EDGE, HARD_EDGE, sheet.width - HARD_EDGE, sheet.height - HARD_EDGE)
        for e in (*sheet.furniture, *apart_entities(sheet)):
            drawn = entity_bounds(e)
            for corner in (drawn.corners[0], drawn.corners[2]):
                assert hard.holds(corner, 1e-6)
                assert hard.holds(sheet.to_page(corner), 1e-6)
        for placement in sheet.placements:
            if placement.clip is not None:
                assert hard.grown(-4.9).contains(placement.clip)


@pytest.mark.parametrize("printer", PRINTERS)
@pytest.mark.parametrize("name", ["a4", "letter", "200x200", "a1"])
def test_words_keep_off_the_drawing_and_off_each_other(name, printer, laid):
    for sheet in joined_pages(laid(name, printer)):
        content = sheet.placements[0].clip
        words = [entity_bounds(e) for e in sheet.furniture if isinstance(e, Text)]
        for i, one in enumerate(words):
            assert not one.overlaps(content)
            assert not any(one.grown(0.3).overlaps(other) for other in words[i + 1 :])


def apart_entities(sheet):
    """What a page that is no tile draws, where it lies."""
    return [e for p in sheet.placements if p.clip is None for e in move(p.drawing, p.dx, p.dy)]


def said(sheet):
    return [e.text for e in sheet.furniture if isinstance(e, Text)]


def test_each_page_says_what_it_is_and_how_to_print_it(laid):
    sheets = laid("a4")
    for number, sheet in enumerate(sheets, start=1):
        words = said(sheet)
        assert f"page {number} of {len(sheets)}" in words
        assert "print at 100 %, not fit to page" in words
        assert "a4, 210 x 297 mm" in words
        assert "no printer compensation" in words
        if sheet in joined_pages(sheets):
            assert words.count(sheet.name) == 4


def test_compensation_is_stated_on_every_tile_and_acts_along_the_long_edge(laid):
    for sheet in laid("a4", Printer(0.985, 1.012)):
        assert "compensated for a printer of x 0.9850, y 1.0120" in said(sheet)
        long_level = sheet.width > sheet.height
        assert sheet.stretch == ((1 / 0.985, 1 / 1.012) if long_level else (1 / 1.012, 1 / 0.985))
        assert lies_turned(sheet) == (not long_level)


def test_each_tile_has_a_bar_of_100_each_way(tiles):
    for sheet in tiles:
        straight = [e for e in sheet.furniture if isinstance(e, Line)]
        level = [
            e
            for e in straight
            if e.start[1] == e.end[1] and abs(e.start[0] - e.end[0]) == pytest.approx(100.0)
        ]
        upright = [
            e
            for e in straight
            if e.start[0] == e.end[0] and abs(e.start[1] - e.end[1]) == pytest.approx(100.0)
        ]
        assert len(level) == 1 and len(upright) == 1
        assert said(sheet).count("100 mm") == 2


def test_neighbours_are_named_on_the_edges_they_share(tiles):
    at = {s.name: in_drawing(s, s.placements[0].clip.centre) for s in tiles}
    clip_rect = tiles[0].placements[0].clip
    step = clip_rect.width - OVERLAP, clip_rect.height - OVERLAP
    for sheet in tiles:
        x, y = at[sheet.name]
        for (dx, dy), phrase in {
            (-1, 0): "cut here, lay on {}",
            (0, 1): "cut here, lay on {}",
            (1, 0): "edge of {} lies on this line",
            (0, -1): "edge of {} lies on this line",
        }.items():
            beside = [n for n, p in at.items() if p == pytest.approx((x + dx * step[0], y + dy * step[1]))]
            for name in beside:
                (words,) = [
                    e for e in sheet.furniture if isinstance(e, Text) and e.text == phrase.format(name)
                ]
                where = entity_bounds(words).centre
                assert on_side(where, clip_rect, (dx, dy))
        named = {w for text in said(sheet) for w in re.findall(r"(?:lay on (\S+))|(?:edge of (\S+))", text)}
        assert len(named) == sum(
            p == pytest.approx((x + dx * step[0], y + dy * step[1]))
            for p in at.values()
            for dx, dy in ((-1, 0), (0, 1), (1, 0), (0, -1))
        )


def test_what_says_how_pages_join_is_read_at_arms_length(tiles):
    """It was 2.5 high. Lettering is read at 200 times its height (common practice): 3.5 at 0.7 m."""
    for sheet in tiles:
        joining = [e for e in sheet.furniture if isinstance(e, Text) and JOINING.match(e.text)]
        assert len(joining) >= 4 + 4 + 1
        assert {e.height for e in joining} == {3.5}


JOINING = re.compile(r"R\d+$|\d+-\d+$|cut here|edge of")


def on_side(at, rect, side):
    return {
        (-1, 0): at[0] < rect.left,
        (1, 0): at[0] > rect.right,
        (0, -1): at[1] < rect.bottom,
        (0, 1): at[1] > rect.top,
    }[side]


def test_trim_lines_and_ticks_of_neighbours_run_on(a4):
    """Every tick and trim line on one page lies, in the drawing, on one of its neighbour's."""
    marks = {}
    for sheet in a4:
        for e in sheet.furniture:
            if isinstance(e, Line) and math.dist(e.start, e.end) == pytest.approx(5.0):
                middle = in_drawing(sheet, ((e.start[0] + e.end[0]) / 2, (e.start[1] + e.end[1]) / 2))
                marks.setdefault((round(middle[0], 5), round(middle[1], 5)), set()).add(sheet.name)
    assert len(marks) > 20
    assert all(len(pages) == 2 for pages in marks.values())


@pytest.mark.parametrize("row", [m for m in MEDIA if m.kind is MediumKind.CUT], ids=lambda m: m.name)
def test_every_cut_sheet_of_the_table_can_be_tiled(row, sketch):
    sheets = lay_tiles(sketch, row, checks=CHECKS * 5)
    tiles = [s for s in sheets if s.placements[0].clip is not None]
    assert sheets[0].name.partition("-")[0] == ("map" if len(tiles) > 1 else "tables")
    assert len(sheets) > 1
    inked = bounds(e for p in sheets[0].placements for e in p.drawing)
    assert Rect(0.0, 0.0, sheets[0].width, sheets[0].height).contains(inked)

"""Tables, blocks of words and the title block: nothing overlaps, nothing overflows, numbers line up."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box
from shapely.ops import polygonize, unary_union

from layout.drafting.entities import Align, Line, Polyline, Text, pen_of
from layout.drafting.lettering import flatten, line_step, strokes, text_box, text_width
from layout.drafting.panel import Panel
from layout.drafting.style import THICK, THIN
from layout.drafting.tables import Cells, Column, Field, larger, smaller, table, text_block, title_block

LONG = "Donaudampfschifffahrtsgesellschaftskapitänsmützenhalter"
DIMENSIONS = [
    Column("dimension", share=2.0),
    Column("value", Cells.NUMBER),
    Column("", Cells.CENTRED),
    Column("measured", Cells.BLANK),
]
ROWS = [
    ["bottom bracket drop", "70.0 mm", "given", ""],
    ["rear centre", "1430.25 mm", "given", ""],
    ["head angle", "72.5°", "found", ""],
    ["effective seat angle", "–", "", ""],
    ["ÅÉŮ gpqy", "-4", "found", ""],
]


def texts(panel: Panel) -> list[Text]:
    return [e for e in panel.drawing if isinstance(e, Text)]


def rules(panel: Panel) -> list[LineString]:
    """Every ruled line, frame included, as its middle line."""
    lines = [LineString([e.start, e.end]) for e in panel.drawing if isinstance(e, Line)]
    for e in panel.drawing:
        if isinstance(e, Polyline):
            pts = (*e.points, e.points[0]) if e.closed else e.points
            lines += [LineString(p) for p in pairwise(pts)]
    return lines


def widths_of_rules(panel: Panel) -> list[float]:
    return [pen_of(e).width for e in panel.drawing if isinstance(e, Line | Polyline)]


def assert_tidy(panel: Panel) -> None:
    """Text boxes are apart from each other and from all rules, and inside the frame."""
    boxes = [Polygon(text_box(t)) for t in texts(panel)]
    for one, two in combinations(boxes, 2):
        assert not one.intersects(two)
    ruled = unary_union([line.buffer(THICK / 2, cap_style="flat") for line in rules(panel)])
    inside = box(0, 0, panel.width, panel.height)
    for text, area in zip(texts(panel), boxes, strict=True):
        assert not area.intersects(ruled), text.text
        assert inside.covers(area), text.text


def cells(panel: Panel) -> list[Polygon]:
    return list(polygonize(unary_union(rules(panel))))


def cell_of(panel: Panel, text: str) -> Polygon:
    (entity,) = [t for t in texts(panel) if t.text == text]
    (cell,) = [c for c in cells(panel) if c.contains(Polygon(text_box(entity)))]
    return cell


@pytest.mark.parametrize("height", [3.5, 5.0, 7.0])
@pytest.mark.parametrize("width", [None, 180.0, 400.0])
def test_texts_lie_in_their_own_cells_clear_of_all_rules(height: float, width: float | None) -> None:
    if (height, width) == (7.0, 180.0):
        width = 250.0
    panel = table("dims", "Dimensions", DIMENSIONS, ROWS, text_height=height, width=width)
    assert_tidy(panel)
    assert len(cells(panel)) == 1 + 4 * (1 + len(ROWS))
    for row in ROWS:
        left, right = cell_of(panel, row[0]), cell_of(panel, row[1])
        assert left.bounds[1] == right.bounds[1]
        assert left.bounds[2] == pytest.approx(right.bounds[0])
    assert cell_of(panel, "value").bounds[::2] == cell_of(panel, "70.0 mm").bounds[::2]


def test_every_word_is_written_once() -> None:
    panel = table("dims", "Dimensions", DIMENSIONS, ROWS)
    wanted = ["Dimensions", "dimension", "value", "measured", *(c for row in ROWS for c in row if c)]
    assert sorted(t.text for t in texts(panel)) == sorted(wanted)


def test_numbers_line_up_on_the_decimal_point() -> None:
    panel = table("dims", "Dimensions", DIMENSIONS, ROWS, width=260.0)
    points = []
    for text in texts(panel):
        if text.text in ("70.0 mm", "1430.25 mm", "72.5°"):
            small = [LineString(flatten(s, 0.001)) for s in strokes(text)]
            dots = [s.centroid.x for s in small if s.length < 2.5 and s.bounds[3] < text.at[1] + 1.0]
            points += dots
    assert len(points) == 3
    assert points == pytest.approx([points[0]] * 3, abs=1e-9)


def test_a_whole_number_ends_where_the_others_have_their_point() -> None:
    panel = table("t", "", [Column("n", Cells.NUMBER)], [["100.25"], ["7"], ["12°"]])
    by_text = {t.text: t for t in texts(panel)}
    end = by_text["100.25"].at[0] + text_width("100", 5.0)
    assert by_text["7"].at[0] + text_width("7", 5.0) == pytest.approx(end)
    assert by_text["12°"].at[0] + text_width("12", 5.0) == pytest.approx(end)


def test_what_is_no_number_ends_at_the_right_of_a_column_of_numbers() -> None:
    panel = table("dims", "", DIMENSIONS, ROWS)
    (dash,) = [t for t in texts(panel) if t.text == "–"]
    assert dash.align is Align.END
    assert dash.at[0] == pytest.approx(cell_of(panel, "–").bounds[2] - 0.6 * 5.0)


def test_the_width_asked_for_is_kept_and_so_are_fixed_columns() -> None:
    columns = [Column("a", width=40.0), Column("b"), Column("c", share=3.0)]
    natural = table("t", "", columns, [["x", "y", "z"]])
    panel = table("t", "", columns, [["x", "y", "z"]], width=200.0)
    assert panel.width == 200.0
    assert panel.drawing.entities[-1].points[2] == (200.0, panel.height)

    def wide(p: Panel, text: str) -> float:
        left, _, right, _ = cell_of(p, text).bounds
        return right - left

    assert wide(panel, "x") == pytest.approx(40.0)
    grown = [wide(panel, t) - wide(natural, t) for t in "yz"]
    assert grown[1] == pytest.approx(3 * grown[0])


def test_tables_of_one_width_stack_on_one_grid() -> None:
    columns = [Column("name", width=60.0), Column("mm", Cells.NUMBER, width=30.0), Column("note")]
    one = table("one", "One", columns, [["a", "1.0", ""]] * 3, width=150.0)
    two = table("two", "Two", columns, [["bgÅ", "12.55", "g"]] * 5, width=150.0)
    stops = [sorted({c.bounds[0] for c in cells(p)}) for p in (one, two)]
    assert stops[0] == pytest.approx(stops[1])
    less = table("less", "One", columns, [["a", "1.0", ""]] * 2, width=150.0)
    assert two.height - one.height == pytest.approx(2 * (one.height - less.height))


def test_rows_and_columns_to_write_in_have_room_for_a_hand() -> None:
    panel = table("checks", "Check distances", DIMENSIONS, ROWS, text_height=3.5)
    blank = [c for c in cells(panel) if not any(c.intersects(Polygon(text_box(t))) for t in texts(panel))]
    pencil = [c for c in blank if c.bounds[2] == pytest.approx(panel.width)]
    assert len(pencil) == len(ROWS)
    for c in pencil:
        left, bottom, right, top = c.bounds
        assert top - bottom >= 10.0
        assert right - left >= 25.0


def test_frame_is_thick_and_rules_are_thin() -> None:
    panel = table("dims", "Dimensions", DIMENSIONS, ROWS)
    assert sorted(set(widths_of_rules(panel))) == [THIN, THICK]
    frame = panel.drawing.entities[-1]
    assert isinstance(frame, Polyline) and frame.closed and pen_of(frame).width == THICK
    assert set(frame.points) == {
        (0.0, 0.0),
        (panel.width, 0.0),
        (0.0, panel.height),
        (panel.width, panel.height),
    }
    assert widths_of_rules(panel).count(THICK) == 1


def test_a_title_is_one_size_larger_and_headings_one_smaller() -> None:
    panel = table("dims", "Dimensions", DIMENSIONS, ROWS)
    sizes = {t.text: t.height for t in texts(panel)}
    assert (sizes["Dimensions"], sizes["dimension"], sizes["rear centre"]) == (7.0, 3.5, 5.0)


@pytest.mark.parametrize(("height", "below", "above"), [(5.0, 3.5, 7.0), (2.5, 2.5, 3.5), (14.0, 10.0, 14.0)])
def test_sizes_follow_the_series_of_iso_3098(height: float, below: float, above: float) -> None:
    # 2.5 3.5 5 7 10 14: ISO 3098, from memory.
    assert (smaller(height), larger(height)) == (below, above)


@pytest.mark.parametrize("width", [60.0, 90.0, 140.0])
def test_long_words_and_values_are_broken_and_never_overflow(width: float) -> None:
    columns = [Column(LONG), Column("value", Cells.NUMBER), Column("c", Cells.CENTRED)]
    rows = [[LONG, "123456789012345678.123456789012345678", LONG], ["short", "1.5", "two words"]]
    panel = table("long", f"A title with {LONG} in it", columns, rows, width=width)
    assert panel.width == width
    assert_tidy(panel)
    letters = "".join(t.text for t in texts(panel)).replace(" ", "")
    assert sorted(letters) == sorted(
        f"Atitlewith{LONG}init" + LONG * 3 + rows[0][1] + "value" + "c" + "short1.5twowords"
    )


def test_a_table_too_narrow_for_its_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="too narrow"):
        table("t", "", [Column("abc")] * 5, [["x"] * 5], width=30.0)
    with pytest.raises(ValueError, match="too narrow for a character"):
        table("t", "", [Column("abc", width=5.0)], [["x"]])
    with pytest.raises(ValueError, match="60 mm is too narrow"):
        table("t", "", [Column("abc", width=40.0)] * 2, [["x"] * 2], width=60.0)


def test_a_row_with_a_cell_too_few_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 cells under 2 columns"):
        table("t", "", [Column("a"), Column("b")], [["x"]])


def test_a_table_without_rows_or_title_is_its_headings() -> None:
    panel = table("t", "", [Column("a"), Column("b")], [])
    assert sorted(t.text for t in texts(panel)) == ["a", "b"]
    assert_tidy(panel)


words = st.text(st.characters(codec="latin-1", categories=("L", "N", "P", "Zs")), max_size=24)


@settings(max_examples=60, deadline=None)
@given(
    rows=st.lists(st.tuples(words, words, words), min_size=1, max_size=4),
    width=st.floats(70.0, 300.0),
    title=words,
)
def test_any_words_in_any_width_stay_in_their_cells(
    rows: list[tuple[str, str, str]], width: float, title: str
) -> None:
    columns = [Column("name"), Column("mm", Cells.NUMBER), Column("mark", Cells.CENTRED)]
    panel = table("any", title, columns, rows, width=width)
    assert panel.width == width
    assert_tidy(panel)


def test_a_text_block_wraps_its_words_within_the_frame() -> None:
    paragraphs = ["Verify the scale before cutting: measure the cross both ways.", f"ÅÉ gy {LONG}", ""]
    panel = text_block("cautions", "Before you cut", paragraphs, 60.0)
    assert panel.width == 60.0
    assert_tidy(panel)
    body = [t for t in texts(panel) if t.height == 3.5]
    assert " ".join(t.text for t in body).startswith(paragraphs[0])
    steps = {round(a.at[1] - b.at[1], 6) for a, b in pairwise(body)}
    assert min(steps) == pytest.approx(line_step(3.5))
    assert {t.at[0] for t in body} == {0.6 * 3.5}


@pytest.mark.parametrize("height", [2.5, 5.0])
def test_paragraphs_stand_further_apart_than_lines_and_alike_at_every_height(height: float) -> None:
    paragraphs = ["first words of a long line", "second", "third"]
    panel = text_block("c", "Cautions", paragraphs, 12.0 * height, height)
    by = {e.text: e.at[1] for e in panel.drawing if isinstance(e, Text)}
    assert len(by) > 4
    gap = by["second"] - by["third"] - line_step(height)
    assert 0.2 * height <= gap <= 1.0 * height


def test_a_narrower_text_block_is_taller() -> None:
    words_ = ["Geometry only: strength, tube choice, welding procedure and testing are the builder's."]
    heights = [text_block("c", "Cautions", words_, w).height for w in (180.0, 90.0, 45.0)]
    assert heights == sorted(heights) and len(set(heights)) == 3
    with pytest.raises(ValueError, match="too narrow"):
        text_block("c", "", words_, 5.0)


FIELDS = [
    [Field("Title", "All-road frame", 2.0), Field("Number", "LB-2024-0017")],
    [Field("Rider", "Čeněk Ångström"), Field("Drawn by", "ÅÉŮ gpqy"), Field("Approved by", "")],
    [Field("Date", "2024-05-17"), Field("Scale", "1:1", 0.5), Field("Sheet", "1 / 1", 0.5)],
]


def test_a_title_block_is_180_wide_with_small_headings_over_large_values() -> None:
    panel = title_block("title", FIELDS)
    assert panel.width == 180.0
    assert_tidy(panel)
    assert len(cells(panel)) == 8
    sizes = {t.text: t.height for t in texts(panel)}
    assert {sizes[f.heading] for row in FIELDS for f in row} == {2.5}
    assert {sizes[f.value] for row in FIELDS for f in row if f.value} == {5.0}
    for row in FIELDS:
        for field in row:
            assert not field.value or cell_of(panel, field.heading).equals(cell_of(panel, field.value))


def test_fields_share_the_width_of_their_row() -> None:
    panel = title_block("title", FIELDS)
    left, _, right, _ = cell_of(panel, "Title").bounds
    assert right - left == pytest.approx(120.0)


@pytest.mark.parametrize("value", [f"{LONG} {LONG}", "many words " * 30, "W" * 200, "ÅÉŮ gpqy " * 9])
@pytest.mark.parametrize("width", [180.0, 90.0])
def test_values_too_long_for_their_field_are_set_smaller_and_cut_short(value: str, width: float) -> None:
    panel = title_block("title", [[Field("Title", value), Field(LONG, "B")], [Field("Date", value)]], width)
    assert_tidy(panel)
    lines = [t for t in texts(panel) if t.height == 3.5]
    assert lines
    shown = [t.text for t in lines if t.text.endswith("…")]
    assert shown or all(w in " ".join(t.text for t in lines) for w in value.split())


def test_a_value_a_little_too_long_is_only_set_smaller() -> None:
    panel = title_block("title", [[Field("Title", "Long all-road frame")]], 50.0)
    (value,) = [t for t in texts(panel) if t.height == 3.5]
    assert value.text == "Long all-road frame"


def test_a_long_name_in_a_narrow_field_keeps_its_words_whole() -> None:
    """Two spaces in a row and a part that comes twice are no stumbling block."""
    name = "Bartholomäus  Featherstonehaugh-Cholmondeley Bartholomäus III"
    panel = title_block("title", [[Field("rider", name)]], 40.0)
    shown = [t.text for t in texts(panel) if t.text != "rider"]
    assert shown == ["Bartholomäus", "Featherstonehaugh-…"]
    assert_tidy(panel)

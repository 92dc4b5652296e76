"""Panels nested on pages: none lost, none on another, none past the border, on few pages."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from layout.drafting.entities import Drawing, LengthDimension, Line, Text
from layout.drafting.lettering import text_box
from layout.drafting.panel import Panel
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.errors import SheetError
from layout.sheets.border import border
from layout.sheets.media import Printer, medium
from layout.sheets.nest import GAP, Nested, flow, lay_nested, nest
from layout.sheets.page import Page


def panel(name: str, width: float, height: float) -> Panel:
    corner = Line((0.0, 0.0), (width, height), Layer.OUTLINE)
    return Panel(name, Drawing(name, (corner,)), width, height)


def some(seed: int, count: int = 14) -> list[Panel]:
    r = random.Random(seed)
    return [panel(f"p{k}", r.uniform(40.0, 130.0), r.uniform(40.0, 120.0)) for k in range(count)]


def rect(n: Nested) -> Rect:
    return Rect(n.x, n.y, n.x + n.width, n.y + n.height)


@pytest.mark.parametrize("seed", range(12))
def test_nested_panels_keep_their_distance_and_stay_inside(seed: int):
    panels = some(seed)
    pages = nest(panels, 175.0, 262.0)
    assert sorted(n.panel.name for page in pages for n in page) == sorted(p.name for p in panels)
    for page in pages:
        for n in page:
            assert Rect(0.0, 0.0, 175.0, 262.0).contains(rect(n), 1e-6)
        for a, b in combinations(page, 2):
            assert not rect(a).grown(GAP / 2 - 1e-6).overlaps(rect(b).grown(GAP / 2 - 1e-6))


@pytest.mark.parametrize("seed", range(12))
def test_few_pages_are_used(seed: int):
    """No more than half again what their bare area would fill."""
    panels = some(seed)
    area = sum(p.width * p.height for p in panels)
    assert len(nest(panels, 175.0, 262.0)) <= area / (175.0 * 262.0) * 1.5 + 1.0


def test_a_panel_that_only_fits_turned_is_turned():
    (page,) = nest([panel("long", 200.0, 60.0)], 100.0, 250.0)
    assert page[0].turned
    (line,) = page[0].entities().entities
    assert isinstance(line, Line)
    assert {line.start, line.end} == {(60.0, 0.0), (0.0, 200.0)}


def test_a_panel_too_large_is_refused_by_name_and_size():
    with pytest.raises(SheetError, match=r"the template huge is 300 x 300 mm.*larger"):
        nest([panel("huge", 300.0, 300.0)], 175.0, 262.0)


def test_lettering_of_a_turned_panel_is_read_from_below_or_the_right():
    words = Text((10.0, 5.0), "phase line", 2.5, angle=90.0)
    checked = LengthDimension(
        "edge", (5.0, 0.0), (5.0, 80.0), 90.0, line_at=(2.0, 0.0), text_at=(1.0, 40.0), text_angle=90.0
    )
    turned = Nested(Panel("p", Drawing("p", (words, checked)), 60.0, 90.0), 0.0, 0.0, turned=True)
    text, dimension = turned.entities().entities
    assert isinstance(text, Text) and isinstance(dimension, LengthDimension)
    assert (text.angle, dimension.text_angle) == (0.0, 0.0)
    assert dimension.value == pytest.approx(80.0)
    # About its own middle: the same box as before it was turned the right way up.
    box = sorted((round(x, 6), round(y, 6)) for x, y in text_box(text))
    before = sorted((round(90.0 - y, 6), round(x, 6)) for x, y in text_box(words))
    low, high = min(before)[0], max(before)[0]
    assert min(box)[0] == pytest.approx(low, abs=0.8) and max(box)[0] == pytest.approx(high, abs=0.8)


def test_tables_flow_in_their_order():
    panels = [panel(n, 170.0, 120.0) for n in "abc"]
    pages = flow(panels, 175.0, 262.0)
    assert [[n.panel.name for n in page] for page in pages] == [["a", "b"], ["c"]]
    assert [n.y for n in pages[0]] == pytest.approx([262.0 - 120.0, 262.0 - 240.0 - GAP])
    with pytest.raises(SheetError, match="tall"):
        flow([panel("tall", 100.0, 300.0)], 175.0, 262.0)


@pytest.mark.parametrize("name", ["a4", "letter", "a3", "roll-610", "roll-914"])
@pytest.mark.parametrize("printer", [Printer(), Printer(1.004, 0.996)], ids=["true", "stretched"])
def test_sheets_hold_every_panel_inside_the_border(name: str, printer: Printer):
    panels = some(3)
    sheets = lay_nested(panels, medium(name), "template", lambda k, n: f"page {k} of {n}", printer)
    seen = 0
    for sheet in sheets:
        assert sheet.kind == "template"
        page = Page(medium(name), sheet.width, sheet.height, printer)
        assert sheet.stretch == page.stretch
        frame = border(page)
        (placed,) = sheet.placements
        for e in placed.drawing:
            assert isinstance(e, Line)
            assert frame.holds(placed.to_sheet(e.start), 1e-6) and frame.holds(placed.to_sheet(e.end), 1e-6)
            seen += 1
    assert seen == len(panels)
    assert len(sheets) == 1 or not name.startswith("roll")


def test_a_page_says_what_it_is_and_has_bars_both_ways():
    (sheet,) = lay_nested([panel("p", 60.0, 60.0)], medium("a4"), "template", lambda k, n: f"strips {k}/{n}")
    texts = [e for e in sheet.furniture if isinstance(e, Text)]
    assert any(t.text == "strips 1/1" for t in texts)
    bars = [t for t in texts if t.text == "100 mm"]
    assert sorted(t.angle for t in bars) == [0.0, 90.0]


def test_the_same_panels_nest_the_same_way():
    assert nest(some(7), 175.0, 262.0) == nest(list(some(7)), 175.0, 262.0)

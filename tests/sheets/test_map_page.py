"""The map page: what it shows and says, and that nothing on it lies on anything else."""

from __future__ import annotations

import pytest

from layout.drafting.bounds import entity_bounds
from layout.drafting.entities import Circle, ControlPoint, LengthDimension, Line, Polyline, Text
from layout.drafting.rect import Rect
from layout.errors import SheetError
from layout.sheets.media import medium
from layout.sheets.tiles.lay import lay_tiles, tile_arrangement
from layout.sheets.tiles.map import map_panel
from layout.sheets.tiles.map_page import map_page
from layout.sheets.tiles.order import joining, tile_name

CHECKS = [(f"check {k}", f"{500 + 31.7 * k:.1f}") for k in range(12)]


@pytest.fixture(scope="module", params=["a4", "letter", "200x200", "a1"])
def tiling(request, sketch):
    return tile_arrangement(sketch, medium(request.param))


@pytest.fixture
def page(tiling):
    return map_page(
        tiling.page, tiling.page.content, tiling.composition.drawing, tiling.grid, checks=CHECKS
    )


def texts(drawing):
    return [e for e in drawing if isinstance(e, Text)]


def test_every_tile_is_named_once(tiling):
    words = [t.text for t in texts(map_panel(tiling.composition.drawing, tiling.grid, 10).drawing)]
    for cell in tiling.grid.kept:
        assert words.count(tile_name(cell)) == 1


def test_the_map_is_lettered_as_reduced(page):
    (heading,) = [t.text for t in texts(page) if "not for measuring" in t.text]
    assert heading.split(", ")[1] in ("1:5", "1:10", "1:20", "1:50")


def test_all_check_distances_are_listed_with_their_values(page):
    words = [t.text for t in texts(page)]
    for label, value in CHECKS:
        assert label in words and value in words


def test_each_block_of_words_is_headed_by_what_it_tells(page):
    """Once by its heading, not by the name that the program has for it."""
    words = [t.text for t in texts(page)]
    for heading, name in (
        ("How to join the pages", "how"),
        ("Order", "order"),
        ("Check distances", "checks"),
    ):
        assert words.count(heading) == 1
        assert name not in words


def test_every_step_of_the_joining_is_there_with_a_distance(tiling, page):
    whole = " ".join(t.text for t in texts(page))
    for step in joining(tiling.grid):
        assert step.words in whole
        for check in step.checks[:1]:
            assert f"{check.first} to {check.second}" in whole


def test_no_words_lie_on_words_and_none_leave_the_page(tiling, page):
    boxes = [entity_bounds(t) for t in texts(page)]
    for i, one in enumerate(boxes):
        assert tiling.page.content.contains(one, 0.2)
        assert not any(one.overlaps(other) for other in boxes[i + 1 :])


def test_names_stand_clear_of_the_views_lines(tiling):
    panel = map_panel(tiling.composition.drawing, tiling.grid, 10)
    names = {tile_name(c) for c in tiling.grid.kept}
    boxes = [entity_bounds(t) for t in texts(panel.drawing) if t.text in names]
    for e in panel.drawing:
        if isinstance(e, Line):
            for box in boxes:
                assert not crosses_box(e, box)


def crosses_box(line, box):
    """Whether 200 points along a line come inside a box."""
    (ax, ay), (bx, by) = line.start, line.end
    return any(box.holds((ax + (bx - ax) * k / 200, ay + (by - ay) * k / 200)) for k in range(201))


def test_the_map_has_no_points_no_dimensions_and_no_thick_lines(tiling):
    panel = map_panel(tiling.composition.drawing, tiling.grid, 10)
    assert not any(isinstance(e, ControlPoint | LengthDimension) for e in panel.drawing)
    strokes = [e for e in panel.drawing if isinstance(e, Line | Circle | Polyline)]
    assert strokes
    assert all(e.pen.width <= 0.35 for e in strokes)


def test_the_map_is_in_its_scale(tiling):
    grid = tiling.grid
    panel = map_panel(tiling.composition.drawing, grid, 20)
    long = max(e.start[1] - e.end[1] for e in panel.drawing if isinstance(e, Line) and e.pen.width == 0.35)
    assert long == pytest.approx(grid.step_y / 20)


def test_a_page_too_small_for_its_words_says_so(sketch):
    many = [(f"check {k}", "100.0") for k in range(400)]
    with pytest.raises(SheetError, match="too small for the map") as caught:
        lay_tiles(sketch, medium("200x200"), checks=many)
    assert caught.value.faults[0].code == "media"


def test_the_first_page_carries_the_bars_that_are_measured_before_the_rest_is_printed(sketch):
    first = lay_tiles(sketch, medium("a4"), checks=CHECKS)[0]
    assert sum(t.text == "100 mm" for t in texts(first.furniture)) == 2
    (placement,) = first.placements
    content = Rect(10.0, 10.0, first.width - 10.0, first.height - 10.0)
    for e in placement.drawing:
        assert content.contains(entity_bounds(e), 0.3)

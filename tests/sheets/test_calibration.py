"""Calibration pages: every medium has one, as large as it fits, with nothing off the paper or overlapping."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from shapely.geometry import LineString, Polygon

from layout.drafting.bounds import entity_bounds
from layout.drafting.entities import ControlPoint, Line, Text
from layout.drafting.lettering import text_box
from layout.errors import SheetError
from layout.sheets.calibration import calibration_sheet
from layout.sheets.media import MEDIA, OFFICE_PRINTER, Medium, MediumKind, medium
from layout.sheets.page import Page
from layout.sheets.sheet import Sheet

EVERY = pytest.mark.parametrize("paper", MEDIA, ids=lambda m: m.name)


def words(sheet: Sheet) -> list[Text]:
    drawn = (*sheet.placements[0].drawing, *sheet.furniture)
    return [e for e in drawn if isinstance(e, Text)]


@EVERY
def test_everything_lies_where_the_device_prints(paper: Medium):
    sheet = calibration_sheet(paper)
    room = Page(paper, sheet.width, sheet.height).printable
    for e in (*sheet.placements[0].drawing, *sheet.furniture):
        if not isinstance(e, ControlPoint):
            box = entity_bounds(e)
            assert box is not None and room.contains(box, 1e-6), e


@EVERY
def test_no_text_lies_on_another_or_on_a_line(paper: Medium):
    sheet = calibration_sheet(paper)
    boxes = [(t.text, Polygon(text_box(t))) for t in words(sheet)]
    for (a, p), (b, q) in combinations(boxes, 2):
        assert not p.intersects(q), (a, b)
    lines = [e for e in sheet.placements[0].drawing if isinstance(e, Line)]
    for text, box in boxes:
        for e in lines:
            assert not box.intersects(LineString([e.start, e.end])), (text, e)


@EVERY
def test_words_lie_along_the_paper_or_straight_up_it(paper: Medium):
    assert {t.angle for t in words(calibration_sheet(paper))} == {0.0, 90.0}


@EVERY
def test_the_arms_are_two_hundred_or_as_long_as_fits(paper: Medium):
    at = calibration_sheet(paper).placements[0].drawing.points()
    along, across = math.dist(at["corner"], at["along_end"]), math.dist(at["corner"], at["across_end"])
    assert along == pytest.approx(200.0)
    small = paper.kind is MediumKind.CUT and paper.short < 250
    assert across == pytest.approx(200.0) if not small else 150.0 <= across < 200.0
    assert at["along_end"][1] == at["corner"][1] and at["across_end"][0] == at["corner"][0]


@pytest.mark.parametrize("name", ["a0", "a1", "a2", "ansi-e", "arch-d", "roll-610", "roll-914", "roll-1067"])
def test_large_paper_has_crosses_far_apart(name: str):
    at = calibration_sheet(medium(name)).placements[0].drawing.points()
    assert math.dist(at["r"], at["s"]) >= 400 and math.dist(at["r"], at["p"]) >= 300
    assert math.dist(at["r"], at["q"]) == pytest.approx(math.dist(at["p"], at["s"]))


@EVERY
def test_the_table_says_the_true_lengths(paper: Medium):
    sheet = calibration_sheet(paper)
    at = sheet.placements[0].drawing.points()
    said = {t.text for t in words(sheet)}
    pairs = [("corner", "along_end"), ("corner", "across_end"), ("along_end", "across_end")]
    if "p" in at:
        pairs += [("r", "s"), ("r", "p"), ("r", "q"), ("p", "s")]
    for a, b in pairs:
        assert f"{math.dist(at[a], at[b]):.1f}" in said


@EVERY
def test_it_says_which_axis_is_x_and_is_not_compensated(paper: Medium):
    sheet = calibration_sheet(paper)
    said = " ".join(t.text for t in words(sheet))
    assert (
        "x: along the roll" if paper.kind is MediumKind.ROLL else "x: along the paper's long edge"
    ) in said
    assert "100 %" in said and "Never choose fit" in said and "printer: {x:" in said
    assert "no printer compensation" in said
    assert sheet.stretch == (1.0, 1.0)
    assert paper.kind is MediumKind.ROLL or sheet.width > sheet.height


@pytest.mark.parametrize("name", ["200x200", "roll-200", "200x5080", "5080x5080"])
def test_the_smallest_and_largest_paper_have_one(name: str):
    at = calibration_sheet(medium(name)).placements[0].drawing.points()
    assert math.dist(at["corner"], at["across_end"]) >= 120.0


def test_paper_smaller_than_any_medium_is_refused():
    tiny = Medium("tiny", MediumKind.CUT, 150.0, 150.0, OFFICE_PRINTER, "as asked")
    with pytest.raises(SheetError, match="too small for a calibration page; take a4 or letter"):
        calibration_sheet(tiny)

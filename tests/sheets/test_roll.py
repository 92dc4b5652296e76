"""Rolls and cut sheets: what holds the drawing, how it lies, and what is said where it does not fit."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

import pytest

from layout.drafting.bounds import bounds
from layout.drafting.entities import Drawing, Line, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.errors import SheetError
from layout.sheets.border import BAND, border
from layout.sheets.composition import Composition
from layout.sheets.cut import lay_cut
from layout.sheets.lay import lay
from layout.sheets.media import MEDIA, MediumKind, Printer, medium
from layout.sheets.page import Page, cut_pages, lies_turned
from layout.sheets.roll import default_roll, lay_roll, roll_room


@dataclass(frozen=True)
class Box:
    """A rectangle that must be `width` by `height` at least and takes no more."""

    width: float
    height: float

    @property
    def least_size(self):
        return self.width, self.height

    def composed(self, width=None, height=None):
        assert width is None or width >= self.width - 1e-6
        assert height is None or height >= self.height - 1e-6
        diagonal = Drawing("box", (Line((0.0, 0.0), (self.width, self.height), Layer.OUTLINE),))
        return Composition(diagonal, Rect(0.0, 0.0, self.width, self.height), diagonal)


def placed_bounds(sheet):
    (placement,) = sheet.placements
    ends = [placement.to_sheet(p) for e in placement.drawing for p in (e.start, e.end)]
    xs, ys = zip(*ends, strict=True)
    return Rect(min(xs), min(ys), max(xs), max(ys))


def page_of(sheet, printer=None):
    return Page(medium(sheet.medium), sheet.width, sheet.height, printer or Printer())


def test_a_roll_page_is_as_high_as_the_roll_is_wide_and_as_long_as_the_drawing():
    sheet = lay_roll(Box(1500.0, 800.0), medium("roll-914"))
    assert (sheet.height, sheet.name, sheet.medium, sheet.kind) == (914.0, "roll-914", "roll-914", "drawing")
    assert sheet.width == 1500.0 + 2 * BAND + 2 * 18.0
    assert sheet.placements[0].turn == 0
    assert not lies_turned(sheet)
    assert border(page_of(sheet)).contains(placed_bounds(sheet), 1e-6)


def test_the_drawing_is_turned_only_where_nothing_else_fits():
    across = roll_room(medium("roll-610"))[1]
    assert lay_roll(Box(across, across), medium("roll-610")).placements[0].turn == 0
    sheet = lay_roll(Box(across, across + 1.0), medium("roll-610"))
    assert sheet.placements[0].turn == 1
    assert lies_turned(sheet)
    assert border(page_of(sheet)).contains(placed_bounds(sheet), 1e-6)
    assert placed_bounds(sheet).height == pytest.approx(across)


def test_a_drawing_that_just_fits_fits_and_a_tenth_more_does_not():
    across = roll_room(medium("roll-841"))[1]
    assert lay_roll(Box(1500.0, across), medium("roll-841")).height == 841.0
    with pytest.raises(SheetError):
        lay_roll(Box(1500.0, across + 0.1), medium("roll-841"))


def test_too_narrow_a_roll_says_how_much_is_missing_and_what_would_do():
    with pytest.raises(SheetError) as caught:
        lay_roll(Box(1500.0, 800.0), medium("roll-762"))
    (fault,) = caught.value.faults
    assert fault.code == "media"
    across = roll_room(medium("roll-762"))[1]
    missing = int(re.search(r"is (\d+) mm too narrow", fault.message)[1])
    assert f"needs 800 mm across the roll; the roll leaves {math.floor(across)} mm" in fault.message
    assert missing - 1 < 800.0 - across <= missing
    assert lay_roll(Box(1500.0, 800.0 - missing), medium("roll-762"))


@pytest.mark.parametrize("size", [(1500.0, 700.0), (1500.0, 900.0), (900.0, 700.0), (1000.0, 990.0)])
def test_the_media_that_would_do_do(size):
    box = Box(*size)
    with pytest.raises(SheetError) as caught:
        lay_roll(box, medium("roll-610"))
    named = re.search(r"\. Use (.*)\.$", caught.value.faults[0].message)[1].split(", ")
    assert named[-1] == "or tiles (--media a4)"
    do = set(named[:-1])
    for row in MEDIA:
        if row.kind is MediumKind.ROLL:
            try:
                lay_roll(box, row)
                holds = True
            except SheetError:
                holds = False
        else:
            holds = lay_cut(box, row) is not None
        assert (row.name in do) == holds, row.name


def test_no_roll_is_offered_that_shops_do_not_have():
    """A drawing too wide for every roll of the table was told to use roll-1342."""
    with pytest.raises(SheetError) as caught:
        default_roll(Box(2000.0, 1300.0))
    message = caught.value.faults[0].message
    assert message.endswith(" Use tiles (--media a4).")
    assert set(re.findall(r"roll-\d+", message)) <= {m.name for m in MEDIA}


def test_a_drawing_longer_than_the_plotter_takes_is_refused():
    length = roll_room(medium("roll-914"))[0]
    assert lay_roll(Box(length, 600.0), medium("roll-914")).width <= 3200.0
    with pytest.raises(SheetError, match="too long for one page"):
        lay_roll(Box(length + 50.0, 600.0), medium("roll-914"))


@pytest.mark.parametrize("height", [400.0, 600.0, 720.0, 790.0, 860.0, 1000.0])
def test_the_default_roll_is_the_narrowest_that_holds_the_drawing(height):
    box = Box(1600.0, height)
    chosen = default_roll(box)
    lay_roll(box, chosen)
    for row in MEDIA:
        if row.kind is MediumKind.ROLL and row.short < chosen.short:
            with pytest.raises(SheetError):
                lay_roll(box, row)


def test_a_cut_sheet_holds_the_drawing_either_way_round():
    wide, high = lay_cut(Box(1100.0, 700.0), medium("a0")), lay_cut(Box(700.0, 1100.0), medium("a0"))
    assert (wide.width, wide.height) == (1189.0, 841.0)
    assert (high.width, high.height) == (841.0, 1189.0)
    assert wide.placements[0].turn == high.placements[0].turn == 0
    assert not lies_turned(wide)
    assert lies_turned(high)
    assert lay_cut(Box(1150.0, 700.0), medium("a0")) is None


def test_lay_takes_one_cut_sheet_where_it_holds_the_drawing_and_tiles_where_not(sketch):
    assert len(lay(sketch, medium("1800x1200"))) == 1
    tiles = lay(sketch, medium("a2"))
    assert {s.kind for s in tiles} == {"tiles"}
    assert len(tiles) > 2


@pytest.mark.parametrize(
    "printer", [Printer(), Printer(0.985, 0.99), Printer(1.012, 0.988), Printer(1.01, 1.01)]
)
@pytest.mark.parametrize("name", ["roll-914", "1800x1200", "1200x1800", "a0"])
def test_everything_stays_in_the_printable_area_before_and_after_compensation(printer, name):
    box = Box(1100.0, 740.0)
    (sheet,) = lay(box, medium(name), printer)
    page = page_of(sheet, printer)
    end_x, end_y = page.blank
    hard = Rect(end_x, end_y, sheet.width - end_x, sheet.height - end_y)
    drawn = bounds(sheet.furniture).united(placed_bounds(sheet))
    assert hard.contains(drawn, 1e-6)
    left, bottom = sheet.to_page((drawn.left, drawn.bottom))
    right, top = sheet.to_page((drawn.right, drawn.top))
    assert hard.contains(Rect(left, bottom, right, top), 1e-6)


def test_compensation_acts_along_the_papers_axes():
    printer = Printer(0.99, 1.01)
    box = Box(1100.0, 700.0)
    assert lay_roll(box, medium("roll-914"), printer).stretch == (1 / 0.99, 1 / 1.01)
    assert lay_cut(box, medium("a0"), printer).stretch == (1 / 0.99, 1 / 1.01)
    assert lay_cut(Box(700.0, 1100.0), medium("a0"), printer).stretch == (1 / 1.01, 1 / 0.99)


def test_what_the_printer_makes_of_the_page_is_true():
    printer = Printer(0.985, 1.012)
    sheet = lay_roll(Box(1100.0, 700.0), medium("roll-914"), printer)
    (a, b) = ((100.0, 100.0), (900.0, 700.0))
    (ax, ay), (bx, by) = sheet.to_page(a), sheet.to_page(b)
    assert ((bx - ax) * printer.x, (by - ay) * printer.y) == pytest.approx((800.0, 600.0))


def words(sheet):
    return " ".join(e.text for e in sheet.furniture if isinstance(e, Text))


def test_the_sheet_says_what_paper_it_is_for_its_scale_and_its_compensation():
    said = words(lay_roll(Box(1100.0, 700.0), medium("roll-914")))
    for phrase in (
        "roll-914, 914 mm wide",
        "scale 1:1",
        "print at 100 %, not fit to page",
        "no printer compensation",
    ):
        assert phrase.replace(" mm wide", "") in said
    said = words(lay_roll(Box(1100.0, 700.0), medium("roll-914"), Printer(0.985, 1.012)))
    assert "x 0.9850, y 1.0120" in said


@pytest.mark.parametrize("name", ["roll-610", "a4", "200x200"])
def test_words_outside_the_border_touch_nothing(name):
    sheet = lay(Box(140.0, 120.0), medium(name), Printer(0.985, 1.012))[0]
    frame = border(page_of(sheet, Printer(0.985, 1.012)))
    boxes = [bounds([e]) for e in sheet.furniture if isinstance(e, Text)]
    marks = [bounds([e]) for e in sheet.furniture if isinstance(e, Line)]
    for i, box in enumerate(boxes):
        assert not box.overlaps(frame.grown(0.25))
        assert not any(box.overlaps(other) for other in boxes[i + 1 :])
        assert not any(box.overlaps(mark.grown(0.25)) for mark in marks)


def test_the_border_is_thick_and_has_a_mark_at_the_middle_of_each_side():
    sheet = lay_cut(Box(1100.0, 700.0), medium("a0"))
    frame = border(page_of(sheet))
    outline = next(e for e in sheet.furniture if not isinstance(e, Line | Text))
    assert (outline.points, outline.closed, outline.pen.width) == (frame.corners, True, 0.5)
    middles = {bounds([e]).centre for e in sheet.furniture if isinstance(e, Line)}
    assert len(middles) == 4
    assert all(x == pytest.approx(1189 / 2) or y == pytest.approx(841 / 2) for x, y in middles)


def test_cut_pages_lie_level_and_upright():
    level, upright = cut_pages(medium("letter"), Printer())
    assert (level.width, level.height) == (279.4, 215.9)
    assert (upright.width, upright.height) == (215.9, 279.4)
    assert level.long_level and not upright.long_level
    assert replace(level, height=279.4).long_level

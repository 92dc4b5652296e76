"""Nothing that is needed lies nearer to a page's edge than the printer's margins."""

from __future__ import annotations

import pytest

from layout.drafting.bounds import box_of
from layout.drafting.rect import Rect
from layout.sheets.lay import lay_roll, lay_tiles
from layout.sheets.media import Printer, medium
from layout.sheets.roll import default_roll


@pytest.mark.parametrize("margins", [5.0, 12.0, 25.0])
@pytest.mark.parametrize("name", ["a4", "a3", "letter"])
def test_tiles_keep_the_printers_margins(name, margins, sketch):
    for sheet in lay_tiles(sketch, medium(name), Printer(margins=margins)):
        inside = Rect(margins, margins, sheet.width - margins, sheet.height - margins)
        assert inside.contains(box_of(sheet.furniture), 0.2)
        assert all(p.clip is None or inside.contains(p.clip) for p in sheet.placements)


def test_a_roll_keeps_margins_wider_than_its_plotters(sketch):
    printer = Printer(margins=25.0)
    sheet = lay_roll(sketch, default_roll(sketch, printer), printer)
    inside = Rect(25.0, 25.0, sheet.width - 25.0, sheet.height - 25.0)
    assert inside.contains(box_of(sheet.furniture), 0.2)


def test_narrow_margins_never_print_where_the_device_cannot(sketch):
    assert lay_tiles(sketch, medium("a4"), Printer(margins=5.0)) == lay_tiles(sketch, medium("a4"))

"""Layouts of a DXF: the view through viewports at 1:1, the rest on the paper, nothing twice or cut."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from sheet_samples import cross, roll_sheet

from layout.drafting.entities import Drawing, Entity, Line, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.models import shared_view
from layout.sheets.sheet import Placement, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf

WINDOW = Rect(-200.0, -150.0, 300.0, 200.0)
AT = (500.0, 400.0)


INSIDE = Text((0.0, 100.0), "inside", 7.0)
CUT_OFF = Text((-215.0, 50.0), "279.0 cut", 7.0)
LEFT_OUT = Text((-100.0, -50.0), "left out but whole", 7.0)
CROSSES = (*cross("bb", 0.0, 0.0), *cross("front_axle", 250.0, 30.0))
MODEL = Drawing("model", (*CROSSES, INSIDE, CUT_OFF, LEFT_OUT))
PANEL = Text((-400.0, 0.0), "panel", 7.0)
DATUM = Line((-450.0, 0.0), (450.0, 0.0), Layer.DATUM)


def sheet_of(turn: int = 0) -> Sheet:
    """A sheet with another arrangement of the model: two texts left out, a panel and a datum line more."""
    kept = tuple(e for e in MODEL if e not in (CUT_OFF, LEFT_OUT))
    drawing = Drawing("arranged", (*kept, DATUM, PANEL))
    sheet = roll_sheet(MODEL)
    placement = Placement(drawing, *AT, turn=turn, window=WINDOW)
    return replace(sheet, placements=(placement,), furniture=Drawing("f"))


def layout_of(folder: Path, sheet: Sheet):
    dxf.write(shared_view([sheet], MODEL), folder / "one.dxf", DocumentInfo("one"), [sheet])
    doc = ezdxf.readfile(folder / "one.dxf")
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    return doc, doc.layouts.get("roll")


def test_what_the_window_shows_is_not_drawn_on_the_paper_again(tmp_path: Path):
    _, layout = layout_of(tmp_path, sheet_of())
    drawn = [e for e in layout if e.dxftype() != "VIEWPORT"]
    assert sorted((e.dxftype(), e.dxf.layer) for e in drawn) == [("LINE", "DATUM"), ("TEXT", "NOTE")]
    (text,) = (e for e in drawn if e.dxftype() == "TEXT")
    assert text.dxf.text == "panel"
    assert (text.dxf.insert.x, text.dxf.insert.y) == pytest.approx((100.0, 400.0))


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_a_window_shows_nothing_that_its_sheet_does_not(tmp_path: Path, turn: int):
    """A callout without room on the sheet showed as stray lines at the window's edge."""
    doc, layout = layout_of(tmp_path, sheet_of(turn))
    (view,) = (v for v in layout.viewports() if v.dxf.id != 1)
    assert view.get_modelspace_limits() == pytest.approx((-200.0, -150.0, 300.0, 200.0))
    assert [t.dxf.text for t in doc.modelspace().query("TEXT")] == ["inside"]


def test_the_plot_settings_need_no_choice(tmp_path: Path):
    _, layout = layout_of(tmp_path, sheet_of())
    d = layout.dxf_layout.dxf
    assert (d.paper_width, d.paper_height) == (1900.0, 1067.0)
    assert (d.scale_numerator, d.scale_denominator, d.unit_factor) == (1.0, 1.0, 1.0)
    assert (d.plot_paper_units, d.plot_rotation, d.plot_type) == (1, 0, 5)
    assert (d.plot_origin_x_offset, d.plot_origin_y_offset) == (0.0, 0.0)
    margins = (d.left_margin, d.bottom_margin, d.right_margin, d.top_margin)
    assert margins == (0.0, 0.0, 0.0, 0.0)


def test_the_model_is_the_same_with_and_without_layouts(tmp_path: Path):
    def model(*sheets: Sheet) -> list[tuple[str, str]]:
        dxf.write(MODEL, tmp_path / "m.dxf", DocumentInfo("m"), sheets)
        return [(e.dxftype(), e.dxf.layer) for e in ezdxf.readfile(tmp_path / "m.dxf").modelspace()]

    assert model() == model(sheet_of())


def test_two_runs_give_the_same_bytes(tmp_path: Path):
    drawn: list[bytes] = []
    for name in ("a.dxf", "b.dxf"):
        dxf.write(MODEL, tmp_path / name, DocumentInfo("one"), [sheet_of(), sheet_of(1)])
        drawn.append((tmp_path / name).read_bytes())
    assert drawn[0] == drawn[1]


def test_a_placement_without_a_window_is_drawn_on_the_paper(tmp_path: Path):
    entities: tuple[Entity, ...] = (Line((0.0, 0.0), (50.0, 0.0), Layer.OUTLINE), PANEL)
    sheet = replace(sheet_of(), placements=(Placement(Drawing("other", entities), *AT),))
    _, layout = layout_of(tmp_path, sheet)
    assert sorted(e.dxftype() for e in layout if e.dxftype() != "VIEWPORT") == ["LINE", "TEXT"]
    assert len([v for v in layout.viewports() if v.dxf.id != 1]) == 0

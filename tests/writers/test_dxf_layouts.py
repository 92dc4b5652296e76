"""Layouts of a DXF: the view through viewports at 1:1, the rest on the paper, nothing twice or cut."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from shapely.geometry import box
from shapely.ops import unary_union
from sheet_samples import cross, roll_sheet

from layout.drafting.entities import Drawing, Entity, Line, Text
from layout.drafting.lettering import text_box
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.sheet import Placement, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf
from layout.writers.dxf.layouts import without

WINDOW = Rect(-200.0, -150.0, 300.0, 200.0)
AT = (500.0, 400.0)


def shapes(rects: list[Rect]):
    return [box(r.left, r.bottom, r.right, r.top) for r in rects]


HOLES = [
    [],
    [Rect(-250.0, -10.0, -180.0, 10.0)],
    [Rect(0.0, -200.0, 20.0, -100.0), Rect(10.0, 150.0, 60.0, 260.0)],
    [Rect(0.0, -10.0, 50.0, 10.0), Rect(30.0, 0.0, 80.0, 20.0), Rect(299.0, -200.0, 400.0, 300.0)],
    [Rect(-900.0, -900.0, 900.0, 900.0)],
    [Rect(400.0, 0.0, 500.0, 10.0)],
]


@pytest.mark.parametrize("holes", HOLES)
def test_a_window_without_holes_is_the_rest_of_it(holes: list[Rect]):
    strips = shapes(without(WINDOW, holes))
    rest = shapes([WINDOW])[0].difference(unary_union(shapes(holes)))
    assert unary_union(strips).symmetric_difference(rest).area == pytest.approx(0.0, abs=1e-9)
    assert sum(s.area for s in strips) == pytest.approx(rest.area)


def test_a_window_without_holes_stays_whole():
    assert without(WINDOW, []) == [WINDOW]


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
    dxf.write(MODEL, folder / "one.dxf", DocumentInfo("one"), [sheet])
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
def test_lettering_is_shown_whole_or_not_at_all(tmp_path: Path, turn: int):
    sheet = sheet_of(turn)
    _, layout = layout_of(tmp_path, sheet)
    windows = [box(*v.get_modelspace_limits()) for v in layout.viewports() if v.dxf.id != 1]
    shown = unary_union(windows)
    for text, seen in ((INSIDE, 1.0), (LEFT_OUT, 1.0), (CUT_OFF, 0.0)):
        corners = text_box(text)
        word = box(*corners[0], *corners[2])
        assert word.intersection(shown).area / word.area == pytest.approx(seen), text.text


def test_viewports_side_by_side_meet_without_a_gap(tmp_path: Path):
    _, layout = layout_of(tmp_path, sheet_of())
    windows = sorted(v.get_modelspace_limits() for v in layout.viewports() if v.dxf.id != 1)
    assert len(windows) == 3
    for a, b in pairwise(windows):
        assert b[0] <= a[2] + 1e-6


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

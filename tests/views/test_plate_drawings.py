"""The order list, the assembly and the nest: complete, numbered alike, nothing on anything else."""

from __future__ import annotations

import csv
import io
from itertools import combinations
from pathlib import Path

import pytest
import shapely

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow, order_csv, order_rows
from layout.bench.plates.parts import fixture
from layout.bench.plates.settings import settings
from layout.drafting.bounds import bounds
from layout.drafting.entities import Circle, Drawing, LengthDimension, Text
from layout.drafting.lettering import text_box
from layout.drafting.spreadsheet import csv_text
from layout.frame.solve import Frame, solve
from layout.spec.load import loads
from layout.views.plates.assembly import numbered_plan, section
from layout.views.plates.nesting import laid_out, nest_pages
from layout.views.plates.sheets import assembly_page, full_size
from layout.views.plates.tables import numbers_of

ROOM = (398.0, 275.0)
"""Inside an A3 sheet's border."""


@pytest.fixture(scope="module")
def whole() -> tuple[Frame, Fixture, tuple[OrderRow, ...]]:
    return of_block("")


def lettering(entities: object) -> list[tuple[str, shapely.Polygon]]:
    return [
        (e.text, shapely.Polygon(text_box(e))) for e in entities if isinstance(e, Text) and e.text.strip()
    ]


def test_the_list_has_a_row_a_part_and_adds_up(whole: tuple) -> None:
    _, made, rows = whole
    read = list(csv.DictReader(io.StringIO(order_csv(rows, "mark"))))
    assert [r["part"].replace(" ", "_") for r in read[:-1]] == [p.name for p in made.plates]
    assert {r["material"] for r in read[:-1]} == {"steel S235"}
    assert {r["thickness mm"] for r in read[:-1]} == {"6"}
    assert all("no kerf" in r["note"] for r in read[:-1])
    total = sum(int(r["quantity"]) * float(r["weight kg"]) for r in read[:-1])
    assert float(read[-1]["weight kg"]) == pytest.approx(total, abs=0.02)
    assert len({r["file"] for r in read[:-1]}) == len(rows)
    assert read[0]["file"] == "all-road-plate-base-6mm.dxf"


def test_the_lists_lines_end_as_those_of_every_other_table(whole: tuple) -> None:
    _, _, rows = whole
    text = order_csv(rows, "mark")
    assert "\r" not in text
    assert text.count("\n") == len(rows) + 2
    assert list(csv.reader(io.StringIO(csv_text([("a", "b, c"), ("d", 'e "f"')])))) == [
        ["a", "b, c"],
        ["d", 'e "f"'],
    ]


@pytest.mark.parametrize(("factor", "height"), [(1.0, 5.0), (0.2, 3.5)])
def test_every_standing_part_has_its_number_once_and_no_two_touch(
    whole: tuple, factor: float, height: float
) -> None:
    frame, made, rows = whole
    drawing = numbered_plan(made, frame, numbers_of(rows), factor, height)
    shown = [text for text, _ in lettering(drawing)]
    expected = {str(numbers_of(rows)[s.part]) for s in made.standing}
    assert sorted(shown) == sorted(expected)
    rings = [e for e in drawing if isinstance(e, Circle)][-len(expected) :]
    for a, b in combinations(rings, 2):
        away = shapely.Point(a.centre).distance(shapely.Point(b.centre))
        assert away > a.radius + b.radius


def test_the_section_shows_the_true_height(whole: tuple) -> None:
    _, made, _ = whole
    for factor in (1.0, 0.5):
        drawing = section(made, factor, 5.0)
        assert drawing is not None
        assert "120.0" in {text for text, _ in lettering(drawing)}
        assert not [e for e in drawing if isinstance(e, LengthDimension)]


def test_the_reduced_assembly_fits_its_sheet_and_says_its_scale(whole: tuple) -> None:
    frame, made, rows = whole
    page = assembly_page(frame, made, rows, ROOM)
    assert page.scale == "1:5"
    words = lettering(page.drawing)
    assert "plan 1:5" in {text for text, _ in words}
    for row in rows:
        assert any(text == row.name.replace("bb", "BB").replace("_", " ") for text, _ in words), row.name
    for _, box in words:
        left, bottom, right, top = box.bounds
        assert left >= 0.0
        assert bottom >= 0.0
        assert right <= ROOM[0]
        assert top <= ROOM[1]


def test_no_words_lie_on_words(whole: tuple) -> None:
    frame, made, rows = whole
    for page in (assembly_page(frame, made, rows, ROOM), *nest_pages(frame, made, rows, ROOM)):
        assert overlapping(page.drawing) == []


def overlapping(drawing: Drawing) -> list[tuple[str, str]]:
    words = lettering(drawing)
    boxes = [box for _, box in words]
    one, other = shapely.STRtree(boxes).query(boxes, predicate="overlaps")
    return [(words[a][0], words[b][0]) for a, b in zip(one, other, strict=True)]


@pytest.mark.parametrize("height", [200.0, 300.0, 400.0])
def test_a_fixture_as_high_as_may_be_asked_for_is_drawn(height: float) -> None:
    frame, made, rows = of_block(f"height: {height:g}")
    page = assembly_page(frame, made, rows, ROOM)
    texts = [text for text, _ in lettering(page.drawing)]
    assert f"{height:.1f}" in texts
    assert int(page.scale.removeprefix("1:")) <= 10
    found = bounds(page.drawing)
    assert found is not None
    assert min(found.left, found.bottom) >= -1e-6
    assert found.right <= ROOM[0] + 1e-6
    assert found.top <= ROOM[1] + 1e-6
    assert overlapping(page.drawing) == []


def test_a_high_section_at_full_size_stands_clear_of_the_plan() -> None:
    frame, made, rows = of_block("height: 400")
    plan = numbered_plan(made, frame, numbers_of(rows), 1.0, 5.0)
    detail = section(made, 1.0, 5.0)
    view, _ = full_size(frame, made, rows)
    assert detail is not None
    shown = view.core.entities[-len(detail.entities) :]
    one, other = bounds(Drawing("section", shown)), bounds(plan)
    assert one is not None
    assert other is not None
    assert (one.width, one.height) == pytest.approx((bounds(detail).width, bounds(detail).height), abs=1e-5)
    assert one.left >= other.right + 9.9


def test_a_materials_long_name_is_cut_short_in_tables_and_whole_in_the_list() -> None:
    name = " ".join(["steel of a good kind, with a note that goes on"] * 40)
    frame, made, rows = of_block(f"material: {name!r}")
    for page in (assembly_page(frame, made, rows, ROOM), *nest_pages(frame, made, rows, ROOM)):
        texts = [text for text, _ in lettering(page.drawing)]
        assert overlapping(page.drawing) == []
        assert any(text.startswith("steel of a good kind") for text in texts)
        assert any(text.endswith("…") for text in texts)
    _, panels = full_size(frame, made, rows)
    assert panels["checks"].width < 200.0
    assert {r["material"] for r in csv.DictReader(io.StringIO(order_csv(rows, "mark")))} == {name, ""}


def of_block(block: str) -> tuple[Frame, Fixture, tuple[OrderRow, ...]]:
    text = Path("specs/all-road.yaml").read_text("utf-8")
    spec = loads(f"{text}\nplates: {{{block}}}\n", "s.yaml")
    frame = solve(spec)
    space = frame.space
    made = fixture(frame, settings(spec, space.rear.spacing))
    return frame, made, order_rows(made, "all-road")


def test_at_full_size_the_points_are_the_solved_ones(whole: tuple) -> None:
    frame, made, rows = whole
    view, panels = full_size(frame, made, rows)
    for name, at in view.core.points().items():
        assert at == pytest.approx(frame.plane.points[name], abs=1e-9)
    assert {"bb", "rear_axle", "head_tube_top"} <= view.core.points().keys()
    assert panels.keys() == {"calibration", "checks", "dimensions", "cautions", "title"}


def test_the_nest_holds_every_piece_apart_on_its_sheet(whole: tuple) -> None:
    _, made, _ = whole
    process = made.settings.process
    pieces = laid_out(made)
    assert len(pieces) == sum(p.quantity for p in made.plates)
    parts = [(p.sheet, shapely.Polygon(p.plate.outline.loop)) for p in pieces]
    room = shapely.box(10.0, 10.0, process.sheet[0] - 10.0, process.sheet[1] - 10.0).buffer(1e-3)
    for (sheet, a), (other, b) in combinations(parts, 2):
        assert sheet != other or a.distance(b) >= process.part_spacing - 1e-3
    assert all(room.contains(part) for _, part in parts)
    areas = sum(p.plate.area for p in pieces)
    assert areas == pytest.approx(sum(p.quantity * p.area for p in made.plates))


def test_the_nest_numbers_every_piece(whole: tuple) -> None:
    frame, made, rows = whole
    pages = nest_pages(frame, made, rows, ROOM)
    texts = [text for page in pages for text, _ in lettering(page.drawing)]
    for name, number in numbers_of(rows).items():
        pieces = made.plate(name).quantity
        assert texts.count(str(number)) >= pieces + 1, name
    assert any("1 sheet of 2000 x 1000 x 6 mm" in text for text in texts)

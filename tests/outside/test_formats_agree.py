"""PDF, SVG, DXF layouts and HP-GL/2 of one drawing agree, on every medium, by independent readers.

Within 0.01 mm, HP-GL/2 within its unit of 0.025 mm; tiles after they are joined by their
registration crosses, as a builder joins them. A drawing small enough that most media hold it whole
goes through all of the table; the demo frames go through tiles and a roll.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from file_readers import Dxf, Page, Point, crosses, nearest, read_dxf, read_pdf, read_plt, read_svg

from layout.drafting.entities import Circle, ControlPoint, Drawing, Entity, Line, Text
from layout.drafting.panel import Panel
from layout.drafting.style import Layer
from layout.drafting.view import View
from layout.frame.solve import solve
from layout.pipeline.draw import draw
from layout.pipeline.order import Order
from layout.sheets.compose import SheetArrangement
from layout.sheets.lay import lay
from layout.sheets.media import MEDIA, Medium, Printer, medium
from layout.sheets.tiles.order import tile_name
from layout.spec.load import load
from layout.writers import plt, svg
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf
from layout.writers.pdf import writer as pdf

NEAR, UNIT = 0.01, 0.025
CROSS = 10.0
"""A registration cross's arms, mm: as wide as the overlap."""
INFO = DocumentInfo("agreement")
SPECS = Path(__file__).parents[2] / "specs"
CORNERS = {"upper left": (0, 1), "upper right": (1, 1), "lower left": (0, 0), "lower right": (1, 0)}
SPOTS = {
    "bb": (0.0, 0.0), "rear_axle": (-141.234567, 33.5), "front_axle": (198.333333, 34.0),
    "head_tube_top": (120.7, 171.9), "seat_tube_top": (-60.0123, 160.4),
}  # fmt: skip


def small_arrangement() -> SheetArrangement:
    """Five crosses, a wheel and a word, with a panel beside them."""
    core: list[Entity] = []
    for name, (x, y) in SPOTS.items():
        core += [Line((x - 18, y), (x + 18, y), Layer.POINT), Line((x, y - 18), (x, y + 18), Layer.POINT)]
        core.append(ControlPoint(name, (x, y)))
    core += [Line(SPOTS["bb"], SPOTS["head_tube_top"], Layer.CENTRE), Text((10.0, -30.0), "a word", 5.0)]
    wheel = Circle(SPOTS["rear_axle"], 60.0, Layer.WHEEL)
    frame = Panel("title", Drawing("t", (Line((0.0, 0.0), (50.0, 0.0), Layer.SHEET),)), 50.0, 20.0)
    return SheetArrangement(View(Drawing("Small", tuple(core)), ((wheel,),)), {"title": frame})


class Files:
    """The sheets of one medium, written in every format and read by others."""

    def __init__(self, folder: Path, paper: Medium, printer: Printer) -> None:
        arrangement = small_arrangement()
        self.sheets = lay(arrangement, paper, printer)
        model = arrangement.composed(None, None).drawing
        whole = self.sheets[0].kind != "tiles"
        true = lay(arrangement, paper) if whole else []
        pdf.write(self.sheets, folder / "s.pdf", INFO)
        dxf.write(model, folder / "s.dxf", INFO, true)
        self.pdf = read_pdf(folder / "s.pdf")
        self.dxf: Dxf = read_dxf(folder / "s.dxf")
        self.svg: list[Page] = []
        self.plt: list[Page] = []
        for i, sheet in enumerate(self.sheets):
            svg.write(sheet, folder / f"{i}.svg", INFO)
            self.svg.append(read_svg(folder / f"{i}.svg"))
            plt.write(sheet, folder / f"{i}.plt", INFO)
            self.plt.append(read_plt(folder / f"{i}.plt"))


def assert_agree(found: Mapping[str, Point], wanted: Mapping[str, Point], tolerance: float = NEAR) -> None:
    assert found.keys() == wanted.keys()
    for name, at in found.items():
        assert math.dist(at, wanted[name]) <= tolerance, name


@pytest.mark.parametrize("paper", MEDIA, ids=lambda m: m.name)
def test_on_every_medium_all_formats_agree(paper: Medium, tmp_path: Path):
    files = Files(tmp_path, paper, Printer())
    for sheet, page in zip(files.sheets, files.pdf, strict=True):
        assert (page.width, page.height) == pytest.approx((sheet.width, sheet.height), abs=1e-4)
    for sheet, drawn, plotted in zip(files.sheets, files.svg, files.plt, strict=True):
        assert (drawn.width, drawn.height) == (sheet.width, sheet.height)
        assert (plotted.width, plotted.height) == pytest.approx((sheet.width, sheet.height), abs=0.013)
    assert_agree(files.dxf.points, SPOTS)
    if files.sheets[0].kind == "tiles":
        assert_tiles_join(files)
    else:
        assert_one_sheet(files, paper)


def assert_one_sheet(files: Files, paper: Medium) -> None:
    """One page: every named point in the same place of the paper in all four."""
    (on_pdf,), (on_svg,), (on_plt,) = files.pdf, files.svg, files.plt
    assert on_svg.points.keys() == SPOTS.keys()
    assert_agree(on_pdf.points, on_svg.points)
    assert_agree(files.dxf.on_layout(paper.name), on_svg.points)
    assert files.dxf.papers[paper.name] == (on_svg.width, on_svg.height)
    assert {w.scale for w in files.dxf.windows[paper.name]} == {1.0}
    for at in on_svg.points.values():
        assert nearest(at, on_plt) <= UNIT
        assert min(math.dist(at, c) for c in crosses(on_pdf, 36.0)) <= NEAR


def assert_tiles_join(files: Files) -> None:
    """Tiles: joined by their crosses, the points are where the model has them."""
    first = next(i for i, s in enumerate(files.sheets) if re.fullmatch(r"\d+-\d+", s.name))
    names = [s.name for s in files.sheets][first:]
    for pages, tolerance in ((files.pdf, NEAR), (files.svg, NEAR), (files.plt, UNIT)):
        tiles = dict(zip(names, pages[first:], strict=True))
        home = next(n for n, p in zip(names, files.svg[first:], strict=True) if "bb" in p.points)
        places = joined(tiles, home, tolerance)
        seen: dict[str, Point] = {}
        for name, page in tiles.items():
            on_svg = files.svg[first + names.index(name)].points
            for point, at in (page.points or on_svg).items():
                assert page.points or nearest(at, page) <= UNIT
                world = at[0] + places[name][0], at[1] + places[name][1]
                assert math.dist(seen.setdefault(point, world), world) <= tolerance
        assert seen.keys() == SPOTS.keys()
        for point, world in seen.items():
            true = way(files.dxf.points["bb"], files.dxf.points[point])
            assert math.dist(way(seen["bb"], world), true) <= tolerance, point


def way(a: Point, b: Point) -> Point:
    return b[0] - a[0], b[1] - a[1]


def joined(tiles: Mapping[str, Page], first: str, tolerance: float) -> dict[str, Point]:
    """Where each tile lies on the sheet joined from `first` on: neighbours share their edge's crosses."""
    corners = {name: corner_crosses(page) for name, page in tiles.items()}
    cells = {tile_name((c, r)): (c, r) for c in range(30) for r in range(30)}
    places: dict[str, Point] = {first: (0.0, 0.0)}
    waiting = [first]
    while waiting:
        name = waiting.pop()
        c, r = cells[name]
        beside = (
            ((c + 1, r), "upper right", "upper left"), ((c - 1, r), "upper left", "upper right"),
            ((c, r + 1), "lower left", "upper left"), ((c, r - 1), "upper left", "lower left"),
        )  # fmt: skip
        for cell, here, there in beside:
            other = tile_name(cell) if min(cell) >= 0 else ""
            if other not in tiles:
                continue
            a, b = corners[name][here], corners[other][there]
            place = places[name][0] + a[0] - b[0], places[name][1] + a[1] - b[1]
            if other not in places:
                places[other] = place
                waiting.append(other)
            assert math.dist(places[other], place) <= tolerance
    return places


def corner_crosses(page: Page) -> dict[str, Point]:
    """The registration crosses at a tile's corners."""
    found = crosses(page, CROSS)
    assert len(found) >= 4
    return {
        corner: min(found, key=lambda p: math.dist(p, (right * page.width, up * page.height)))
        for corner, (right, up) in CORNERS.items()
    }


@pytest.mark.parametrize("name", ["a4", "a0", "roll-610", "roll-1067"])
def test_compensated_they_agree_and_undo_to_the_layout(name: str, tmp_path: Path):
    paper, printer = medium(name), Printer(1.0042, 0.9971)
    files = Files(tmp_path, paper, printer)
    for sheet, on_pdf, on_svg, on_plt in zip(files.sheets, files.pdf, files.svg, files.plt, strict=True):
        for point, at in on_svg.points.items():
            assert nearest(at, on_plt) <= UNIT
            assert point not in on_pdf.points or math.dist(on_pdf.points[point], at) <= NEAR
        if sheet.kind == "tiles":
            continue
        level = sheet.width >= sheet.height or name.startswith("roll")
        x, y = (printer.x, printer.y) if level else (printer.y, printer.x)
        for point, at in files.dxf.on_layout(name).items():
            layout = files.dxf.papers[name]
            shown = on_svg.points[point]
            undone = ((shown[0] - sheet.width / 2) * x, (shown[1] - sheet.height / 2) * y)
            assert math.dist(undone, (at[0] - layout[0] / 2, at[1] - layout[1] / 2)) <= NEAR


@pytest.mark.parametrize(("name", "heading"), [("small-650b", "right"), ("all-road", "left")])
def test_a_frames_roll_and_tiles_agree(name: str, heading: str, tmp_path: Path):
    """All files of a demo frame as `draw` writes them; heading left, x is minus forward in each."""
    frame = replace(solve(load(SPECS / f"{name}.yaml")), heading=heading)
    order = Order(("roll-1067", "a2"), ("dxf", "svg", "pdf", "plt"))
    written = draw(frame, "frame", tmp_path, order)
    found = {(f.format, f.media, f.sheet): Path(f.path) for f in written.files}
    model, laid = read_dxf(found["dxf", None, None]), read_dxf(found["dxf", "roll-1067", None])
    forward = 1.0 if heading == "right" else -1.0
    assert_agree(model.points, {n: (forward * x, y) for n, (x, y) in frame.plane.points.items()})
    roll = read_svg(found["svg", "roll-1067", None])
    assert_agree(laid.points, model.points)
    on_layout = laid.on_layout("roll-1067")
    assert_agree({n: on_layout[n] for n in roll.points}, roll.points)
    (on_pdf,) = read_pdf(found["pdf", "roll-1067", None], depth=1)
    assert_agree(on_pdf.points, roll.points)
    plotted = read_plt(found["plt", "roll-1067", None])
    assert all(nearest(at, plotted) <= UNIT for at in roll.points.values())
    assert_frame_tiles_join(found, model)


def assert_frame_tiles_join(found: Mapping[tuple[str, str | None, str | None], Path], model: Dxf) -> None:
    """SVG and HP-GL/2 tiles of a frame, joined, against the model."""
    named = {s: p for (f, m, s), p in found.items() if (f, m) == ("svg", "a2") and s}
    tiles = {s: read_svg(p) for s, p in named.items() if re.fullmatch(r"\d+-\d+", s)}
    places = joined(tiles, next(n for n, p in tiles.items() if "bb" in p.points), NEAR)
    seen: dict[str, Point] = {}
    for name, page in tiles.items():
        plotted = read_plt(found["plt", "a2", name])
        for point, at in page.points.items():
            world = at[0] + places[name][0], at[1] + places[name][1]
            assert math.dist(seen.setdefault(point, world), world) <= NEAR
            assert nearest(at, plotted) <= UNIT
    for (a, at), (b, there) in pairwise(seen.items()):
        assert math.dist(way(at, there), way(model.points[a], model.points[b])) <= NEAR, (a, b)
    assert seen.keys() >= {"bb", "rear_axle", "front_axle", "head_tube_top", "seat_tube_top"}


def test_the_comparison_sees_two_hundredths():
    wanted = {"bb": (100.0, 100.0)}
    with pytest.raises(AssertionError):
        assert_agree({"bb": (100.02, 100.0)}, wanted)
    page = Page(210.0, 297.0, {}, [((90.0, 100.0), (110.0, 100.0)), ((100.03, 90.0), (100.03, 110.0))])
    assert nearest((100.0, 100.0), page) == pytest.approx(0.03)


def test_tiles_that_do_not_meet_are_seen():
    def tile(shift: float) -> Page:
        at = [(15.0 + shift, 15.0), (195.0, 15.0), (15.0, 282.0), (195.0, 282.0)]
        strokes = [((x - 5, y), (x + 5, y)) for x, y in at] + [((x, y - 5), (x, y + 5)) for x, y in at]
        return Page(210.0, 297.0, {}, strokes)

    four = {"1-1": tile(0.0), "1-2": tile(0.0), "2-1": tile(0.0), "2-2": tile(0.0)}
    assert joined(four, "1-1", NEAR)["2-2"] == pytest.approx((180.0, -267.0))
    with pytest.raises(AssertionError):
        joined({**four, "1-2": tile(0.03)}, "1-1", NEAR)

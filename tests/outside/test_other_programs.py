"""Other programs open the files and find the control points at true scale.

LibreCAD's command-line converter, Inkscape, poppler and hp2xx, from Debian's packages. Where one
is not installed its test is left out, but never where CI is set: there a missing program fails.
"""

from __future__ import annotations

import math
import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from file_readers import Page, Point, Stroke, crosses, nearest, read_dxf, read_pdf, read_svg

from layout.drafting.dimensions import explode
from layout.drafting.entities import Drawing, Line, Polyline
from layout.drafting.rect import Rect
from layout.drafting.style import Layer, Pattern, Pen
from layout.frame.solve import solve
from layout.pipeline.draft import draft
from layout.pipeline.draw import draw_spec
from layout.pipeline.order import Order
from layout.spec.load import load
from layout.writers.document import DocumentInfo
from layout.writers.dxf.writer import write

SPEC = Path(__file__).parents[2] / "specs" / "all-road.yaml"
MEDIUM = "roll-914"
NEAR, UNIT = 0.01, 0.025
CSS_PIXEL = 25.4 / 96
PAPER_LIMIT = 120.0
"""Seconds that any of the programs may take."""
PIXELS = 160
"""To the millimetre: poppler draws strokes on whole and half pixels."""
WINDOW = 4.0
"""Side of the windows looked through, mm."""
LONG = 20.0
"""Lines of borders and tables are longer than this, mm."""


@dataclass(frozen=True)
class Drawn:
    """One frame's files on one roll, and the points as the XML parser finds them on the page."""

    dxf: Path
    svg: Path
    pdf: Path
    plt: Path
    page: Page


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Drawn:
    folder = tmp_path_factory.mktemp("programs")
    written = draw_spec(load(SPEC), folder, Order((MEDIUM,), ("dxf", "svg", "pdf", "plt")))
    paths = {f.format: Path(f.path) for f in written.files}
    page = read_svg(paths["svg"])
    assert len(page.points) >= 10
    return Drawn(paths["dxf"], paths["svg"], paths["pdf"], paths["plt"], page)


def run(program: str, *arguments: str, folder: Path) -> str:
    """What a program prints; left out where it is not installed, but failed where CI is set."""
    path = shutil.which(program)
    if path is None:
        message = f"{program} is not installed; on Debian: apt-get install {PACKAGES[program]}"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    own = {"QT_QPA_PLATFORM": "offscreen", "HOME": str(folder), "XDG_RUNTIME_DIR": str(folder)}
    environment = {**os.environ, **own}
    done = subprocess.run(
        [path, *arguments], cwd=folder, env=environment, capture_output=True, text=True, timeout=PAPER_LIMIT
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


PACKAGES = {
    "librecad": "librecad",
    "inkscape": "inkscape",
    "pdftoppm": "poppler-utils",
    "pdfinfo": "poppler-utils",
    "hp2xx": "hp2xx",
}


def test_inkscape_finds_the_points_by_name(drawn: Drawn, tmp_path: Path):
    found = {}
    for line in run("inkscape", "--query-all", str(drawn.svg), folder=tmp_path).splitlines():
        name, x, y, width, height = line.rsplit(",", 4)
        if name.startswith("point-"):
            centre = float(x) + float(width) / 2, float(y) + float(height) / 2
            found[name[6:]] = centre[0] * CSS_PIXEL, drawn.page.height - centre[1] * CSS_PIXEL
    assert found.keys() == drawn.page.points.keys()
    for name, at in drawn.page.points.items():
        assert math.dist(found[name], at) <= NEAR, name


def test_poppler_has_the_paper_and_the_names(drawn: Drawn, tmp_path: Path):
    boxes = run("pdfinfo", "-box", str(drawn.pdf), folder=tmp_path)
    for box in ("MediaBox", "CropBox", "TrimBox"):
        line = next(row for row in boxes.splitlines() if row.startswith(box))
        size = [float(v) * 25.4 / 72 for v in line.split()[1:]]
        assert size == pytest.approx([0, 0, drawn.page.width, drawn.page.height], abs=0.002)
    names = run("pdfinfo", "-dests", str(drawn.pdf), folder=tmp_path)
    assert set(re.findall(r'"point-(\w+)"', names)) == drawn.page.points.keys()


@pytest.mark.parametrize("name", ["bb", "rear_axle", "front_axle", "head_tube_top", "seat_tube_top"])
def test_poppler_draws_the_crosses_at_true_scale(drawn: Drawn, tmp_path: Path, name: str):
    """The arms of a cross, 8 to 12 mm out from its middle, on a picture."""
    x, y = drawn.page.points[name]
    up, right = (seen(drawn, tmp_path, x + dx, y + dy) for dx, dy in ((0.0, 10.0), (10.0, 0.0)))
    across = (pixel(x) + middle(up.sum(axis=0))) / PIXELS
    level = drawn.page.height - (pixel(drawn.page.height - y) + middle(right.sum(axis=1))) / PIXELS
    assert math.dist((across, level), (x, y)) <= NEAR


def seen(drawn: Drawn, folder: Path, x: float, y: float) -> np.ndarray:
    """Darkness in a window about a place on the page, rows from the top."""
    left, top, side = pixel(x), pixel(drawn.page.height - y), round(WINDOW * PIXELS)
    crop = ("-x", str(left), "-y", str(top), "-W", str(side), "-H", str(side))
    arguments = ("-r", str(PIXELS * 25.4), "-gray", *crop)
    run("pdftoppm", *arguments, "-singlefile", str(drawn.pdf), str(folder / "window"), folder=folder)
    data = (folder / "window.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    assert head is not None
    return 1 - np.frombuffer(data[head.end() :], np.uint8).reshape(int(head[2]), int(head[1])) / 255


def pixel(at: float) -> int:
    """The first pixel of a window about a place, from the left or from the top."""
    return math.floor((at - WINDOW / 2) * PIXELS)


def middle(dark: np.ndarray) -> float:
    """Where the darkest stroke's ink lies, pixels from the window's edge to its middle."""
    above = dark > (dark.max() + dark.min()) / 2
    first = last = int(dark.argmax())
    while above[first - 1]:
        first -= 1
    while above[last + 1]:
        last += 1
    around = np.arange(first - 2, last + 3)
    return float(np.average(around + 0.5, weights=dark[around] - dark.min()))


def test_hp2xx_draws_the_crosses_at_true_scale(drawn: Drawn, tmp_path: Path):
    run("hp2xx", "-q", "-t", "-m", "gpt", "-f", "out.gpt", str(drawn.plt), folder=tmp_path)
    page = Page(drawn.page.width, drawn.page.height, {}, gnuplot_strokes(tmp_path / "out.gpt"))
    assert len(page.strokes) > 5000
    for name, at in drawn.page.points.items():
        assert nearest(at, page) <= UNIT, name


def test_hp2xx_takes_every_command_and_the_page_as_declared(drawn: Drawn, tmp_path: Path):
    run("hp2xx", "-t", "-m", "gpt", "-l", "log", "-f", "out.gpt", str(drawn.plt), folder=tmp_path)
    told = (tmp_path / "log").read_text()
    assert re.search(r"command\(s\) ignored: 0\b", told) and re.search(r"Unexpected event\(s\):\s+0\b", told)
    assert f"{drawn.page.width:.2f} x {drawn.page.height:.2f} mm, true sizes" in told
    assert "Pens used: 2 3 4 5" in told


def gnuplot_strokes(path: Path) -> list[Stroke]:
    """Pieces of strokes in hp2xx's list of places, mm."""
    strokes: list[Stroke] = []
    at: Point = (0.0, 0.0)
    down = False
    for line in path.read_text("ascii").splitlines():
        if line.startswith("#") or not line.strip():
            down = line.startswith("#PD") or (down and not line.startswith("#"))
            continue
        x, y = (float(v) for v in line.split())
        if down:
            strokes.append((at, (x, y)))
        at = (x, y)
    return strokes


def test_librecad_finds_the_crosses_where_the_model_has_them(drawn: Drawn, factor: float, tmp_path: Path):
    """Its converter makes all lengths 1.00024 times as long; a metre drawn by hand here tells by how much."""
    page = in_librecad(drawn.dxf, tmp_path)
    model = read_dxf(drawn.dxf)
    bb = nearest_cross(page, (0.0, 0.0), 1.0)
    for name, (x, y) in model.points.items():
        found = nearest_cross(page, (bb[0] + x * factor, bb[1] + y * factor), 1.0)
        assert math.dist(found, (bb[0] + x * factor, bb[1] + y * factor)) <= 0.03, name
    assert len(model.points) >= 15


@pytest.mark.parametrize("spec", sorted(SPEC.parent.glob("*.yaml")), ids=lambda p: p.stem)
def test_librecad_shows_the_frame_and_nothing_over_it(spec: Path, factor: float, tmp_path: Path):
    """Borders and tables of the layouts, which it does not know, fell onto the frame."""
    written = draw_spec(load(spec), tmp_path, Order(formats=("dxf",)))
    assert [Path(f.path).name for f in written.files][:2] == [f"{spec.stem}.dxf", f"{spec.stem}-sheets.dxf"]
    ours = draft(solve(load(spec)), spec.name)
    window = ours.arrangement.core_window
    page = in_librecad(Path(written.files[0].path), tmp_path)
    x, y = nearest_cross(page, (0.0, 0.0), 1.0)
    theirs = [
        ((ax - x) / factor, (ay - y) / factor, (bx - x) / factor, (by - y) / factor)
        for (ax, ay), (bx, by) in page.strokes
    ]
    parts = [part for e in ours.whole for part in explode(e)]
    drawn = [(*s.start, *s.end) for s in parts if isinstance(s, Line)]
    drawn += [(*a, *b) for s in parts if isinstance(s, Polyline) for a, b in pairwise(s.points)]
    for upright in (False, True):
        known = list(straight(drawn, upright))
        found = [
            (at, a, b)
            for at, a, b in straight(theirs, upright)
            if b - a > LONG and inside(at, a, b, window, upright)
        ]
        assert len(found) > 5
        for at, a, b in found:
            assert any(abs(at - k) <= 0.05 and c <= b and a <= d for k, c, d in known), (at, a, b)
    strokes = np.array(list(both_ways(theirs)))
    for outline in (e for e in ours.whole if isinstance(e, Line) and e.layer is Layer.OUTLINE):
        ends = np.array([*outline.start, *outline.end])
        assert np.abs(strokes - ends).max(axis=1).min() <= 0.05


def test_librecad_keeps_dashed_and_centre_lines_dashed(tmp_path: Path):
    """It has its own patterns, by name: under names after ISO 128-2's numbers all came continuous."""
    strokes = {}
    for i, pattern in enumerate((Pattern.CONTINUOUS, Pattern.DASHED, Pattern.CHAIN)):
        line = Line((0.0, 0.0), (200.0, 0.0), Layer.OUTLINE, Pen(0.25, pattern))
        path = tmp_path / f"{i}.dxf"
        write(Drawing("line", (line,)), path, DocumentInfo("line"))
        strokes[pattern] = len(in_librecad(path, tmp_path).strokes)
    assert strokes[Pattern.CONTINUOUS] == 1
    assert strokes[Pattern.DASHED] > 10 and strokes[Pattern.CHAIN] > 10


@pytest.fixture(scope="module")
def factor(tmp_path_factory: pytest.TempPathFactory) -> float:
    """How long LibreCAD makes a metre: two small crosses, in the oldest and plainest DXF."""
    folder = tmp_path_factory.mktemp("metre")
    lines = [
        f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n"
        for x in (0.0, 1000.0)
        for a, b, c, d in ((x - 5, 0.0, x + 5, 0.0), (x, -5.0, x, 5.0))
    ]
    path = folder / "metre.dxf"
    paper = "9\n$PLIMMIN\n10\n0.0\n20\n0.0\n9\n$PLIMMAX\n10\n420.0\n20\n297.0\n"
    head = f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n4\n{paper}0\nENDSEC\n"
    path.write_text(f"{head}0\nSECTION\n2\nENTITIES\n{''.join(lines)}0\nENDSEC\n0\nEOF\n")
    at = sorted(crosses(in_librecad(path, folder), 10.0, 0.1))
    assert len(at) == 2
    found = math.dist(*at) / 1000.0
    assert found == pytest.approx(1.0, abs=0.0005)
    return found


def straight(
    strokes: Iterable[tuple[float, float, float, float]], upright: bool
) -> Iterator[tuple[float, float, float]]:
    """Level or upright strokes: where, from, to."""
    for ax, ay, bx, by in strokes:
        a, b, at, off = (ay, by, ax, ax - bx) if upright else (ax, bx, ay, ay - by)
        if abs(off) < 0.005:
            yield at, min(a, b), max(a, b)


def inside(at: float, a: float, b: float, window: Rect, upright: bool) -> bool:
    """Whether any of a stroke lies in a window."""
    across, along = (window.left, window.right), (window.bottom, window.top)
    low, high = (across, along) if upright else (along, across)
    return low[0] < at < low[1] and b > high[0] and a < high[1]


def both_ways(
    strokes: Iterable[tuple[float, float, float, float]],
) -> Iterator[tuple[float, float, float, float]]:
    for ax, ay, bx, by in strokes:
        yield ax, ay, bx, by
        yield bx, by, ax, ay


def in_librecad(path: Path, folder: Path) -> Page:
    out = folder / f"{path.stem}-cad"
    run("librecad", "dxf2pdf", "-s", "1", "-t", str(out), str(path), folder=folder)
    (page,) = read_pdf(out / f"{path.stem}.pdf")
    return page


def nearest_cross(page: Page, at: Point, within: float) -> Point:
    """Where a level and an upright stroke through a place's neighbourhood cross, nearest to it."""
    level = [
        (a[1] + b[1]) / 2
        for a, b in page.strokes
        if abs(a[1] - b[1]) < 0.002 and abs(a[1] - at[1]) < within and _over(a[0], b[0], at[0])
    ]
    upright = [
        (a[0] + b[0]) / 2
        for a, b in page.strokes
        if abs(a[0] - b[0]) < 0.002 and abs(a[0] - at[0]) < within and _over(a[1], b[1], at[1])
    ]
    assert level and upright, at
    return min(upright, key=lambda x: abs(x - at[0])), min(level, key=lambda y: abs(y - at[1]))


def _over(a: float, b: float, at: float) -> bool:
    return min(a, b) - 1.0 <= at <= max(a, b) + 1.0

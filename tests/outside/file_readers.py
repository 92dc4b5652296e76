"""What lies on the pages of written files, in mm from the lower left corner, by other readers.

PDF has pypdf for boxes and named points and PDFium (pypdfium2) for strokes, through every matrix;
SVG Python's XML parser; HP-GL/2 an interpreter of its commands; DXF raw group codes, of model space
and of layouts with their viewports.
"""

from __future__ import annotations

import ctypes
import math
import re
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pypdfium2
import pypdfium2.raw as pdfium

MM = 25.4 / 72
SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]
Stroke = tuple[Point, Point]


@dataclass
class Page:
    """One page: its size, its named points, its straight strokes."""

    width: float
    height: float
    points: dict[str, Point] = field(default_factory=dict)
    strokes: list[Stroke] = field(default_factory=list)


def read_pdf(path: Path, depth: int = 4) -> list[Page]:
    """Every page; strokes inside forms only where `depth` is over 1."""
    reader = pypdf.PdfReader(path)
    pages = [Page(float(p.mediabox.width) * MM, float(p.mediabox.height) * MM) for p in reader.pages]
    for name, place in reader.named_destinations.items():
        if name.lstrip("/").startswith("point-"):
            page = pages[reader.get_destination_page_number(place) or 0]
            page.points[name.lstrip("/")[6:]] = float(place["/Left"]) * MM, float(place["/Top"]) * MM
    with pypdfium2.PdfDocument(path) as document:
        for page, sheet in zip(pages, document, strict=True):
            for shape in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=depth):
                page.strokes += _pdf_strokes(shape)
    return pages


def _pdf_strokes(shape: pypdfium2.PdfObject) -> list[Stroke]:
    matrix, around = shape.get_matrix(), shape.container
    while around is not None:
        matrix, around = matrix.multiply(around.get_matrix()), around.container
    found: list[Stroke] = []
    at: Point = (0.0, 0.0)
    for i in range(pdfium.FPDFPath_CountSegments(shape.raw)):
        piece = pdfium.FPDFPath_GetPathSegment(shape.raw, i)
        x, y = ctypes.c_float(), ctypes.c_float()
        assert pdfium.FPDFPathSegment_GetPoint(piece, x, y)
        px, py = matrix.on_point(x.value, y.value)
        there = (px * MM, py * MM)
        if pdfium.FPDFPathSegment_GetType(piece) == pdfium.FPDF_SEGMENT_LINETO:
            found.append((at, there))
        at = there
    return found


def read_svg(path: Path) -> Page:
    root = ElementTree.parse(path).getroot()
    width, height = (float(root.attrib[k].removesuffix("mm")) for k in ("width", "height"))
    assert [float(v) for v in root.attrib["viewBox"].split()] == [0.0, 0.0, width, height]
    page = Page(width, height)
    for e in root.iter(f"{SVG}circle"):
        if e.attrib.get("id", "").startswith("point-"):
            page.points[e.attrib["id"][6:]] = float(e.attrib["cx"]), height - float(e.attrib["cy"])
    for e in root.iter(f"{SVG}path"):
        at: Point = (0.0, 0.0)
        for command, numbers in re.findall(r"([A-Za-z])([^A-Za-z]*)", e.attrib["d"]):
            values = [float(v) for v in re.findall(r"-?[\d.]+", numbers)]
            if command in "Zz":
                continue
            assert command in "MLCA", command
            there = (values[-2], height - values[-1])
            if command == "L":
                page.strokes.append((at, there))
            at = there
    return page


def read_plt(path: Path) -> Page:
    """The strokes of an HP-GL/2 file: only runs of one piece are kept, crosses being such."""
    page, pen, at, runs = Page(0.0, 0.0), False, (0.0, 0.0), []
    for command, numbers in re.findall(r"([A-Z]{2})([^;]*);", path.read_text("ascii")):
        values = [float(v) for v in numbers.split(",")] if numbers else []
        if command == "PS":
            page.width, page.height = values[0] / 40, values[1] / 40
        if command in ("PU", "PD"):
            if command == "PD" and not pen:
                runs.append([at])
            pen = command == "PD"
            for dx, dy in zip(values[::2], values[1::2], strict=True):
                at = at[0] + dx, at[1] + dy
                if pen:
                    runs[-1].append(at)
    page.strokes = [
        ((a[0] / 40, a[1] / 40), (b[0] / 40, b[1] / 40)) for a, b in (r for r in runs if len(r) == 2)
    ]
    return page


@dataclass
class Window:
    """A viewport of a layout: its middle on paper, its size, what it looks at, scale and turn."""

    middle: Point
    size: Point
    target: Point
    scale: float
    twist: float

    def shows(self, p: Point) -> Point | None:
        a = math.radians(self.twist)
        dx, dy = p[0] - self.target[0], p[1] - self.target[1]
        x = self.scale * (dx * math.cos(a) - dy * math.sin(a))
        y = self.scale * (dx * math.sin(a) + dy * math.cos(a))
        inside = abs(x) <= self.size[0] / 2 and abs(y) <= self.size[1] / 2
        return (self.middle[0] + x, self.middle[1] + y) if inside else None


@dataclass
class Dxf:
    """The named points of model space, and of each layout its paper and its viewports."""

    points: dict[str, Point]
    papers: dict[str, Point]
    windows: dict[str, list[Window]]

    def on_layout(self, name: str) -> dict[str, Point]:
        """The model's points as a layout shows them."""
        shown = {n: [at for w in self.windows[name] if (at := w.shows(p))] for n, p in self.points.items()}
        return {n: places[0] for n, places in shown.items() if places}


def read_dxf(path: Path) -> Dxf:
    rows = path.read_text("utf-8").split("\n")
    tags = [(int(c), v.strip()) for c, v in zip(rows[0:-1:2], rows[1::2], strict=False)]
    starts = [i for i, tag in enumerate(tags) if tag[0] == 0]
    records = [tags[a:b] for a, b in pairwise([*starts, len(tags)])]
    found = Dxf({}, {}, {})
    for record in records:
        if record[0][1] == "POINT":
            name = next(v for c, v in record if c == 1000)
            found.points[name] = _pair(record, 10)
        if record[0][1] == "LAYOUT":
            own = record[record.index((100, "AcDbLayout")) :]
            name, block = _value(own, 1), _value(own, 330)
            found.papers[name] = float(_value(record, 44)), float(_value(record, 45))
            views = [r for r in records if r[0][1] == "VIEWPORT" and _value(r, 330) == block]
            found.windows[name] = [_window(r) for r in views if _value(r, 69) != "1"]
    return found


def _window(record: list[tuple[int, str]]) -> Window:
    width, height, view, twist = (float(_value(record, c)) for c in (40, 41, 45, 51))
    assert _pair(record, 12) == (0.0, 0.0)
    return Window(_pair(record, 10), (width, height), _pair(record, 17), height / view, twist)


def _value(record: list[tuple[int, str]], code: int) -> str:
    return next(v for c, v in record if c == code)


def _pair(record: list[tuple[int, str]], code: int) -> Point:
    return float(_value(record, code)), float(_value(record, code + 10))


def crosses(page: Page, arm: float, slack: float = 0.05) -> list[Point]:
    """Where a level and an upright stroke, both `arm` mm long within `slack`, cross at their middles."""

    def middles(upright: bool) -> list[Point]:
        along, across = (1, 0) if upright else (0, 1)
        return [
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            for a, b in page.strokes
            if abs(abs(a[along] - b[along]) - arm) <= slack and abs(a[across] - b[across]) <= slack / 2
        ]

    level, upright = middles(False), middles(True)
    return [(u[0], v[1]) for v in level for u in upright if math.dist(u, v) <= slack]


def nearest(at: Point, page: Page) -> float:
    """How far from `at` the nearest crossing of a level and an upright stroke through it is, mm."""
    level = [a[1] for a, b in page.strokes if a[1] == b[1] and _spans(a[0], b[0], at[0])]
    upright = [a[0] for a, b in page.strokes if a[0] == b[0] and _spans(a[1], b[1], at[1])]
    dy = min((abs(y - at[1]) for y in level), default=math.inf)
    dx = min((abs(x - at[0]) for x in upright), default=math.inf)
    return math.hypot(dx, dy)


def _spans(a: float, b: float, at: float) -> bool:
    return min(a, b) - 0.03 <= at <= max(a, b) + 0.03

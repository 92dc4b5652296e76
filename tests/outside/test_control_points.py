"""Every control point of every frame, read from the files with readers that did not write them.

DXF: GDAL through pyogrio, and raw group codes for the names in XDATA. SVG: an XML parser. PDF: pypdf.
All within 0.01 mm of the solver, on six demos and generated frames (fifty with WHOLE_STUDIES=1). ezdxf's
audit finds nothing.
"""

from __future__ import annotations

import os
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pyogrio
import pypdf
import pytest
import shapely

from layout.frame.solve import Frame
from tests.conftest import Drawn

NEAR = 0.01
POINT_PT = 72 / 25.4

Points = dict[str, tuple[float, float]]


def expected(frame: Frame) -> Points:
    sign = -1.0 if frame.heading == "left" else 1.0
    return {n: (sign * x, y) for n, (x, y) in frame.plane.points.items()}


def assert_same(found: Points, wanted: Points, shift: bool = False) -> None:
    """Within NEAR of each other; with `shift`, after moving the BB onto the origin."""
    x0, y0 = found["bb"] if shift else (0.0, 0.0)
    for name, (x, y) in found.items():
        assert (x - x0, y - y0) == pytest.approx(wanted[name], abs=NEAR), name


def dxf_names(path: Path) -> Points:
    """POINT entities with their names, from raw group codes."""
    rows = path.read_text("utf-8").split("\n")
    codes = [(int(c), v.rstrip("\r")) for c, v in zip(rows[0:-1:2], rows[1::2], strict=False)]
    found: Points = {}
    inside, at, named = False, [0.0, 0.0], False
    for code, value in codes:
        if code == 0:
            inside, named = value == "POINT", False
        elif inside and code in (10, 20):
            at[0 if code == 10 else 1] = float(value)
        elif inside and code == 1001:
            named = value == "LAYOUT"
        elif inside and code == 1000 and named:
            found[value] = (at[0], at[1])
    return found


def svg_points(path: Path) -> tuple[Points, float]:
    """Circles point-NAME in root coordinates, y turned upwards, and the sheet's height."""
    root = ET.parse(path).getroot()
    width, height = (float(root.attrib[k].removesuffix("mm")) for k in ("width", "height"))
    assert root.attrib["viewBox"].split() == ["0", "0", *(f"{v:g}" for v in (width, height))]
    parents = {child: parent for parent in root.iter() for child in parent}
    found: Points = {}
    for e in root.iter("{http://www.w3.org/2000/svg}circle"):
        if e.attrib.get("id", "").startswith("point-"):
            above = e
            while above in parents:
                assert "transform" not in above.attrib
                above = parents[above]
            found[e.attrib["id"][6:]] = (float(e.attrib["cx"]), height - float(e.attrib["cy"]))
    return found, height


def pdf_points(path: Path) -> Points:
    found: Points = {}
    for name, at in pypdf.PdfReader(path).named_destinations.items():
        if name.lstrip("/").startswith("point-"):
            found[name.lstrip("/")[6:]] = (float(at["/Left"]) / POINT_PT, float(at["/Top"]) / POINT_PT)
    return found


def test_every_format_holds_the_points(frame_name: str, frame: Frame, drawn: Callable[[str], Drawn]):
    wanted = expected(frame)
    written = drawn(frame_name).written
    paths = {(f.format, f.kind): Path(f.path) for f in written.files}
    by_name = dxf_names(paths["dxf", "drawing"])
    assert by_name.keys() == wanted.keys()
    assert_same(by_name, wanted)
    os.environ["DXF_ENCODING"] = "UTF-8"
    _, _, shapes, _ = pyogrio.raw.read(paths["dxf", "drawing"], where="Layer = 'POINT'")
    spots = [(g.x, g.y) for g in shapely.from_wkb(shapes) if g.geom_type == "Point"]
    for name, (x, y) in wanted.items():
        assert min(max(abs(x - a), abs(y - b)) for a, b in spots) < NEAR, name
    assert len(spots) == len(wanted)
    on_svg, _ = svg_points(paths["svg", "drawing"])
    on_pdf = pdf_points(paths["pdf", "drawing"])
    core = wanted.keys() - {"rear_contact", "front_contact", "saddle", "bar"}
    assert core <= on_svg.keys() and on_svg.keys() == on_pdf.keys()
    assert_same(on_svg, wanted, shift=True)
    assert_same(on_pdf, wanted, shift=True)
    assert_same(on_pdf, on_svg)
    on_tiles = pypdf.PdfReader(paths["pdf", "tiles"]).named_destinations
    assert core <= {n.lstrip("/")[6:] for n in on_tiles if n.lstrip("/").startswith("point-")}
    auditor = ezdxf.readfile(paths["dxf", "drawing"]).audit()
    assert not auditor.errors and not auditor.fixes


def test_pdf_pages_are_the_paper(demo_name: str, drawn: Callable[[str], Drawn]):
    files = [f for f in drawn(demo_name).written.files if f.format == "pdf"]
    assert len(files) == 2
    for f in files:
        assert f.size is not None
        for page in pypdf.PdfReader(f.path).pages:
            box = [float(v) for v in page.mediabox]
            assert box == pytest.approx([0, 0, f.size[0] * POINT_PT, f.size[1] * POINT_PT], abs=1e-3)
            assert "/UserUnit" not in page and "/Rotate" not in page


def test_the_comparison_fails_on_a_file_off_scale(
    demo_name: str, demo_frame: Frame, drawn: Callable[[str], Drawn], tmp_path: Path
):
    path = tmp_path / "frame.dxf"
    text = drawn(demo_name).path("dxf").read_text("utf-8")
    moved = re.sub(r"(AcDbPoint\n 10\n)([-\d.]+)", lambda m: f"{m[1]}{float(m[2]) * 1.01 + 0.02}", text)
    assert moved != text
    path.write_text(moved, "utf-8")
    with pytest.raises(AssertionError):
        assert_same(dxf_names(path), expected(demo_frame))

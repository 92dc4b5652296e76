"""Every part's DXF as GDAL and LibreCAD read it: the same bounding box, the same number of contours.

GDAL's DXF driver comes with pyogrio (https://gdal.org). LibreCAD (Debian's package, run without a
screen) prints each file to PDF, whose strokes are then chained into contours.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pikepdf
import pyogrio.raw
import pytest
import shapely

sys.path.insert(0, str(Path(__file__).parent))

from plate_parts import NAMES, written

GDAL_AGREES = 2e-3
"""GDAL draws arcs as chords: with steps of a degree a box is short by less than this, mm."""
LIBRECAD_FACTOR = 1.000240
"""Measured: LibreCAD 2.2.0 prints all coordinates this much too large, its own rounding of a point."""
DOT = 25.4 / 1200
"""LibreCAD prints on a raster of 1200 dots an inch."""
A3 = (400.0, 280.0)
"""What it has room for; a larger part is printed at a quarter of its size."""
QUARTER = 0.25
CUT_COLOUR = (1.0, 0.0, 0.0)
"""Layer CUT is red."""
LIBRECAD = shutil.which("librecad")


def cut_by_gdal(path: Path) -> list[shapely.Geometry]:
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "1"})
    meta, _, geometry, columns = pyogrio.raw.read(path)
    layer = dict(zip(meta["fields"], columns, strict=True))["Layer"]
    assert set(layer) == {"CUT", "ENGRAVE"}
    return [g for g, name in zip(shapely.from_wkb(geometry), layer, strict=True) if name == "CUT"]


@pytest.mark.parametrize("name", NAMES)
def test_gdal_reads_the_same_box_and_contours(name: str) -> None:
    for path, plate, by in written(name).values():
        contours = cut_by_gdal(path)
        assert len(contours) == len(plate.shapes), path.name
        assert all(shapely.is_closed(g) for g in contours), path.name
        left, bottom, right, top = plate.bounds
        meant = (left + by[0], bottom + by[1], right + by[0], top + by[1])
        assert shapely.total_bounds(contours) == pytest.approx(meant, abs=GDAL_AGREES), path.name


def bezier(start: tuple[float, float], *rest: np.ndarray) -> list[tuple[float, float]]:
    """Points on a cubic curve, its end among them: LibreCAD prints circles as four of these."""
    t = np.linspace(0.0, 1.0, 41)[1:, None]
    a, b, c, d = (np.array(p) for p in (start, *rest))
    found = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d
    return [(float(x), float(y)) for x, y in found]


def strokes(pdf: Path, scale: float) -> list[np.ndarray]:
    """Red strokes of a printed page, mm of the part, y up from the page's lower edge."""
    found: list[np.ndarray] = []
    colour: tuple[float, ...] = ()
    with pikepdf.open(pdf) as document:
        page = document.pages[0]
        points: list[tuple[float, float]] = []
        matrix = np.eye(3)
        for operands, operator in pikepdf.parse_content_stream(page):
            match str(operator):
                case "cm":
                    a, b, c, d, e, f = (float(v) for v in operands)
                    matrix = np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]]) @ matrix
                case "SCN":
                    colour = tuple(round(float(v), 3) for v in operands)
                case "m":
                    points = [(float(operands[0]), float(operands[1]))]
                case "l":
                    points.append((float(operands[0]), float(operands[1])))
                case "c":
                    points += bezier(points[-1], *np.reshape([float(v) for v in operands], (3, 2)))
                case "S" if colour == CUT_COLOUR:
                    rows = np.array([(x, y, 1.0) for x, y in points]) @ matrix
                    found.append(rows[:, :2] * 25.4 / 72.0 / scale / LIBRECAD_FACTOR)
                case _:
                    pass
    return found


def chained(pieces: list[np.ndarray], near: float) -> list[bool]:
    """Pieces that run on into each other, as rings: for each whether each of its ends meets one other."""
    ends = np.array([p for piece in pieces for p in (piece[0], piece[-1])])
    group = list(range(len(pieces)))
    met = np.zeros(len(ends), dtype=int)

    def root(k: int) -> int:
        while group[k] != k:
            k = group[k]
        return k

    for i in range(len(ends)):
        for j in np.flatnonzero(np.hypot(*(ends[i + 1 :] - ends[i]).T) <= near) + i + 1:
            met[i] += 1
            met[j] += 1
            group[root(i // 2)] = root(int(j) // 2)
    roots = sorted({root(k) for k in range(len(pieces))})
    return [all(met[2 * k] == met[2 * k + 1] == 1 for k in range(len(pieces)) if root(k) == r) for r in roots]


@dataclass(frozen=True)
class Printed:
    """A part on two pages: in the corner where its file has it, and in the middle; and at what scale.

    An arc that touches the page's edge LibreCAD may draw on the wrong side: so contours and size are
    taken from the middle, and the corner only says where the part begins.
    """

    corner: Path
    middle: Path
    scale: float


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Printed]:
    """Every part of every frame printed by LibreCAD, by the file's stem."""
    folder = tmp_path_factory.mktemp("librecad")
    scales: dict[float, list[Path]] = {1.0: [], QUARTER: []}
    for name in NAMES:
        for path, plate, _ in written(name).values():
            fits = plate.size[0] < A3[0] and plate.size[1] < A3[1]
            scales[1.0 if fits else QUARTER].append(path)
    found = {}
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(folder)}
    for scale, paths in scales.items():
        for where, option in (("corner", ()), ("middle", ("-c",))):
            out = folder / where
            out.mkdir(exist_ok=True)
            command = [str(LIBRECAD), "dxf2pdf", "-s", str(scale), *option, "-t", str(out), *map(str, paths)]
            subprocess.run(command, env=environment, check=True, capture_output=True, timeout=60)
        for path in paths:
            pages = (folder / where / f"{path.stem}.pdf" for where in ("corner", "middle"))
            found[path.stem] = Printed(*pages, scale)
    return found


@pytest.mark.skipif(
    LIBRECAD is None and not os.environ.get("CI"),
    reason="LibreCAD is not installed (apt-get install -y --no-install-recommends librecad)",
)
@pytest.mark.parametrize("name", NAMES)
def test_librecad_reads_the_same_box_and_contours(name: str, printed: dict[str, Printed]) -> None:
    for path, plate, by in written(name).values():
        pages = printed[path.stem]
        dot = DOT / pages.scale
        pieces = strokes(pages.middle, pages.scale)
        rings = chained(pieces, 2.5 * dot)
        assert len(rings) == len(plate.shapes), path.name
        assert all(rings), path.name
        every = np.concatenate(pieces)
        assert np.ptp(every, axis=0) == pytest.approx(plate.size, abs=2 * dot), path.name
        corner = np.concatenate(strokes(pages.corner, pages.scale)).min(axis=0)
        left, bottom, _, _ = plate.bounds
        assert corner == pytest.approx((left + by[0], bottom + by[1]), abs=2 * dot), path.name


def test_librecad_is_there_where_it_has_to_be() -> None:
    """Where changes are landed the program must not be missing: the check above would then prove nothing."""
    assert LIBRECAD is not None or not os.environ.get("CI"), "LibreCAD is missing"

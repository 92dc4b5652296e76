"""Every part's file measured with shapely (GEOS): closed, simple, apart, as large as listed, holes in place.

The files are read by ezdxf; arcs become chords here, by formulas of this file alone.
"""

from __future__ import annotations

import csv
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely

sys.path.insert(0, str(Path(__file__).parent))

from plate_parts import NAMES, Made, made, written

from layout.bench.plates.order import order_csv, order_rows

CHORD = 1e-5
"""Chords leave an arc by at most this, mm."""
CLOSED = 1e-6
PLACED = 0.01
"""Holes and axes lie where the solver has them within this, mm."""
DENSITIES = {"steel S235": 7.85, "aluminium 5083": 2.7}
"""kg/dm3: EN 1993-1-2 and EN 1999-1-1, from memory."""
AXES = {
    "seat": ("seat_tube_foot", "seat_tube_top"),
    "top": ("top_tube_at_seat", "top_tube_at_head"),
    "down": ("down_tube_at_bb", "down_tube_at_head"),
    "head": ("head_tube_bottom", "head_tube_top"),
}

Row = tuple[float, float, float]


@dataclass(frozen=True)
class File:
    """What ezdxf finds in one part's file; `by` is how far the part was moved into the corner."""

    rings: list[list[Row]]
    circles: list[tuple[float, float, float]]
    engraved: list[np.ndarray]
    kinds: set[tuple[str, str]]
    by: tuple[float, float]

    @cached_property
    def loops(self) -> list[np.ndarray]:
        """Every contour as chords, the outline first, ends included."""
        return [np.array(list(_chords(r))) for r in self.rings] + [_circle(*c) for c in self.circles]

    @cached_property
    def part(self) -> shapely.Polygon:
        """The part: its largest contour less all others."""
        polygons = sorted((shapely.Polygon(loop) for loop in self.loops), key=lambda p: -p.area)
        return shapely.Polygon(polygons[0].exterior, [p.exterior for p in polygons[1:]])


def _chords(ring: list[Row]) -> Iterator[tuple[float, float]]:
    """A ring's vertices and points on its arcs, the first point again at the end."""
    for (x0, y0, k), (x1, y1, _) in zip(ring, [*ring[1:], ring[0]], strict=True):
        yield x0, y0
        if k:
            chord = math.hypot(x1 - x0, y1 - y0)
            radius = chord * (1 + k * k) / (4 * abs(k))
            count = math.ceil(4 * abs(math.atan(k)) / (2 * math.acos(1 - CHORD / radius)))
            cx = (x0 + x1) / 2 - (y1 - y0) * (1 - k * k) / (4 * k)
            cy = (y0 + y1) / 2 + (x1 - x0) * (1 - k * k) / (4 * k)
            start = math.atan2(y0 - cy, x0 - cx)
            for j in range(1, count):
                a = start + 4 * math.atan(k) * j / count
                yield cx + radius * math.cos(a), cy + radius * math.sin(a)
    yield ring[0][0], ring[0][1]


def _circle(x: float, y: float, r: float) -> np.ndarray:
    count = math.ceil(math.pi / math.acos(1 - CHORD / r))
    a = np.linspace(0.0, 2 * math.pi, count + 1)
    a[-1] = 0.0
    return np.stack([x + r * np.cos(a), y + r * np.sin(a)], axis=1)


def _read(path: Path, by: tuple[float, float]) -> File:
    rings, circles, engraved, kinds = [], [], [], set()
    doc = ezdxf.readfile(path)
    for e in doc.modelspace():
        kinds.add((e.dxftype(), e.dxf.layer))
        if e.dxftype() == "CIRCLE":
            circles.append((e.dxf.center.x, e.dxf.center.y, e.dxf.radius))
        elif e.dxftype() == "LINE":
            engraved.append(np.array([e.dxf.start.vec2, e.dxf.end.vec2]))
        elif e.dxf.layer == "CUT":
            assert e.closed, path
            rings.append([tuple(row) for row in e.get_points("xyb")])
        else:
            engraved.append(np.array(e.get_points("xy")))
    return File(rings, circles, engraved, kinds, by)


@dataclass(frozen=True)
class Case:
    """All files of one frame by the part's name."""

    made: Made
    files: dict[str, File]
    listed: dict[str, dict[str, str]]

    @property
    def cradles(self) -> list[str]:
        return [n for n in self.files if "_cradle_" in n]

    def holes(self) -> list[tuple[float, float, float]]:
        """Every round hole of the base, in the fixture's own coordinates."""
        found = []
        for name, file in self.files.items():
            if name.startswith("base") and name != "base_strap":
                found += [(x - file.by[0], y - file.by[1], 2 * r) for x, y, r in file.circles]
        return found

    def point(self, name: str) -> tuple[float, float]:
        """A point of the solved frame as the fixture has it: mirrored where the bicycle heads left."""
        x, y = self.made.frame.plane.points[name]
        return (-x if self.made.frame.heading == "left" else x), y


@pytest.fixture(scope="module", params=NAMES)
def case(request: pytest.FixtureRequest) -> Case:
    name = request.param
    listed = csv.DictReader(order_csv(order_rows(made(name).fixture, name), "mark").splitlines())
    by_name = {row["part"].replace(" ", "_"): row for row in listed}
    files = {part: _read(path, by) for part, (path, _, by) in written(name).items()}
    return Case(made(name), files, by_name)


def test_there_is_a_sensible_set(case: Case) -> None:
    assert len(case.files) >= 20
    assert len(case.cradles) == 8


def test_files_hold_closed_contours_and_strokes_and_nothing_else(case: Case) -> None:
    allowed = {("LWPOLYLINE", "CUT"), ("CIRCLE", "CUT"), ("LINE", "ENGRAVE"), ("LWPOLYLINE", "ENGRAVE")}
    for name, file in case.files.items():
        assert file.kinds <= allowed, name
        assert any(layer == "ENGRAVE" for _, layer in file.kinds), name
        for loop in file.loops:
            assert math.dist(loop[0], loop[-1]) <= CLOSED, name


def test_contours_are_valid_and_cross_nothing(case: Case) -> None:
    for name, file in case.files.items():
        for loop in file.loops:
            assert shapely.LinearRing(loop).is_simple, name
            assert shapely.Polygon(loop).is_valid, name
        part = file.part
        assert part.is_valid, name
        outline = shapely.Polygon(part.exterior)
        for hole in part.interiors:
            assert outline.contains(hole), name


def test_no_piece_is_cut_twice(case: Case) -> None:
    """No two pieces of all contours share more than an end; contours share nothing at all."""
    for name, file in case.files.items():
        rings = [shapely.LinearRing(loop) for loop in file.loops]
        one, other = shapely.STRtree(rings).query(rings, predicate="intersects")
        assert all(one == other), name
        for ring in file.rings:
            ends = [(a[:2], b[:2]) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]
            keys = {tuple(sorted((tuple(np.round(p, 5)), tuple(np.round(q, 5))))) for p, q in ends}
            assert len(keys) == len(ring) or len(ring) == 2, name
            assert min(math.dist(p, q) for p, q in ends) > 1e-3, name


def test_engraving_lies_on_the_material(case: Case) -> None:
    for name, file in case.files.items():
        inner = file.part.buffer(-0.5)
        for stroke in file.engraved:
            assert inner.contains(shapely.LineString(stroke)), name


def test_parts_lie_in_the_positive_quadrant(case: Case) -> None:
    for name, file in case.files.items():
        left, bottom, _, _ = file.part.bounds
        assert 0.0 <= left < 1.0 + 1e-6, name
        assert 0.0 <= bottom < 1.0 + 1e-6, name


def test_areas_lengths_and_weights_are_as_listed(case: Case) -> None:
    process = case.made.fixture.settings.process
    assert case.listed.keys() == {*case.files, "all_parts"}
    weight = 0.0
    for name, file in case.files.items():
        row, part = case.listed[name], file.part
        assert float(row["area mm2"]) == pytest.approx(part.area, abs=0.51)
        assert float(row["cut length mm"]) == pytest.approx(part.length, abs=0.51)
        kilograms = part.area * process.thickness * DENSITIES[process.material] * 1e-6
        assert float(row["weight kg"]) == pytest.approx(kilograms, abs=6e-4)
        assert int(row["contours"]) == len(file.loops)
        left, bottom, right, top = part.bounds
        assert float(row["width mm"]) == pytest.approx(right - left, abs=0.051)
        assert float(row["height mm"]) == pytest.approx(top - bottom, abs=0.051)
        weight += int(row["quantity"]) * kilograms
    assert float(case.listed["all_parts"]["weight kg"]) == pytest.approx(weight, abs=0.01)


def test_holes_are_where_the_solver_has_the_points(case: Case) -> None:
    """BB and rear axle in the base; the bars' holes as far apart as the solved centres."""
    holes = case.holes()
    for point in ("bb", "rear_axle"):
        at = case.point(point)
        assert min(math.dist(at, h[:2]) for h in holes) <= PLACED, point
    for bar, dimension in (("rear_centre_bar", "rear_centre"), ("front_centre_bar", "front_centre")):
        (x0, y0, _), (x1, y1, _) = case.files[bar].circles
        assert abs(math.dist((x0, y0), (x1, y1)) - case.made.frame.plane.dimensions[dimension]) <= PLACED
    a, b = (np.array(case.point(p)) for p in ("bb", "rear_axle"))
    assert abs(float(np.hypot(*(b - a))) - case.made.frame.plane.dimensions["rear_centre"]) <= PLACED


def _bolt_hole(case: Case, cradle: str) -> np.ndarray:
    """The base's hole for a cradle's bolt: the one nearest where the cradle is said to stand."""
    seat = case.made.fixture.seats[cradle]
    x, y, _ = min(case.holes(), key=lambda h: math.dist(h[:2], seat.at))
    return np.array([x, y])


def test_cradles_stand_square_across_the_solved_axes(case: Case) -> None:
    """Each bolt hole lies on its tube's axis, its two slots square across it at equal distances."""
    for cradle in case.cradles:
        a, b = (np.array(case.point(p)) for p in AXES[cradle.split("_")[0]])
        u = (b - a) / np.hypot(*(b - a))
        n = np.array([-u[1], u[0]])
        hole = _bolt_hole(case, cradle)
        assert abs(float((hole - a) @ n)) <= PLACED, cradle
        near = sorted(_slot_middles(case), key=lambda m: float(np.hypot(*(m - hole))))[:2]
        off = [(float((m - hole) @ u), float((m - hole) @ n)) for m in near]
        assert max(abs(along) for along, _ in off) <= PLACED, cradle
        assert abs(off[0][1] + off[1][1]) <= PLACED, cradle


def _slot_middles(case: Case) -> list[np.ndarray]:
    """Centroids of every slot of the base: its rings of eight pieces less the windows."""
    found = []
    for name, file in case.files.items():
        if name.startswith("base") and name != "base_strap":
            for ring in file.rings:
                polygon = shapely.Polygon(list(_chords(ring)))
                if len(ring) == 8 and polygon.area < 500.0:
                    c = polygon.centroid
                    found.append(np.array([c.x - file.by[0], c.y - file.by[1]]))
    return found


def test_a_resting_tube_has_its_axis_at_the_common_height(case: Case) -> None:
    """From the file the arc on top and the shoulders; from the frame the tube's radius."""
    for cradle in case.cradles:
        (ring,) = case.files[cradle].rings
        arcs = [
            (p, q)
            for p, q in zip(ring, [*ring[1:], ring[0]], strict=True)
            if p[2] and math.dist(p[:2], q[:2]) > 8.0
        ]
        ((p, q),) = arcs
        radius = math.dist(p[:2], q[:2]) * (1 + p[2] ** 2) / (4 * abs(p[2]))
        lowest = shapely.LineString(list(_chords([p, (*q[:2], 0.0)]))[:-1]).bounds[1]
        shoulder = ring[0][1]
        level = [row for row in ring if abs(row[1] - shoulder) < 1e-6]
        assert len(level) >= 6, cradle
        middle = (min(x for x, _, _ in ring) + max(x for x, _, _ in ring)) / 2
        r = _greatest_radius(case, cradle)
        clearance = case.made.fixture.settings.process.clearance
        assert radius == pytest.approx(r + clearance / 2, abs=PLACED), cradle
        assert lowest + r - shoulder == pytest.approx(case.made.fixture.height, abs=PLACED), cradle
        cx = (p[0] + q[0]) / 2 - (q[1] - p[1]) * (1 - p[2] ** 2) / (4 * p[2])
        assert cx == pytest.approx(middle, abs=PLACED), cradle


def _greatest_radius(case: Case, cradle: str) -> float:
    """The tube's greatest radius over the cradle's thickness, from its end diameters and the base's hole."""
    tube = cradle.split("_")[0]
    a, b = (np.array(case.point(p)) for p in AXES[tube])
    length = float(np.hypot(*(b - a)))
    size = case.made.frame.plane.sizes[f"{tube}_tube"]
    station = float((_bolt_hole(case, cradle) - a) @ (b - a)) / length
    half = case.made.fixture.settings.process.thickness / 2
    return max(
        (size.first + (size.second - size.first) * s / length) / 2 for s in (station - half, station + half)
    )


def test_the_rules_hold_as_shapely_measures_them(case: Case) -> None:
    """Holes no smaller, webs no narrower than the plate is thick."""
    t = case.made.fixture.settings.process.thickness
    for name, file in case.files.items():
        assert all(2 * r >= t for _, _, r in file.circles), name
        rings = [shapely.LinearRing(loop).simplify(1e-3) for loop in file.loops]
        tree = shapely.STRtree(rings)
        one, other = tree.query(rings, predicate="dwithin", distance=t)
        assert all(one == other), name


def test_angle_gauges_have_the_solved_angles(case: Case) -> None:
    for gauge, dimension in (("head_angle_gauge", "head_angle"), ("seat_angle_gauge", "seat_angle")):
        (ring,) = case.files[gauge].rings
        sides = [
            math.degrees(math.atan2(q[1] - p[1], q[0] - p[0])) % 180.0
            for p, q in zip(ring, [*ring[1:], ring[0]], strict=True)
            if not p[2] and math.dist(p[:2], q[:2]) > 100.0
        ]
        assert min(sides) == pytest.approx(0.0, abs=1e-6) or max(sides) == pytest.approx(180.0, abs=1e-6)
        assert any(abs(s - case.made.frame.plane.dimensions[dimension]) < 1e-4 for s in sides)


def test_both_halves_of_a_pair_and_their_straps_share_their_holes() -> None:
    name = "unusual"
    fixture = made(name).fixture
    halves = {p.name: p for p in fixture.plates}
    strap = halves["base_strap"]
    own = sorted(c.shape.centre for c in strap.cutouts)
    places = [s.origin for s in fixture.standing if s.part == "base_strap"]
    holes = [
        c.shape.centre for n in ("base_front", "base_rear") for c in halves[n].cutouts if "strap" in c.name
    ]
    assert len(places) == 2
    assert len(holes) == 2 * len(own)
    for x, y, _ in places:
        for u, v in own:
            assert min(math.dist((x + u, y - v), h) for h in holes) <= PLACED

"""The fixture put together in a solid modelling kernel (OpenCASCADE, through cadquery-ocp).

Parts are built from their DXF files as ezdxf reads them, tubes from the solved frame's points and
diameters alone; distances and volumes are the kernel's.
"""

from __future__ import annotations

import math
import sys
from itertools import combinations
from pathlib import Path

import ezdxf
import pytest
from ezdxf.math import bulge_to_arc
from OCP.Bnd import Bnd_Box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Wire

from layout.bench.plates.fixture import Fixture, Standing

sys.path.insert(0, str(Path(__file__).parent))

from plate_parts import NAMES, made, written

TOUCH = 0.05
"""How near a tube and its cradle have to be, mm."""
SHAVED = 0.01
"""A tube thinner by this all round no longer touches where it only rested, mm."""
NO_VOLUME = 1e-4
"""Rounding in the kernel's volumes, mm3."""

Vector = tuple[float, float, float]
TUBES = {
    "seat_tube": ("seat_tube_foot", "seat_tube_top"),
    "top_tube": ("top_tube_at_seat", "top_tube_at_head"),
    "down_tube": ("down_tube_at_bb", "down_tube_at_head"),
    "head_tube": ("head_tube_bottom", "head_tube_top"),
}


class Placer:
    """Puts a part's plane coordinates where it stands."""

    def __init__(self, standing: Standing, moved: tuple[float, float]) -> None:
        self.o, self.a, self.b, self.moved = standing.origin, standing.along, standing.up, moved
        a, b = self.a, self.b
        self.normal = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])

    def __call__(self, x: float, y: float) -> gp_Pnt:
        x, y = x - self.moved[0], y - self.moved[1]
        return gp_Pnt(*(o + x * a + y * b for o, a, b in zip(self.o, self.a, self.b, strict=True)))


def _wire(entity: ezdxf.entities.DXFEntity, at: Placer) -> TopoDS_Wire:
    maker = BRepBuilderAPI_MakeWire()
    if entity.dxftype() == "CIRCLE":
        centre = at(entity.dxf.center.x, entity.dxf.center.y)
        circle = gp_Circ(gp_Ax2(centre, gp_Dir(*at.normal)), entity.dxf.radius)
        maker.Add(BRepBuilderAPI_MakeEdge(circle).Edge())
        return maker.Wire()
    rows = entity.get_points("xyb")
    for (x0, y0, bulge), (x1, y1, _) in zip(rows, [*rows[1:], rows[0]], strict=True):
        if bulge == 0.0:
            maker.Add(BRepBuilderAPI_MakeEdge(at(x0, y0), at(x1, y1)).Edge())
            continue
        centre, first, last, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
        middle = (first + last) / 2 if last > first else (first + last) / 2 + math.pi
        half = (centre.x + radius * math.cos(middle), centre.y + radius * math.sin(middle))
        arc = GC_MakeArcOfCircle(at(x0, y0), at(*half), at(x1, y1)).Value()
        maker.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    return maker.Wire()


def _solid(path: Path, standing: Standing, moved: tuple[float, float], thickness: float) -> TopoDS_Shape:
    at = Placer(standing, moved)
    cuts = list(ezdxf.readfile(path).modelspace().query('*[layer=="CUT"]'))
    face = BRepBuilderAPI_MakeFace(_wire(cuts[0], at))
    for hole in cuts[1:]:
        face.Add(TopoDS.Wire(_wire(hole, at).Reversed()))
    return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(*(-thickness * n for n in at.normal))).Shape()


def _tube(name: str, case: str, less: float = 0.0) -> TopoDS_Shape:
    """A tube from the frame's points and end diameters, `less` mm thinner all round."""
    frame, fixture = made(case).frame, made(case).fixture
    (x0, y0), (x1, y1) = (frame.plane.points[p] for p in TUBES[name])
    x0, x1 = fixture.forward * x0, fixture.forward * x1
    size = frame.plane.sizes[name]
    length = math.hypot(x1 - x0, y1 - y0)
    axis = gp_Ax2(gp_Pnt(x0, y0, fixture.height), gp_Dir(x1 - x0, y1 - y0, 0.0))
    first, second = size.first / 2 - less, size.second / 2 - less
    if first == second:
        return BRepPrimAPI_MakeCylinder(axis, first, length).Shape()
    return BRepPrimAPI_MakeCone(axis, first, second, length).Shape()


def _shell(case: str, less: float = 0.0) -> TopoDS_Shape:
    frame, fixture = made(case).frame, made(case).fixture
    low = fixture.height - frame.plane.shell_width / 2 + less
    axis = gp_Ax2(gp_Pnt(0.0, 0.0, low), gp_Dir(0.0, 0.0, 1.0))
    return BRepPrimAPI_MakeCylinder(
        axis, frame.plane.shell_diameter / 2 - less, frame.plane.shell_width - 2 * less
    ).Shape()


def _distance(a: TopoDS_Shape, b: TopoDS_Shape) -> float:
    return float(BRepExtrema_DistShapeShape(a, b).Value())


def _volume(shape: TopoDS_Shape) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found)
    return float(found.Mass())


def _apart(a: TopoDS_Shape, b: TopoDS_Shape, gap: float = 0.0) -> bool:
    """Whether the boxes round two shapes are more than `gap` apart."""
    boxes = []
    for shape in (a, b):
        box = Bnd_Box()
        BRepBndLib.Add_s(shape, box, False)
        boxes.append(box)
    boxes[0].Enlarge(gap)
    return bool(boxes[0].IsOut(boxes[1]))


def _beyond(a: TopoDS_Shape, b: TopoDS_Shape, gap: float) -> bool:
    """Whether two shapes are more than `gap` apart; their distance is asked only where their boxes meet."""
    return _apart(a, b, gap) or _distance(a, b) > gap


@pytest.fixture(scope="module", params=NAMES)
def assembled(request: pytest.FixtureRequest) -> dict[str, object]:
    """Every standing part as a solid, by name and number."""
    case = request.param
    fixture: Fixture = made(case).fixture
    files = written(case)
    solids = []
    for standing in fixture.standing:
        path, plate, moved = files[standing.part]
        solids.append((standing.part, _solid(path, standing, moved, plate.thickness)))
    return {"case": case, "solids": solids}


def test_every_tube_rests_on_its_cradles_and_cuts_into_nothing(assembled: dict) -> None:
    case, solids = assembled["case"], assembled["solids"]
    seats = made(case).fixture.seats
    assert {s.tube for s in seats.values()} == set(TUBES)
    tubes = {name: _tube(name, case) for name in TUBES}
    shaved = {name: _tube(name, case, SHAVED) for name in TUBES}
    for part, solid in solids:
        for name in TUBES:
            if part in seats and seats[part].tube == name:
                assert _distance(solid, tubes[name]) <= TOUCH, (part, name)
                assert _distance(solid, shaved[name]) > SHAVED / 2, (part, name)
            else:
                assert _beyond(solid, tubes[name], 1.0), (part, name)


def test_the_shell_stands_on_its_posts_and_cuts_into_nothing(assembled: dict) -> None:
    case = assembled["case"]
    shell, shaved = _shell(case), _shell(case, SHAVED)
    touched = []
    for part, solid in assembled["solids"]:
        if part.startswith("bb_"):
            touched.append(part)
            assert _distance(solid, shell) <= TOUCH, part
            assert _distance(solid, shaved) > SHAVED / 2, part
        else:
            assert _beyond(solid, shell, 1.0), part
    assert touched.count("bb_post") == 2


def test_no_part_stands_in_another(assembled: dict) -> None:
    """Tabs go through their slots; shoulders stand on faces; nothing shares any volume."""
    touching = 0
    for (one, a), (two, b) in combinations(assembled["solids"], 2):
        if _apart(a, b):
            continue
        touching += 1
        assert _volume(BRepAlgoAPI_Common(a, b).Shape()) < NO_VOLUME, (one, two)
    assert touching >= 14


def test_the_rear_axle_passes_base_and_table_at_the_solved_place(assembled: dict) -> None:
    case = assembled["case"]
    frame, fixture = made(case).frame, made(case).fixture
    x, y = frame.plane.points["rear_axle"]
    at = gp_Pnt(fixture.forward * x, y, -50.0)
    rod = BRepPrimAPI_MakeCylinder(
        gp_Ax2(at, gp_Dir(0.0, 0.0, 1.0)), fixture.settings.axle / 2, 200.0
    ).Shape()
    near = {part: _distance(rod, solid) for part, solid in assembled["solids"]}
    play = fixture.settings.process.fit / 2
    passed = [d for part, d in near.items() if part == "axle_table" or (part.startswith("base") and d < 5.0)]
    assert passed == [pytest.approx(play, abs=1e-6)] * 2
    assert min(near.values()) > 0.9 * play

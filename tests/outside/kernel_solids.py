"""Tubes as solids of OpenCASCADE (cadquery-ocp), cut and measured by it alone.

Built from a tube's stations, diameters and axis, with none of the program's curves. What is
compared with is the boundary of the boolean difference: tube less the tubes it is cut against.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax1, gp_Ax2, gp_Ax3, gp_Circ, gp_Dir, gp_Elips, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_EDGE, TopAbs_IN, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from layout.geometry.space.mitre import Cut
from layout.geometry.space.path import PathPiece
from layout.geometry.space.tube import Tube

FAR = 150.0
"""A tube that another is cut against is built this far from the joint both ways, mm."""
PAST = 1e-9
"""A section is looked up just past a station, so that at a step it is the one behind it, mm."""
STEP = 0.2
"""Points on the kernel's edges lie this far apart: a chord is then within 0.001 mm of a bend of 5."""


def axes(at: np.ndarray, along: np.ndarray, reference: np.ndarray) -> gp_Ax2:
    return gp_Ax2(gp_Pnt(*map(float, at)), gp_Dir(*map(float, along)), gp_Dir(*map(float, reference)))


def tube_solid(tube: Tube, low: float, high: float) -> TopoDS_Shape:
    """The tube, filled, from station `low` to `high`, straight on past its own ends."""
    parts = []
    last = len(tube.path.pieces) - 1
    for k, piece in enumerate(tube.path.pieces):
        start = low if k == 0 else max(piece.low, low)
        end = high if k == last else min(piece.high, high)
        if end > start:
            parts.extend(_piece_solids(tube, piece, start, end))
    whole = parts[0]
    for part in parts[1:]:
        whole = BRepAlgoAPI_Fuse(whole, part).Shape()
    return whole


def _piece_solids(tube: Tube, piece: PathPiece, low: float, high: float) -> Iterator[TopoDS_Shape]:
    stops = sorted({low, high, *(s for s in tube.profile.stations if low < s < high)})
    for a, b in pairwise(stops):
        (ha, wa), (hb, wb) = (tuple(map(float, tube.profile.halves(t))) for t in (a + PAST, b))
        if piece.straight:
            yield _straight_solid(tube, piece, (a, ha, wa), (b, hb, wb))
        else:
            assert (ha, wa) == (hb, wb), "the kernel bends tubes of one section only"
            yield _bent_solid(tube, piece, a, b, ha, wa)


def _straight_solid(
    tube: Tube, piece: PathPiece, first: tuple[float, float, float], second: tuple[float, float, float]
) -> TopoDS_Shape:
    (a, ha, wa), (b, hb, wb) = first, second
    start = piece.at(a)
    if math.isclose(ha, wa, rel_tol=1e-12) and math.isclose(hb, wb, rel_tol=1e-12):
        system = axes(start.at, start.along, start.reference)
        if math.isclose(ha, hb, rel_tol=1e-9):
            return BRepPrimAPI_MakeCylinder(system, ha, b - a).Shape()
        return BRepPrimAPI_MakeCone(system, ha, hb, b - a).Shape()
    if math.isclose(ha, hb, rel_tol=1e-9) and math.isclose(wa, wb, rel_tol=1e-9):
        face = BRepBuilderAPI_MakeFace(_section(tube, piece, a, ha, wa)).Face()
        return BRepPrimAPI_MakePrism(face, gp_Vec(*map(float, start.along * (b - a)))).Shape()
    loft = BRepOffsetAPI_ThruSections(True, True)
    loft.AddWire(_section(tube, piece, a, ha, wa))
    loft.AddWire(_section(tube, piece, b, hb, wb))
    return loft.Shape()


def _section(tube: Tube, piece: PathPiece, station: float, height: float, width: float) -> object:
    here = piece.at(station)
    up = here.spoke(tube.profile.turned)
    if math.isclose(height, width, rel_tol=1e-12):
        edge = BRepBuilderAPI_MakeEdge(gp_Circ(axes(here.at, here.along, up), height)).Edge()
    else:
        long = up if height > width else np.cross(here.along, up)
        system = axes(here.at, here.along, long)
        edge = BRepBuilderAPI_MakeEdge(gp_Elips(system, max(height, width), min(height, width))).Edge()
    return BRepBuilderAPI_MakeWire(edge).Wire()


def _bent_solid(
    tube: Tube, piece: PathPiece, low: float, high: float, height: float, width: float
) -> TopoDS_Shape:
    face = BRepBuilderAPI_MakeFace(_section(tube, piece, low, height, width)).Face()
    turn = gp_Ax1(gp_Pnt(*map(float, piece.centre)), gp_Dir(*map(float, piece.bend_axis)))
    return BRepPrimAPI_MakeRevol(face, turn, (high - low) * piece.curvature).Shape()


def less(branch: TopoDS_Shape, tools: Sequence[TopoDS_Shape], inside: np.ndarray) -> TopoDS_Shape:
    """The solid about the point `inside` that is left of the branch once the tools are taken away."""
    for tool in tools:
        branch = BRepAlgoAPI_Cut(branch, tool).Shape()
    explorer = TopExp_Explorer(branch, TopAbs_SOLID)
    while explorer.More():
        judge = BRepClass3d_SolidClassifier(explorer.Current(), gp_Pnt(*map(float, inside)), 1e-7)
        if judge.State() == TopAbs_IN:
            return explorer.Current()
        explorer.Next()
    raise AssertionError("the kernel cut all of the tube away")


def edge_samples(shape: TopoDS_Shape, count: int) -> list[tuple[float, float, float]]:
    """About `count` points spread over a shape's edges."""
    curves = []
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        curves.append(BRepAdaptor_Curve(TopoDS.Edge(explorer.Current())))
        explorer.Next()
    each = max(2, count // len(curves))
    found = []
    for curve in curves:
        first, last = curve.FirstParameter(), curve.LastParameter()
        for k in range(each):
            p = curve.Value(first + (last - first) * k / each)
            found.append((p.X(), p.Y(), p.Z()))
    return found


def edges(shape: TopoDS_Shape, step: float = STEP) -> list[np.ndarray]:
    """Every edge of a shape as points (n, 3), `step` mm apart or nearer."""
    found = []
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge(explorer.Current()))
        first, last = curve.FirstParameter(), curve.LastParameter()
        chord = [curve.Value(first + (last - first) * k / 8) for k in range(9)]
        span = sum(a.Distance(b) for a, b in pairwise(chord))
        count = max(2, math.ceil(1.3 * span / step))
        points = (curve.Value(first + (last - first) * k / count) for k in range(count + 1))
        found.append(np.array([(p.X(), p.Y(), p.Z()) for p in points]))
        explorer.Next()
    return found


def distances(points: np.ndarray, lines: Sequence[np.ndarray]) -> np.ndarray:
    """Distance of each point (n, 3) from the nearest of several polylines, mm."""
    a = np.concatenate([line[:-1] for line in lines])
    b = np.concatenate([line[1:] for line in lines])
    run = b - a
    square = np.maximum((run * run).sum(axis=1), 1e-30)
    nearest = np.empty(len(points))
    for k, p in enumerate(points):
        part = np.clip(((p - a) * run).sum(axis=1) / square, 0.0, 1.0)
        off = p - a - part[:, None] * run
        nearest[k] = math.sqrt(float((off * off).sum(axis=1).min()))
    return nearest


def host_solids(cut: Cut, far: float = FAR) -> list[TopoDS_Shape]:
    """The tubes of a cut's `against` about the joint, as far as the surface says they reach."""
    found = []
    for host in cut.hosts:
        here = station_near(host.tube, cut.end.triad.at)
        low, high = max(here - far, host.low), min(here + far, host.high)
        found.append(tube_solid(host.tube, low, high))
    return found


def station_near(tube: Tube, point: np.ndarray) -> float:
    """The station of a tube's axis nearest a point, to a millimetre."""
    stations = np.arange(0.0, tube.length + 1.0)
    axis = np.array([tube.path.at(float(t)).at for t in stations])
    return float(stations[((axis - point) ** 2).sum(axis=1).argmin()])


def mitred_end(cut: Cut, beyond: float = 90.0, keep: float = 140.0, far: float = FAR) -> TopoDS_Shape:
    """One end of the tube, cut by the kernel: from `beyond` mm before its origin to `keep` mm behind."""
    a, b = cut.origin - cut.end.inward * beyond, cut.origin + cut.end.inward * keep
    inside = cut.end.tube.path.at(b - cut.end.inward).at
    return less(tube_solid(cut.end.tube, min(a, b), max(a, b)), host_solids(cut, far), inside)


def extent(shape: TopoDS_Shape, at: np.ndarray, along: np.ndarray) -> tuple[float, float]:
    """Least and greatest station of a solid along a direction, mm from `at`."""
    move = gp_Trsf()
    move.SetTransformation(gp_Ax3(gp_Pnt(*map(float, at)), gp_Dir(*map(float, along))))
    turned = BRepBuilderAPI_Transform(shape, move, True).Shape()
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(turned, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    return low.Z(), high.Z()


def least_distance(a: TopoDS_Shape, b: TopoDS_Shape) -> float:
    found = BRepExtrema_DistShapeShape(a, b)
    return float(found.Value())


def tyre_solid(axle: tuple[float, float], radius: float, width: float) -> TopoDS_Shape:
    system = gp_Ax2(gp_Pnt(*axle, 0.0), gp_Dir(0.0, 0.0, 1.0))
    return BRepPrimAPI_MakeTorus(system, radius - width / 2, width / 2).Shape()


def disc_solid(axle: tuple[float, float], radius: float, near: float, far: float) -> TopoDS_Shape:
    system = gp_Ax2(gp_Pnt(*axle, near), gp_Dir(0.0, 0.0, 1.0))
    return BRepPrimAPI_MakeCylinder(system, radius, far - near).Shape()

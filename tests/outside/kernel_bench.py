"""Generated frames, and what a bench does with their numbers, done in the solid kernel.

`check(seed)` goes through one; seeds 0 to 39 are for going through by hand, every tenth is in the suite.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace

import numpy as np
from kernel_solids import edges, less, mitred_end, tube_solid
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopAbs import TopAbs_IN

from layout.bench.marks import LONG_POINT, Mark, marks
from layout.frame.solve import Frame, solve
from layout.geometry.space.cutter import Cutter
from layout.geometry.space.mitre import Cut
from layout.geometry.space.tube import FIRST, Tube
from layout.spec.load import loads

ON = 1e-4
"""A point of the kernel's edges lies on a saw's cylinder within this, mm."""
READ = 3e-4
"""How far it may lie off both skins, mm: where a skin is nearly along the tube, s is read that much worse."""
LONG = 200.0
FINE = 0.1
"""Points on the kernel's curves lie this far apart, mm."""
HAIR = 1.0
"""Degrees: where a curve ends on a tangent its last 0.2 mm or so stand out as a hair."""


@dataclass(frozen=True)
class Found:
    """The worst of one frame: misfit beyond the stated one, a distance's error; what was counted."""

    beyond: float
    misfit: float
    mills: int
    distance: float
    distances: int
    vents: int
    vents_outside: int


def spec_of(seed: int) -> str:
    """A frame with cones, steps, ovals, bends and offsets, by its seed."""
    r = random.Random(seed)
    step = "{diameter_top: 44, diameter_bottom: 50, taper: [40, 40]}"
    head = r.choice(["{diameter: 36}", "{diameter_top: 46, diameter_bottom: 56}", step, "{diameter: 31.8}"])
    seat = r.choice(["{diameter: 28.6}", "{diameter: 34.9}", "{section: [36, 28]}", "{diameter: 31.8}"])
    down = r.choice(["{diameter: 34.9}", "{diameter: 38.1, diameter_end: 31.8}", "{section: [33, 42]}"])
    top = r.choice(["{diameter: 28.6}", "{diameter: 31.8, diameter_end: 28.6}", "{section: [32, 24]}"])
    bend = "{at: 150, angle: 6, plane: 270, radius: 140}, {at: 280, angle: 6, plane: 90, radius: 140}"
    chain = r.choice(["{diameter: 22.2, diameter_end: 14}", "{section: [16, 30], diameter_end: 14}",
                      f"{{diameter: 19, diameter_end: 19, bends: [{bend}]}}"])  # fmt: skip
    wall = r.choice(["", ", wall: 0.6", ", wall: 1.2"])
    seat, down, top, chain = (tube.replace("}", wall + "}", 1) if "bends" not in tube else tube
                              for tube in (seat, down, top, chain))  # fmt: skip
    return f"""\
joining: {r.choice(["welded", "fillet"])}
geometry:
  bb_drop: {r.uniform(55, 80):.1f}
  rear_centre: {r.uniform(425, 450):.1f}
  front_centre: {r.uniform(595, 690):.1f}
  head_angle: {r.uniform(66, 74):.2f}
  seat_angle: {r.uniform(71, 75):.2f}
  head_tube_length: {r.uniform(105, 180):.1f}
  seat_tube_length: {r.uniform(480, 570):.1f}
  seat_tube_offset: {r.choice([0, 0, 12])}
fork: {{axle_to_crown: 395, offset: 45}}
wheels: {{front: 37-622, rear: 37-622}}
rear_end: {{seat_stay_mount: {r.choice(["side", "back"])}}}
tubes:
  head_tube: {head}
  seat_tube: {seat}
  down_tube: {down}
  top_tube: {top}
  chain_stay: {chain}
fittings:
  - {{kind: bridge, tube: seat_stay, at: 380, from: axle}}
  - {{kind: bridge, tube: chain_stay, at: {r.choice([70, 150])}, from: bb, diameter: 12}}
  - {{kind: boss, tube: down_tube, at: 220, from: bb, side: up}}
  - {{kind: guide, tube: top_tube, at: 90, from: head, side: down}}
"""


def check(seed: int) -> Found:
    """Every mill setting, hand distance and vent of a generated frame, in the kernel."""
    frame = solve(loads(spec_of(seed), f"generated-{seed}.yaml"))
    beyond, misfit, mills = 0.0, 0.0, 0
    for cut in frame.space.cuts:
        for k, best in enumerate(frame.space.cutters(cut)):
            setting = frame.lengths[cut.tube].ends[cut.end.which]
            assert setting is not None
            if best is None or setting.mills[k].cutter is None or not cut.end.tube.listed:
                continue
            mills += 1
            theirs = milled_misfit(cut, k, best)
            misfit, beyond = max(misfit, theirs), max(beyond, theirs - best.misfit)
    ends = [c for c in frame.space.cuts if c.end.tube.listed]
    least = {(c.tube, c.end.which): long_point(c) for c in ends if not c.partial}
    least |= {(c.tube, c.end.which): sawn_point(frame, c, least) for c in ends if c.partial}
    errors = [abs(least[c.tube, c.end.which] - c.least.s) for c in ends]
    errors += [beyond_hair(c) for c in ends if c.partial]
    hooked = [m for m in marks(frame) if m.tube.listed and m.datum == LONG_POINT]
    errors += [abs(m.s - least[m.tube.name, m.end] - m.distance) for m in hooked]
    vents = [m for m in marks(frame) if m.kind == "vent" and m.into is not None]
    outside = sum(not opens(frame, m) for m in vents)
    return Found(beyond, misfit, mills, max(errors), len(errors), len(vents), outside)


def sawn_point(frame: Frame, cut: Cut, known: dict[tuple[str, int], float]) -> float:
    """The s at which a tube sawn to its cut length ends, where part of that end passes beside the others.

    It is measured from the other end's long point in the kernel, `known`, or its square end.
    """
    tube, inward = cut.end.tube, cut.end.inward
    other = frame.space.cut_of(tube.name, 1 - cut.end.which)
    far = tube.length if cut.end.which == FIRST else 0.0
    if other is not None:
        least = known.get((tube.name, other.end.which), other.least.s)
        far = other.origin + other.end.inward * least
    return inward * (far - inward * frame.lengths[tube.name].cut_length - cut.origin)


def beyond_hair(cut: Cut) -> float:
    """How far the part of a curve that is a hand's to hook goes past the long point stated, mm.

    The kernel's curve ends in a hair, which is left out: its last degree before it misses the others.
    """
    s, phi = curve_points(cut)
    ends = np.array(cut.passing)
    missed = np.abs((phi[:, None] - ends + 180.0) % 360.0 - 180.0)
    gone = np.array([half_width(cut, p) for p in ends])
    wide = (missed > gone + HAIR).all(axis=1)
    return max(0.0, cut.least.s - float(s[wide].min()))


def half_width(cut: Cut, middle: float) -> float:
    """Half of the stretch about phi = `middle` that misses the others, by the samples at whole degrees."""
    turn = np.abs((cut.phi - middle + 180.0) % 360.0 - 180.0)
    return float(turn[~cut.missed].min())


def long_point(cut: Cut) -> float:
    """The least s of the finished end, off the kernel's solid."""
    return float(curve_points(cut)[0].min())


def curve_points(cut: Cut) -> tuple[np.ndarray, np.ndarray]:
    """The s and phi of the finished end's edge on the tubes that it is cut on, off the kernel's solid.

    What stands before a deeper cut on the same generator is cut off with it: at a step the kernel leaves
    slivers there.
    """
    into = cut.end.inward * cut.end.triad.along
    at, points = cut.end.tube.path.at(cut.origin).at, np.concatenate(edges(mitred_end(cut), FINE))
    points = points[np.argsort((points - at) @ into)]
    ways = generators(cut, points)
    met = np.zeros(len(points), bool)
    for host in cut.hosts:
        leaves = (normals(host.tube, points) * ways).sum(axis=-1) > -ON
        met |= (np.abs(host.tube.outside(points)) < ON / 10) & leaves
    kept = [k for k in np.flatnonzero(met) if not cut_deeper(cut, points[k], ways[k])]
    there = cut.end.triad.local(points[kept])
    return (points[kept] - at) @ into, np.degrees(np.arctan2(there[:, 2], there[:, 1]))


def cut_deeper(cut: Cut, point: np.ndarray, way: np.ndarray) -> bool:
    """Whether a tube that the end is cut on lies deeper in it on the same generator."""
    deeper = point + np.arange(0.5, 40.0, 0.5)[:, None] * way
    return any(bool((h.tube.outside(deeper, h.low, h.high) < 0.0).any()) for h in cut.hosts)


def generators(cut: Cut, points: np.ndarray) -> np.ndarray:
    """The way into the tube along its skin at points (n, 3): not its axis's where it tapers."""
    end, profile = cut.end, cut.end.tube.profile
    there = end.triad.local(points)
    phi = np.degrees(np.arctan2(there[:, 2], there[:, 1]))
    before, behind = (profile.radius(phi, end.t + there[:, 0] + h) for h in (-0.5, 0.5))
    rise = (behind - before)[:, None]
    spoke = points - end.triad.at - there[:, :1] * end.triad.along
    return end.inward * (end.triad.along + rise * spoke / np.linalg.norm(spoke, axis=1, keepdims=True))


def normals(tube: Tube, points: np.ndarray) -> np.ndarray:
    """The way out of a tube at points (n, 3) of its skin, unit vectors, from its measure's differences."""
    steps = 1e-4 * np.eye(3)
    ways = np.stack([tube.outside(points + d) - tube.outside(points - d) for d in steps], axis=-1)
    return ways / np.maximum(np.linalg.norm(ways, axis=-1, keepdims=True), ON**3)


def milled_misfit(cut: Cut, k: int, best: Cutter) -> float:
    """The misfit of the cutter's cylinder, cut out of the branch by the kernel, over its part.

    Of the saw's two sides that which faces into the tube counts. It is the least that the kernel's edges
    prove: each may be off as far as its points are from both skins.
    """
    end = cut.end
    into = end.inward * end.triad.along
    a, t = math.radians(best.acute), math.radians(best.angle)
    towards = math.cos(a) * end.triad.reference + math.sin(a) * end.triad.across
    axis = math.cos(t) * into + math.sin(t) * towards
    host, side = cut.hosts[k].tube, np.cross(into, towards)
    start = end.triad.at + (cut.origin - end.t) * end.triad.along
    stations = np.linspace(-200.0, host.length + 200.0, 20001)
    line = [host.path.at(float(x)).at for x in stations[:: 1 if host.path.straight is False else 20]]
    off = np.array(line) - start
    near = off[np.linalg.norm(off - (off @ into)[:, None] * into, axis=1).argmin()]
    foot = start + best.place * into + float(near @ side) * side - LONG * axis
    saw = BRepPrimAPI_MakeCylinder(
        gp_Ax2(gp_Pnt(*map(float, foot)), gp_Dir(*map(float, axis))), best.diameter / 2, 2 * LONG
    ).Shape()
    low, high = sorted((cut.origin - end.inward * 90.0, cut.origin + end.inward * 140.0))
    inside = end.tube.path.at(cut.origin + end.inward * 139.0).at
    points = np.concatenate(edges(less(tube_solid(end.tube, low, high), [saw], inside)))
    round_axis = points - foot
    radial = round_axis - (round_axis @ axis)[:, None] * axis
    apart, leaves = np.linalg.norm(radial, axis=1), radial @ into > 0.0
    on = (np.abs(apart - best.diameter / 2) < ON) & (np.abs(end.tube.outside(points)) < 1e-5)
    there = end.triad.local(points[on])
    phi = np.degrees(np.arctan2(there[:, 2], there[:, 1]))
    s, hosts = cut.at(phi)
    theirs = end.inward * (there[:, 0] + end.t - cut.origin)
    mine = (hosts == k) & leaves[on]
    assert mine.sum() > 20
    gap = (theirs - s)[mine]
    read = READ / np.abs(radial @ into / apart)[on][mine]
    return max(0.0, float((gap - read).max() - (gap + read).min()))


def opens(frame: Frame, mark: Mark) -> bool:
    """Whether the whole rim of a vent lies in the other tube's bore, as the kernel tells.

    Where the wall is not known, in the filled tube.
    """
    cut, other = frame.space.cut_of(mark.tube.name, mark.end), frame.space.tubes[str(mark.into)]
    origin = (0.0 if mark.end == 0 else mark.tube.length) if cut is None else cut.origin
    station = origin + mark.tube.end(mark.end).inward * mark.s
    judge = BRepClass3d_SolidClassifier(tube_solid(bore(other), -60.0, other.length + 60.0))
    r = float(mark.tube.profile.radius(mark.phi, station))
    here = mark.tube.path.at(station)
    for turn in np.arange(0.0, 2 * math.pi, math.pi / 8):
        a = math.radians(mark.phi) + (mark.diameter or 0.0) / 2 * math.sin(turn) / r
        ahead = (mark.diameter or 0.0) / 2 * math.cos(turn)
        rim = here.at + ahead * here.along + r * (math.cos(a) * here.reference + math.sin(a) * here.across)
        judge.Perform(gp_Pnt(*map(float, rim)), 1e-6)
        if judge.State() != TopAbs_IN:
            return False
    return True


def bore(tube: Tube) -> Tube:
    """The room inside a tube as one of its own; the tube itself where its wall is not known."""
    if tube.walls is None:
        return tube
    wall, profile = max(tube.walls.first, tube.walls.middle, tube.walls.second), tube.profile
    heights, widths = (tuple(v - wall for v in values) for values in (profile.heights, profile.widths))
    return replace(tube, profile=replace(profile, heights=heights, widths=widths))

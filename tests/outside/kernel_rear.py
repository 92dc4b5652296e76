"""Generated rear ends in the solid kernel: dropouts, bends, ovals, mounts, rotors, curved bridges.

`check(seed)` goes through one; of seeds 0 to 39 every tenth is in the suite, all with WHOLE_STUDIES=1.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from kernel_solids import (
    disc_solid,
    distances,
    edges,
    extent,
    least_distance,
    mitred_end,
    tube_solid,
    tyre_solid,
)
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape
from template_pages import cut_lines
from wrapping import wrapped

from layout.frame.solve import Frame, solve
from layout.geometry.space.gaps import TyreSolid
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY, SEAT_TUBE, Role
from layout.geometry.space.tube import Tube
from layout.pipeline.files import write_all
from layout.pipeline.mitres import MitrePapers
from layout.pipeline.order import Order
from layout.sheets.media import medium
from layout.spec.load import loads

FINE = 0.05
"""Points on the kernel's edges lie this far apart, mm: a flat lap turns sharply at its tip."""
STEP, NEAR = 0.3, 0.05
"""Where the curve steps by more, mm, within so much, degrees, the paper is cut straight along the stay.

There it goes from one tube to another, and what is left stands up between the two, as thin as a hair.
"""
THINNED = 6
"""Of the points on a printed line, 0.08 apart, every so many is measured."""
LAP = 260.0
"""As much of a stay and of what it is cut on is built, mm."""
STEPS = 20000
"""A bent axis is walked in so many steps of one direction each, its turns in the middle of each."""


@dataclass(frozen=True)
class Found:
    """The worst of one rear end, mm; `gaps` and `templates` count those that were compared."""

    curve: float
    length: float
    axis: float
    gap: float
    gaps: int
    template: float
    templates: int


def spec_of(seed: int) -> str:
    """A rear end by its seed."""
    r = random.Random(1000 + seed)
    mount = r.choice(["side", "back", "side", "back", "single"])
    spread = ""
    if mount != "single" and r.random() < 0.5:
        spread = f"stay_spacing_at_top: {r.uniform(26, 44):.1f}, "
    way = r.choice([90, 270])
    bends = (f"bends: [{{at: {r.uniform(100, 130):.0f}, angle: {r.uniform(2, 7):.1f}, plane: {way}, "
             f"radius: {r.choice([120, 200])}}}]")  # fmt: skip
    first, second = "at: 120, angle: 7, plane: 270, radius: 140", "at: 260, angle: 6, plane: 85, radius: 180"
    twice = f"bends: [{{{first}}}, {{{second}}}]"
    chain = r.choice([
        "diameter: 22.2, diameter_end: 14", "section: [16, 30], diameter_end: 14",
        f"section: [17, 30], diameter_end: 14, {bends}", f"diameter: 19, diameter_end: 19, {twice}",
    ])  # fmt: skip
    seat = r.choice([
        "diameter: 16, diameter_end: 12", "section: [14, 18], diameter_end: 12, turned: 20",
        "diameter: 14, diameter_end: 14, bends: [{at: 280, angle: 8, plane: 90, radius: 150}]",
    ])  # fmt: skip
    size, face = r.choice([140, 160, 180]), r.uniform(10, 18)
    rotor = r.choice(["", f"rotor: {{diameter: {size}, from_face: {face:.1f}}}, "])

    def place() -> str:
        return f"{{from_axle: {r.uniform(22, 45):.1f}, off: {r.uniform(-12, 14):.1f}}}"

    head = f"""\
geometry:
  bb_drop: {r.uniform(55, 80):.1f}
  rear_centre: {r.uniform(420, 455):.1f}
  front_centre: 620
  head_angle: 71
  seat_angle: {r.uniform(71, 75):.2f}
  head_tube_length: 150
  seat_tube_length: {r.uniform(480, 580):.1f}
fork: {{axle_to_crown: 395, offset: 45}}
wheels: {{front: 37-622, rear: {r.choice(["32-622", "37-622", "42-622"])}}}
rear_end:
  {{{spread}{rotor}seat_stay_mount: {mount}, spacing: {r.choice([130, 135, 142])},
   stay_spacing_at_shell: {r.uniform(40, 46):.1f},
   dropout: {{thickness: {r.choice([5, 6, 7])}, chain_stay: {place()}, seat_stay: {place()}}}}}
tubes:
  chain_stay: {{{chain}}}
  seat_stay: {{{seat}}}
"""
    return head + _bridges(random.Random(2000 + seed))


def _bridges(r: random.Random) -> str:
    """A bridge between the seat stays, mostly curved, and in most rear ends one between the chain stays."""
    over = r.choice(["", f", radius: {r.uniform(36, 120):.1f}", f", radius: {r.uniform(36, 120):.1f}"])
    ahead = r.choice(["", f", radius: {r.uniform(30, 90):.1f}"])
    size = r.choice([10, 12.7, 14])
    at = f"at: {r.uniform(368, 378):.1f}, from: axle"
    found = [f"{{kind: bridge, tube: seat_stay, {at}{over}, diameter: {size}}}"]
    if r.random() < 0.8:
        found.append(f"{{kind: bridge, tube: chain_stay, at: {r.uniform(58, 66):.1f}, from: bb{ahead}}}")
    return f"fittings: [{', '.join(found)}]\n"


def check(seed: int) -> Found:
    """Curves, templates, lengths, axes and gaps of a generated rear end, in the kernel and by walking."""
    frame = solve(loads(spec_of(seed), f"rear-{seed}.yaml"))
    stays = [frame.space.drawn(role) for role in (CHAIN_STAY, SEAT_STAY)]
    bridges = [t for role in (CHAIN_STAY, SEAT_STAY) for t in frame.space.bridges(role)]
    gaps, printed = list(_gaps(frame)), _printed(frame)
    cuts = [c for c in frame.space.cuts if f"{c.tube}_{c.end_name}" in printed and _at_the_rear(c)]
    found = [_curve_and_template(c, printed[f"{c.tube}_{c.end_name}"]) for c in cuts]
    return Found(
        max(curve for curve, _ in found),
        max(_length(frame, tube) for tube in (*stays, *bridges)),
        max(_axis(frame, stay) for stay in stays),
        max(gaps),
        len(gaps),
        template=max(template for _, template in found),
        templates=len(found),
    )


def _at_the_rear(cut: Cut) -> bool:
    return cut.end.tube.role.beside_tyre and cut.end.tube.role != SEAT_TUBE


def _printed(frame: Frame) -> dict[str, np.ndarray]:
    """The cut line of each template, from its centre cross, as the PDF has it."""
    papers = MitrePapers(frame, "rear", Order(media=("a4",), formats=("pdf",)))
    with TemporaryDirectory() as folder:
        write_all(list(papers.templates(medium("a4")).files("pdf")), Path(folder))
        (path,) = Path(folder).glob("*.pdf")
        return {name: np.concatenate(lines) for name, lines in cut_lines(path).items()}


def _curve_and_template(cut: Cut, printed: np.ndarray) -> tuple[float, float]:
    """How far a mitre, and its template wrapped again, lie from the edges of the kernel's cut solid."""
    lines, hit = edges(_end(cut), FINE), ~cut.missed
    curve = distances(cut.points(cut.phi[hit], cut.s[hit]), lines)
    phi, station = wrapped(cut, printed)
    assert len(np.unique(np.floor(phi % 360.0))) > 0.95 * hit.sum(), "the whole curve is printed"
    phi, station = phi[::THINNED], station[::THINNED]
    steps = np.abs(np.diff([cut.at(phi + d)[0] for d in (-NEAR, NEAR)], axis=0)[0]) > STEP
    points = cut.points(phi, cut.end.inward * (station - cut.origin))
    return float(curve.max()), float(distances(points[~steps], lines).max())


def _end(cut: Cut) -> TopoDS_Shape:
    """A tube's cut end; a stay on a single tube laps it over more than 100 mm, a bridge is cut in halves."""
    if cut.end.tube.role.alike_ends:
        return mitred_end(cut, keep=cut.end.tube.length / 2 - 0.5)
    return mitred_end(cut, keep=LAP, far=LAP)


def _length(frame: Frame, stay: Tube) -> float:
    """A straight stay's cut length against its solid's; a bent one's axis against volume over section."""
    cut = frame.space.cut_of(stay.name, 1 - (stay.role.dropout or 0))
    if not stay.path.straight or stay.role.alike_ends:
        height, width = (float(v) for v in stay.profile.halves(0.0))
        if not stay.profile.constant:
            return 0.0
        return abs(_volume(stay) / (math.pi * height * width) - stay.length)
    if cut is None or cut.partial:
        return 0.0
    here = cut.end.triad
    point = extent(_end(cut), stay.path.at(cut.origin).at, cut.end.inward * here.along)[0]
    square = stay.path.at(0.0 if stay.role.dropout == 0 else stay.length).at
    whole = abs(float((square - stay.path.at(cut.origin).at) @ here.along)) - point
    return abs(whole - frame.lengths[stay.name].cut_length)


def _volume(stay: Tube) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(tube_solid(stay, 0.0, stay.length), found)
    return float(found.Mass())


def _axis(frame: Frame, stay: Tube) -> float:
    """How far the stay's axis, walked by its bends as written, ends from where its dropout wants it.

    The end is measured in the side view from the spec's numbers: `from_axle` before the foot of the axle on
    the line from the stay's other end, `off` from the axle.
    """
    written = getattr(frame.model.tubes, stay.role.name).bends
    here, along, reference = stay.path.first.at, stay.path.first.along, stay.path.first.reference
    step = stay.length / STEPS
    for k in range(STEPS):
        turn, axis = 0.0, along
        for bend in written:
            half = math.radians(bend.angle) * bend.radius / 2
            start, end = (min(max(bend.at + h - k * step, 0.0), step) for h in (-half, half))
            share = end - start
            if share > 0.0:
                turn, a = share / bend.radius, math.radians(bend.plane)
                axis = np.cross(along, math.cos(a) * reference + math.sin(a) * np.cross(along, reference))
                along, reference = _turned(along, axis, turn / 2), _turned(reference, axis, turn / 2)
        here = here + step * along
        if turn:
            along, reference = _turned(along, axis, turn / 2), _turned(reference, axis, turn / 2)
    ends = (stay.path.first.at, here) if stay.role.dropout else (here, stay.path.first.at)
    return max(math.dist(here, stay.path.last.at), _placed(frame, stay.role, *ends))


def _turned(v: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    c, s = math.cos(angle), math.sin(angle)
    return v * c + np.cross(axis, v) * s + axis * (axis @ v) * (1.0 - c)


def _placed(frame: Frame, role: Role, other: np.ndarray, end: np.ndarray) -> float:
    """How far a stay's end lies from where the spec's dropout has it."""
    block = frame.model.rear_end
    place = getattr(block.dropout, role.name)
    axle = np.array(frame.plane.points["rear_axle"])
    a, b = (np.asarray(p)[:2] for p in (other, end))
    along = (b - a) / np.linalg.norm(b - a)
    foot = a + float((axle - a) @ along) * along
    above = np.array([0.0, 1.0]) if role == CHAIN_STAY else np.array([1.0, 0.0])
    off = math.copysign(float(np.linalg.norm(foot - axle)), float((foot - axle) @ above))
    plane = (block.spacing + block.dropout.thickness) / 2
    return max(abs(float((foot - b) @ along) - place.from_axle), abs(off - place.off), abs(end[2] - plane))


def _gaps(frame: Frame) -> list[float]:
    """How far each gap of a stay is from the kernel's least distance; where that is 0, how far over 0."""
    around = frame.around
    parts = {"tyre": around.tyre, "chainring": around.chainring, "crank": around.crank, "rotor": around.rotor}
    found = []
    for gap in frame.clearances.gaps:
        tube, part = frame.space.tubes[gap.tube], parts[gap.part]
        if tube.role not in (CHAIN_STAY, SEAT_STAY) or part is None:
            continue
        if isinstance(part, TyreSolid):
            solid = tyre_solid(part.axle, part.radius, part.width)
        else:
            solid = disc_solid(part.axle, part.radius, part.near, part.far)
        theirs = least_distance(tube_solid(tube, 0.0, tube.length), solid)
        found.append(max(gap.value, 0.0) if theirs < 1e-6 else abs(gap.value - theirs))
    return found

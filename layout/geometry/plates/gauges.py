r"""Parts that are not bolted to the base: length bars, angle gauges, mitre profiles.

    length bar   (o)-------------------------(o)    two dowel holes, centre to centre exact

    angle gauge     \ \         a wedge: its foot level, its other edge at the angle
                     \__\

    mitre profile    (____|     the tube's end as seen from the side, as wide as the tube

A gauge's tip is cut off, so that a weld or a corner does not hold it away. A profile is laid beside
the tube or under it: the cut is right where both edges are one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from layout.geometry.plates.arcs import fit_arcs
from layout.geometry.plates.contour import ContourPiece, Point, join_pieces
from layout.geometry.plates.corners import Corner, Turn, closed_ring, strip
from layout.geometry.plates.foot import SPARE
from layout.geometry.plates.plate import Plate, circle
from layout.geometry.plates.process import Process
from layout.geometry.space.mitre import Cut

BAR_RIM = 8.0
"""Material round a bar's hole, mm, or the least web where that is more."""
GAUGE_LEG = 160.0
"""Length of an angle gauge's edges, mm: 0.1 mm of light at its end is 0.04 degrees."""
GAUGE_TIP = 18.0
"""How far from the tip it is cut off along both edges, mm."""
GAUGE_CORNER = 4.0
"""Radius of a gauge's outer corners, mm."""
GAUGE_GRIP = 70.0
"""Straight part of a mitre profile behind the deepest point of the cut, mm."""
CURVE_WITHIN = 0.01
"""Arcs leave the exact curve of a mitre by no more than this, mm: half of what is allowed."""
CURVE_SAMPLES = 1441
"""Of a mitre's curve over the tube's width: under 0.06 mm apart on any tube."""
OWNER_ROUNDS = 40
"""Halvings in search of where another tube takes over the cut: down to rounding."""


def length_bar(name: str, length: float, ends: tuple[str, str], process: Process) -> Plate:
    """A bar whose two dowel holes are `length` mm apart; `ends` names what they are put over."""
    r = process.dowel / 2 + max(BAR_RIM, process.least_web + SPARE)
    holes = (
        circle(f"dowel hole, {ends[0]}", (0.0, 0.0), process.dowel),
        circle(f"dowel hole, {ends[1]}", (length, 0.0), process.dowel),
    )
    marks = {ends[0]: (0.0, 0.0), ends[1]: (length, 0.0)}
    return Plate(name, process.thickness, strip(0.0, length, r), holes, marks=marks)


def angle_gauge(name: str, angle: float, process: Process) -> Plate:
    """A wedge of `angle` degrees (20 to 160): foot from the origin along x, the other edge at the angle."""
    a = math.radians(angle)
    u = (math.cos(a), math.sin(a))

    def on(distance: float) -> Point:
        return distance * u[0], distance * u[1]

    outline = closed_ring(
        [
            Turn((GAUGE_TIP, 0.0)),
            Turn((GAUGE_LEG, 0.0), Corner.ROUND, GAUGE_CORNER),
            Turn(on(GAUGE_LEG), Corner.ROUND, GAUGE_CORNER),
            Turn(on(GAUGE_TIP)),
        ]
    )
    marks = {"tip": (0.0, 0.0), "foot": (GAUGE_LEG / 2, 0.0), "edge": on(GAUGE_LEG / 2)}
    return Plate(name, process.thickness, outline, marks=marks)


def mitre_profile(name: str, cut: Cut, process: Process) -> Plate | None:
    """The end of a tube as seen from the side; None where part of it passes beside the others.

    The tube's axis lies along x from the origin of the cut's s, its reference side up.
    """
    stretches = _side_view(cut)
    if stretches is None:
        return None
    pieces: list[ContourPiece] = []
    for points in stretches:
        pieces.extend(fit_arcs(points, CURVE_WITHIN))
    bottom, top = pieces[0].start, pieces[-1].end
    deepest = max(float(p[:, 0].max()) for p in stretches)
    far = deepest + GAUGE_GRIP
    # The curve runs from the far side up to the reference side with the part on its right.
    outline = join_pieces(
        [
            *(_back(p) for p in reversed(pieces)),
            ContourPiece(bottom, (far, bottom[1])),
            ContourPiece((far, bottom[1]), (far, top[1])),
            ContourPiece((far, top[1]), top),
        ]
    )
    return Plate(name, process.thickness, outline, marks={"origin": (0.0, 0.0)})


def _back(piece: ContourPiece) -> ContourPiece:
    return ContourPiece(piece.end, piece.start, -piece.bulge)


def _side_view(cut: Cut) -> Sequence[np.ndarray] | None:
    """The cut's outer edge in the tube's own side view, points (n, 2), one array for each tube met.

    From the side opposite the reference line up to it: even steps across the tube's width.
    """
    height = np.linspace(-1.0, 1.0, CURVE_SAMPLES)
    phi = np.degrees(np.arccos(height))
    s, host = cut.at(phi)
    if np.isnan(s).any():
        return None
    stretches, low = [], 0
    extra: np.ndarray | None = None
    for k in np.flatnonzero(np.diff(host)):
        at = _handover(cut, float(phi[k]), float(phi[k + 1]), int(host[k]))
        here = np.array([at])
        found = _points(cut, np.concatenate([phi[low : k + 1], here]))
        stretches.append(found if extra is None else np.concatenate([extra, found]))
        extra, low = found[-1:], int(k) + 1
    last = _points(cut, phi[low:])
    stretches.append(last if extra is None else np.concatenate([extra, last]))
    return stretches


def _handover(cut: Cut, first: float, second: float, owner: int) -> float:
    """The phi between two samples where another tube takes over."""
    for _ in range(OWNER_ROUNDS):
        middle = (first + second) / 2
        _, host = cut.at(np.array([middle]))
        first, second = (middle, second) if int(host[0]) == owner else (first, middle)
    return (first + second) / 2


def _points(cut: Cut, phi: np.ndarray) -> np.ndarray:
    """Points of the cut at phi as (s, height above the axis towards the reference side)."""
    s, _ = cut.at(phi)
    here = cut.end.triad
    up = (cut.points(phi, s) - here.at) @ here.reference
    return np.stack([s, up], axis=1)

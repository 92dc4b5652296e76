"""Mitre curves and cut lengths against solids of OpenCASCADE, cut by its boolean operations."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kernel_frames import SPECS, every_cut, placed
from kernel_solids import distances, edges, extent, host_solids, less, mitred_end, tube_solid

from layout.geometry.space.lengths import lengths_of
from layout.geometry.space.mitre import Cut

AGREED = 0.01
"""Curves and lengths agree with the kernel's to this, mm; the kernel's own tolerance is 1e-7."""
ON = 1e-4
"""A point of the kernel's edges is on a surface when it is this near, mm."""
BESIDE = 0.01
"""Degrees a point of the kernel's may lie beside, where a curve ends or jumps: 0.003 mm."""
BEYOND = 60.0
"""Tubes are built this much longer than their axes before the kernel cuts them, mm."""
CUTS = every_cut()


def on_the_mitre(cut: Cut, lines: list[np.ndarray]) -> np.ndarray:
    """Those points of the kernel's edges that lie on the branch's skin and on a host's."""
    points = np.concatenate(lines)
    branch = np.abs(cut.end.tube.outside(points)) * cut.end.tube.profile.greatest
    hosts = np.min([np.abs(h.tube.outside(points)) * h.tube.profile.greatest for h in cut.hosts], axis=0)
    return points[(branch < ON) & (hosts < ON)]


def placed_by(cut: Cut, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The phi and s of points in space, by the tube's own axis."""
    there = cut.end.triad.local(points)
    phi = np.degrees(np.arctan2(there[:, 2], there[:, 1]))
    return phi, cut.end.inward * (there[:, 0] + cut.end.t - cut.origin)


@pytest.mark.parametrize("name", CUTS)
def test_curve_is_the_edge_of_the_cut_solid(name: str) -> None:
    """Each sample lies on an edge of the kernel's solid, and no edge of the mitre lies deeper in the tube.

    Edges nearer the tube's end are slivers between two tubes or what passes beside: a generator's
    greatest root is what counts.
    """
    cut = CUTS[name]
    lines = edges(mitred_end(cut))
    hit = ~cut.missed
    assert distances(cut.points(cut.phi[hit], cut.s[hit]), lines).max() < AGREED
    theirs = on_the_mitre(cut, lines)
    phi, s = placed_by(cut, theirs)
    mine = np.fmax.reduce([cut.at(phi + beside)[0] for beside in (-BESIDE, 0.0, BESIDE)])
    assert (s <= mine + AGREED).all()
    assert (s >= mine - AGREED).sum() > 100


def both_ends() -> list[tuple[str, str]]:
    """Straight tubes whose every end is square or meets others all round."""
    found = []
    for frame in SPECS:
        space = placed(frame).space
        for name, tube in space.tubes.items():
            ends = [space.cut_of(name, k) for k in (0, 1)]
            whole = all(c is None or not c.partial for c in ends)
            whole &= frame == "plain" or "stay_left" not in name
            if tube.path.straight and whole and any(ends):
                found.append((frame, name))
    return found


@pytest.mark.parametrize(("frame", "name"), both_ends())
def test_cut_length_is_the_length_of_the_solid(frame: str, name: str) -> None:
    space = placed(frame).space
    tube = space.tubes[name]
    cuts = [space.cut_of(name, k) for k in (0, 1)]
    low = 0.0 if cuts[0] is None else -BEYOND
    high = tube.length if cuts[1] is None else tube.length + BEYOND
    tools = [s for c in cuts if c is not None for s in host_solids(c)]
    middle = tube.path.at(tube.length / 2).at
    solid = less(tube_solid(tube, low, high), tools, middle)
    first, last = extent(solid, tube.path.first.at, tube.path.first.along)
    lengths = lengths_of(space, name)
    assert last - first == pytest.approx(lengths.cut_length, abs=AGREED)
    origin = 0.0 if cuts[0] is None else cuts[0].origin
    least = 0.0 if cuts[0] is None else cuts[0].least.s
    assert first == pytest.approx(origin + least, abs=AGREED)

"""Gauges: bars, wedges, and the profiles of mitres against the closed formula."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from space_samples import called

from layout.geometry.plates.contour import Contour
from layout.geometry.plates.gauges import angle_gauge, length_bar, mitre_profile
from layout.geometry.plates.process import Process
from layout.geometry.space.meeting import Host
from layout.geometry.space.mitre import Cut
from layout.geometry.space.mitre import mitre as mitre_of
from layout.geometry.space.path import straight_path
from layout.geometry.space.profile import constant_profile
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import X, Y, Z, triad, vector

WITHIN = 0.02
"""Arcs leave a curve by no more than this, mm."""


def tube(name: str, angle: float, radius: float) -> Tube:
    """A tube from the origin in the plane, `angle` degrees from x; its reference line to its left."""
    a = math.radians(angle)
    along, up = vector(math.cos(a), math.sin(a)), vector(-math.sin(a), math.cos(a))
    return Tube(
        called(name), straight_path(triad(vector(0.0, 0.0), along, up), 300.0), constant_profile(radius)
    )


def shell(radius: float) -> Tube:
    return Tube(
        called("shell"), straight_path(triad(vector(0.0, 0.0, -34.0), Z, Y), 68.0), constant_profile(radius)
    )


def mitre(branch: Tube, *hosts: Tube) -> Cut:
    found = mitre_of(branch, 0, [Host(h) for h in hosts])
    assert found is not None
    return found


def exact(r: float, host: float, angle: float, y: np.ndarray) -> np.ndarray:
    """What s is over the height y above the axis, for a cylinder on a cylinder.

    `angle` is that of the host's axis from the branch's, counted towards +y:
    s = (y cos t + sqrt(R^2 - r^2 + y^2)) / sin t.
    """
    t = math.radians(angle)
    return (y * math.cos(t) + np.sqrt(np.maximum(host**2 - r**2 + y**2, 0.0))) / math.sin(t)


@pytest.mark.parametrize("angle", [59.8, 71.5, 90.0, 115.0])
@pytest.mark.parametrize(("r", "host"), [(14.3, 18.2), (17.45, 23.2), (14.3, 14.3), (15.9, 16.0)])
def test_a_profile_is_the_exact_curve_within_its_bound(angle: float, r: float, host: float) -> None:
    plate = mitre_profile("m", mitre(tube("branch", 0.0, r), tube("host", angle, host)), Process())
    assert plate is not None
    edge = shapely.LinearRing(plate.outline.loop)
    y = np.linspace(-r, r, 501)
    for x, h in zip(exact(r, host, angle, y), y, strict=True):
        assert edge.distance(shapely.Point(x, h)) <= WITHIN
    assert plate.size[1] == pytest.approx(2 * r, abs=WITHIN)


def test_a_profile_at_the_shell_is_the_shells_own_arc() -> None:
    plate = mitre_profile("m", mitre(tube("branch", 40.0, 17.45), shell(20.0)), Process())
    assert plate is not None
    assert isinstance(plate.outline, Contour)
    radii = [p.radius for p in plate.outline.pieces if p.bulge]
    assert radii
    assert radii == pytest.approx([20.0] * len(radii), abs=0.02)
    assert plate.area > 0.0


def test_two_hosts_make_the_greater_of_both_curves_with_a_corner() -> None:
    r, seat = 17.45, 60.0
    plate = mitre_profile(
        "m", mitre(tube("branch", 0.0, r), shell(20.0), tube("seat", seat, 14.3)), Process()
    )
    assert plate is not None
    edge = shapely.LinearRing(plate.outline.loop)
    with np.errstate(invalid="ignore"):
        y = np.linspace(-r, r, 301)
        at_shell = np.sqrt(400.0 - y**2)
        inner = 14.3**2 - r**2 + y**2
        at_seat = np.where(inner >= 0.0, exact(r, 14.3, seat, y), -np.inf)
    for x, h in zip(np.maximum(at_shell, at_seat), y, strict=True):
        assert edge.distance(shapely.Point(x, h)) <= WITHIN


def test_a_tube_that_passes_beside_has_no_profile() -> None:
    past = Tube(
        called("past"), straight_path(triad(vector(0.0, 0.0, 30.0), Y, X), 100.0), constant_profile(18.0)
    )
    found = mitre_of(tube("branch", 0.0, 14.3), 0, [Host(past)])
    assert found is not None
    assert found.partial
    assert mitre_profile("m", found, Process()) is None


def test_a_bar_has_its_holes_where_it_says() -> None:
    bar = length_bar("bar", 612.34, ("bb", "front_axle"), Process())
    first, second = (c.shape.bounds for c in bar.cutouts)
    assert second[0] - first[0] == pytest.approx(612.34)
    assert bar.size[1] == pytest.approx(2 * (3.0 + 8.0))


@pytest.mark.parametrize("angle", [50.0, 71.5, 85.0])
def test_a_gauge_has_its_angle_and_no_tip(angle: float) -> None:
    ring = angle_gauge("gauge", angle, Process()).outline
    assert isinstance(ring, Contour)
    long = [p for p in ring.pieces if p.bulge == 0.0 and p.chord > 100.0]
    directions = sorted(math.degrees(p.direction(0.0)) % 180.0 for p in long)
    assert any(abs(d - angle) < 1e-9 for d in directions)
    assert any(min(d, 180.0 - d) < 1e-9 for d in directions)
    assert shapely.Polygon(ring.loop).distance(shapely.Point(0.0, 0.0)) > 10.0

"""Where a hole in one tube opens into the bore of another: a bore drawn by hand on the tube's skin."""

from __future__ import annotations

import math

import numpy as np
import pytest
from space_samples import called

from layout.geometry.space.footprint import WALL, Footprint
from layout.geometry.space.meeting import Host
from layout.geometry.space.mitre import mitre
from layout.geometry.space.path import straight_path
from layout.geometry.space.profile import Profile, constant_profile
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import X, Y, triad, vector

BIG, HEIGHT, WIDTH = 60.0, 15.0, 9.0


@pytest.fixture(scope="module", params=[0.0, 35.0])
def footprint(request: pytest.FixtureRequest) -> Footprint:
    """An oval tube square on a thick round one, turned about its axis or not."""
    oval = Profile((0.0,), (HEIGHT,), (WIDTH,), turned=request.param)
    branch = Tube(called("tube"), straight_path(triad(vector(0.0, 0.0, 0.0), X, Y), 300.0), oval)
    post = Tube(called("post"), straight_path(triad(-150.0 * Y, Y, X), 300.0), constant_profile(BIG))
    cut = mitre(branch, 0, [Host(post)])
    assert cut is not None
    return Footprint(cut, 0)


def test_room_is_positive_inside_the_bore_and_never_more_than_there_is(footprint: Footprint):
    tall, wide = HEIGHT - WALL, WIDTH - WALL
    turned = math.radians(footprint.cut.end.tube.profile.turned)
    c, s = math.cos(turned), math.sin(turned)
    rim = np.linspace(0.0, 2 * math.pi, 3601)
    ellipse = np.stack([tall * np.cos(rim), wide * np.sin(rim)], axis=1)
    seen = {True: 0, False: 0}
    for station in np.linspace(150.0 - 1.5 * HEIGHT, 150.0 + 1.5 * HEIGHT, 25):
        for phi in np.linspace(-20.0, 20.0, 25):
            y, z = station - 150.0, -BIG * math.sin(math.radians(phi))
            up, over = y * c + z * s, z * c - y * s
            within = math.hypot(up / tall, over / wide) < 1.0
            room = float(footprint.room(np.array(station), np.array(phi)))
            assert (room > 0.0) == within
            if within:
                assert room <= float(np.hypot(*(ellipse - (up, over)).T).min()) + 1e-3
            seen[within] += 1
    assert min(seen.values()) > 50

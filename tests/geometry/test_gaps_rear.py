"""Least gaps by hand cases: plain tubes beside discs and rings, and the widest tyre between two of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from space_samples import called

from layout.geometry.space.clearance import bridge_clear_of
from layout.geometry.space.gaps import DiscSolid, TyreSolid, chain_wheel, least_gap, skin, widest_tyre
from layout.geometry.space.path import Bend, bent_path, straight_path
from layout.geometry.space.profile import Profile, constant_profile
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Triad, X, Y, triad, vector

NEAR = 1e-3
"""Where a tube runs along a ring the gap hardly changes: the zoom stops within this of the least, mm."""


def rail(z: float, radius: float = 8.0, y: float = 0.0) -> Tube:
    """A tube along x, `z` beside the middle plane."""
    path = straight_path(triad(vector(-200.0, y, z), X, Y), 400.0)
    return Tube(called("rail", "a", "b"), path, constant_profile(radius))


def test_a_tube_beside_a_disc():
    gap = least_gap(rail(60.0), DiscSolid((0.0, 0.0), 90.0, 40.0, 46.0), "ring")
    assert gap.value == pytest.approx(60.0 - 8.0 - 46.0, abs=NEAR)
    assert gap.at[2] == pytest.approx(52.0, abs=NEAR)
    assert math.hypot(gap.at[0], gap.at[1]) <= 90.0


def test_a_tube_in_front_of_a_disc():
    """The disc's rim at 30, the tube's side at 50 - 8."""
    path = straight_path(triad(vector(50.0, -200.0), Y, X), 400.0)
    gap = least_gap(
        Tube(called("post"), path, constant_profile(8.0)), DiscSolid((0.0, 0.0), 30.0, -3.0, 3.0), "ring"
    )
    assert gap.value == pytest.approx(12.0, abs=NEAR)


def test_a_tube_past_a_discs_corner():
    """3-4-5: the tube's axis passes 30 over the edge and 40 aside: 50 off, less 8."""
    gap = least_gap(rail(43.0, y=50.0), DiscSolid((0.0, 0.0), 20.0, -3.0, 3.0), "ring")
    assert gap.value == pytest.approx(50.0 - 8.0, abs=NEAR)


def test_a_tube_over_a_tyre():
    """Tyre 40 on a wheel of 340: its crown is 340 from the axle; a rail 360 up clears it by 12."""
    gap = least_gap(rail(0.0, y=360.0), TyreSolid((0.0, 0.0), 340.0, 40.0), "tyre")
    assert gap.value == pytest.approx(12.0, abs=NEAR)
    assert gap.at == pytest.approx((0.0, 352.0, 0.0), abs=0.05)


def test_a_tube_beside_a_tyre():
    """Level with the section's middle (320 up), 50 aside: 50 - 20 - 8."""
    gap = least_gap(rail(50.0, y=320.0), TyreSolid((0.0, 0.0), 340.0, 40.0), "tyre")
    assert gap.value == pytest.approx(22.0, abs=NEAR)


def test_what_runs_into_each_other_has_a_gap_below_nothing():
    gap = least_gap(rail(44.0), DiscSolid((0.0, 0.0), 90.0, 40.0, 46.0), "ring")
    assert gap.value == pytest.approx(-(46.0 - 40.0) / 2, abs=0.01)


def test_a_bent_tube_is_nearest_at_its_bend():
    """Bent round a disc: the bend's inside, 100 - 8 from its centre, is 22 off a disc of 70."""
    path = bent_path(
        Triad(vector(-100.0, -120.0), Y, X), 500.0, [Bend(120.0 + 50.0 * math.pi, 180.0, 0.0, 100.0)]
    )
    gap = least_gap(
        Tube(called("hoop"), path, constant_profile(8.0)), DiscSolid((0.0, 0.0), 70.0, -3.0, 3.0), "ring"
    )
    assert gap.value == pytest.approx(100.0 - 8.0 - 70.0, abs=NEAR)


def test_an_oval_tube_turns_its_narrow_side():
    oval = Profile((0.0,), (15.0,), (8.0,))
    path = straight_path(triad(vector(-200.0, 0.0, 60.0), X, Y), 400.0)
    disc = DiscSolid((0.0, 0.0), 90.0, 40.0, 46.0)
    assert least_gap(Tube(called("stay"), path, oval), disc, "ring").value == pytest.approx(6.0, abs=NEAR)
    quarter = Profile((0.0,), (15.0,), (8.0,), 90.0)
    assert least_gap(Tube(called("stay"), path, quarter), disc, "ring").value == pytest.approx(-1.0, abs=NEAR)


def test_only_the_length_asked_for_counts():
    ring = DiscSolid((0.0, 0.0), 20.0, 40.0, 46.0)
    assert least_gap(rail(60.0), ring, "ring", 0.0, 100.0).value > 70.0
    with pytest.raises(ValueError, match="nothing between"):
        least_gap(rail(60.0), ring, "ring", 500.0, 600.0)


def test_the_widest_tyre_between_two_rails():
    """Rails 35 and 8 thick either side: 2 * (27 - 6) is 42 wide; the crown's rail is out of reach."""
    skins = [skin(rail(z, y=300.0)) for z in (35.0, -35.0)]
    wide = widest_tyre(skins, (0.0, 0.0), lambda width: 300.0 + width / 2, 6.0, (18.0, 125.0))
    assert wide == pytest.approx(42.0, abs=0.1)


def test_no_tyre_and_every_tyre():
    near, far = [skin(rail(12.0, y=300.0))], [skin(rail(300.0, y=300.0))]
    assert widest_tyre(near, (0.0, 0.0), lambda width: 300.0 + width / 2, 6.0, (18.0, 125.0)) is None
    assert widest_tyre(far, (0.0, 0.0), lambda width: 300.0 + width / 2, 6.0, (18.0, 60.0)) == 60.0


def test_a_chainring_of_forty_teeth():
    """Pitch diameter 12.7 / sin 4.5 degrees = 161.87 (ISO 606, from memory); plates 4.3 past it."""
    assert chain_wheel(40) == pytest.approx(161.87 / 2 + 4.3, abs=0.005)


def test_a_bridge_over_the_crown():
    assert bridge_clear_of(TyreSolid((0.0, 0.0), 340.0, 40.0), 14.0, 6.0) == pytest.approx(353.0)


def test_a_skin_lies_on_its_tube():
    points = skin(rail(60.0))
    assert np.hypot(points[:, 1], points[:, 2] - 60.0) == pytest.approx(8.0)


def test_a_tyre_that_stands_lower_than_a_narrower_one_is_found():
    """345.5 mm of room over the axle: 28.5 on 622 fits, 26.1 to 27.9, which stand 2.5 higher, do not."""
    above = [skin(rail(0.0, y=345.5 + 8.0))]

    def radius(width: float) -> float:
        return 311.0 + width + (2.5 if width < 28.0 else 0.0)

    assert widest_tyre(above, (0.0, 0.0), radius, 6.0, (18.0, 60.0)) == pytest.approx(28.5, abs=0.01)

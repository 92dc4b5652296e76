"""Mitre curves against the closed form, against hand cases, and by substitution in both surfaces."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from space_samples import called

from layout.geometry.space.meeting import Host, _search_roots, meet, nearest_host_axis, window
from layout.geometry.space.mitre import EVERY_DEGREE, mitre
from layout.geometry.space.path import Bend, bent_path, straight_path
from layout.geometry.space.profile import Profile, constant_profile
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Triad, X, Y, Z, rotate, triad, unit, vector

EXACT = 1e-9
"""Curves are exact to this, mm."""


def tube(
    start: np.ndarray, along: np.ndarray, profile: Profile, length: float = 300.0, up: np.ndarray = Y
) -> Tube:
    return Tube(called("tube"), straight_path(triad(start, along, up), length), profile)


def post(radius: float, along: np.ndarray = Y) -> Tube:
    return Tube(
        called("post"), straight_path(triad(-150.0 * along, along, X), 300.0), constant_profile(radius)
    )


def leaning(angle: float, offset: float, radius: float) -> Tube:
    """A branch from the post's axis (or beside it), its axis at `angle` to the post, in the xy plane."""
    a = math.radians(angle)
    return tube(vector(0.0, 0.0, offset), vector(math.sin(a), math.cos(a)), constant_profile(radius))


def closed_form(psi: np.ndarray, r: float, big: float, angle: float, e: float) -> np.ndarray:
    """The curve by the textbook; psi counts from the acute side."""
    t, p = math.radians(angle), np.radians(psi)
    with np.errstate(invalid="ignore"):
        return (r * np.cos(p) * math.cos(t) + np.sqrt(big**2 - (e + r * np.sin(p)) ** 2)) / math.sin(t)


CASES = [
    (14.3, 18.0, 72.5, 0.0),
    (17.45, 20.0, 90.0, 0.0),
    (14.3, 14.3, 82.0, 0.0),
    (14.3, 14.3, 90.0, 0.0),
    (8.0, 14.3, 35.0, 6.3),
    (8.0, 14.3, 52.0, 11.0),
    (17.45, 20.0, 90.0, 5.0),
    (25.0, 18.0, 60.0, 0.0),
    (6.0, 30.0, 20.0, -24.0),
]


@pytest.mark.parametrize(("r", "big", "angle", "e"), CASES)
def test_cylinder_on_cylinder_is_the_closed_form(r: float, big: float, angle: float, e: float):
    found = mitre(leaning(angle, e, r), 0, [Host(post(big))])
    assert found is not None
    # The branch's reference line is up, on the acute side of the post; phi = 90 is along x cross y = +z.
    expected = closed_form(EVERY_DEGREE, r, big, angle, e)
    missed = (e + r * np.sin(np.radians(EVERY_DEGREE))) ** 2 > big**2 * (1 + 1e-12)
    assert (found.missed == missed).all()
    both = ~missed & ~np.isnan(expected)
    assert both.sum() > 30
    assert np.abs(found.s - expected)[both].max() < EXACT
    assert found.angle == pytest.approx(angle)
    assert found.offset == pytest.approx(abs(e))


def test_two_equal_tubes_at_right_angles_by_hand():
    """S = r |cos phi| where phi = 90 and 270 lie beside the post: the simplest fish mouth."""
    found = mitre(leaning(90.0, 0.0, 14.3), 0, [Host(post(14.3))])
    assert found is not None
    assert np.abs(found.s - 14.3 * np.abs(np.cos(np.radians(EVERY_DEGREE)))).max() < 1e-6
    assert found.s[90] == pytest.approx(0.0, abs=1e-6)
    assert found.least.s == pytest.approx(0.0, abs=1e-6)
    assert found.greatest.s == pytest.approx(14.3)


def test_three_four_five():
    """R sin 90 = 12, R = 20: the side lies 16 before the axis; the top 20."""
    found = mitre(leaning(90.0, 0.0, 12.0), 0, [Host(post(20.0))])
    assert found is not None
    assert found.s[0] == pytest.approx(20.0, abs=EXACT)
    assert found.s[90] == pytest.approx(16.0, abs=EXACT)
    assert found.s[270] == pytest.approx(16.0, abs=EXACT)


def test_the_second_end_is_measured_into_the_tube_by_the_same_line():
    branch = tube(vector(-300.0, 0.0), X, constant_profile(12.0))
    found = mitre(branch, 1, [Host(post(20.0))])
    assert found is not None
    assert found.origin == pytest.approx(300.0)
    assert found.s[90] == pytest.approx(16.0, abs=EXACT)
    top = found.points(np.array([0.0, 90.0]), np.array([20.0, 16.0]))
    assert top[0] == pytest.approx([-20.0, 12.0, 0.0])
    assert top[1] == pytest.approx([-16.0, 0.0, 12.0])


def test_tangent_tubes_are_kinks_not_faults():
    found = mitre(leaning(70.0, 6.3, 8.0), 0, [Host(post(14.3))])
    assert found is not None
    assert not found.partial
    assert found.s[90] == pytest.approx(0.0, abs=1e-5)


def test_a_tube_partly_beside_has_no_curve_there():
    found = mitre(leaning(90.0, 14.3, 8.0), 0, [Host(post(14.3))])
    assert found is not None
    assert found.partial
    beside = np.sin(np.radians(EVERY_DEGREE)) > 1e-9
    assert (found.missed == beside).all()


@pytest.mark.parametrize("offset", [22.31, -40.0])
def test_a_tube_wholly_beside_has_no_mitre(offset: float):
    assert mitre(leaning(60.0, offset, 8.0), 0, [Host(post(14.3))]) is None


def test_parallel_tubes_have_no_mitre():
    assert mitre(tube(vector(20.0, 0.0), Y, constant_profile(8.0), up=X), 0, [Host(post(14.3))]) is None


SHAPES = {
    "round": constant_profile(15.0),
    "cone": Profile((0.0, 300.0), (17.0, 9.0), (17.0, 9.0)),
    "oval": Profile((0.0,), (15.0,), (8.0,), 25.0),
    "oval to round": Profile((10.0, 250.0), (15.0, 7.0), (8.0, 7.0)),
}
HOSTS = {
    "round": constant_profile(19.0),
    "cone": Profile((60.0, 240.0), (28.0, 20.0), (28.0, 20.0)),
    "stepped": Profile((0.0, 155.0, 155.0), (25.0, 25.0, 20.0), (25.0, 25.0, 20.0)),
    "oval": Profile((0.0,), (24.0,), (18.0,), 10.0),
    "oval to round": Profile((100.0, 240.0), (26.0, 19.0), (18.0, 19.0)),
}


def measure(profile: Profile, station: np.ndarray, up: np.ndarray, over: np.ndarray) -> np.ndarray:
    """How far points are off a tube's outside, by the equation of the ellipse at their station."""
    a = math.radians(profile.turned)
    u, v = up * math.cos(a) + over * math.sin(a), over * math.cos(a) - up * math.sin(a)
    height = np.interp(station, profile.stations, profile.heights)
    width = np.interp(station, profile.stations, profile.widths)
    return (np.hypot(u / height, v / width) - 1.0) * height


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("host", HOSTS)
@pytest.mark.parametrize("offset", [0.0, 5.0])
def test_every_point_of_the_curve_lies_on_both_surfaces(shape: str, host: str, offset: float):
    there = Tube(called("post"), straight_path(triad(vector(0.0, -150.0), Y, X), 300.0), HOSTS[host])
    branch = tube(vector(0.0, 0.0, offset), vector(1.0, 0.35, 0.1), SHAPES[shape])
    found = mitre(branch, 0, [Host(there)])
    assert found is not None
    hit = ~found.missed
    assert hit.sum() > 250
    points = found.points(found.phi[hit], found.s[hit])
    here = branch.path.first
    ahead, up, over = ((points - here.at) @ v for v in (here.along, here.reference, here.across))
    assert np.abs(measure(SHAPES[shape], ahead, up, over)).max() < EXACT
    station, x, z = points[:, 1] + 150.0, points[:, 0], points[:, 2]
    if host == "stepped":
        off = np.minimum(np.abs(np.hypot(x, z) - 25.0) + np.maximum(station - 155.0, 0.0),
                         np.abs(np.hypot(x, z) - 20.0) + np.maximum(155.0 - station, 0.0))  # fmt: skip
        shoulder = np.abs(station - 155.0) + np.maximum(np.hypot(x, z) - 25.0, 0.0)
        off = np.minimum(off, shoulder + np.maximum(20.0 - np.hypot(x, z), 0.0))
        assert off.max() < EXACT
    else:
        # The post's reference line is x, so that across is y cross x = -z.
        assert np.abs(measure(HOSTS[host], station, x, -z)).max() < EXACT


@pytest.mark.parametrize(("r", "big", "angle", "e"), CASES)
def test_search_and_closed_form_agree(r: float, big: float, angle: float, e: float):
    branch, there = leaning(angle, e, r), Host(post(big))
    found = mitre(branch, 0, [there])
    assert found is not None
    near = nearest_host_axis(found.end, there.tube)
    assert near is not None
    phi = EVERY_DEGREE + 0.5
    searched = _search_roots(found.end, there, phi, window(found.end, there.tube, near))
    closed = found.at(phi)[0]
    assert (np.isnan(searched) == np.isnan(closed)).all()
    assert np.nanmax(np.abs(searched - closed)) < EXACT


def test_a_bent_post_is_a_ring_round_the_bend():
    """From the bend's centre out: every point met is 10 from a circle of 60 about that centre."""
    path = bent_path(Triad(vector(-200.0, 0.0), X, Y), 400.0, [Bend(200.0, 90.0, 0.0, 60.0)])
    ring = Tube(called("ring", "a", "b"), path, constant_profile(10.0))
    middle = path.at(200.0)
    centre = path.pieces[1].centre
    branch = tube(centre, unit(middle.at - centre), constant_profile(6.0), up=Z)
    found = mitre(branch, 1, [Host(ring)])
    assert found is not None and not found.partial
    points = found.points(found.phi, found.s)
    from_axis = np.hypot(np.linalg.norm((points - centre)[:, :2], axis=1) - 60.0, points[:, 2])
    assert np.abs(from_axis - 10.0).max() < EXACT


def test_of_two_hosts_the_one_that_reaches_further_in_counts():
    low, high = post(14.0), post(20.0)
    branch = leaning(75.0, 0.0, 12.0)
    one, both = mitre(branch, 0, [Host(low)]), mitre(branch, 0, [Host(low), Host(high)])
    assert one is not None and both is not None
    assert both.against == ("post", "post")
    assert (both.s > one.s).all()
    assert (both.host == 1).all()


def test_a_host_that_never_reaches_further_is_left_out_unless_it_must_be_listed():
    branch = leaning(75.0, 0.0, 12.0)
    hosts = [Host(post(20.0)), Host(post(14.0))]
    left_out, listed = mitre(branch, 0, hosts), mitre(branch, 0, hosts, always=2)
    assert left_out is not None and listed is not None
    assert (len(left_out.hosts), len(listed.hosts)) == (1, 2)
    assert np.array_equal(left_out.s, listed.s)


def test_a_host_is_not_there_past_its_limit():
    branch = leaning(90.0, 0.0, 6.0)
    ended = Host(post(20.0), 0.0, 140.0)
    first = Host(
        Tube(called("thin"), straight_path(triad(vector(0.0, -150.0), Y, X), 300.0), constant_profile(8.0))
    )
    found = mitre(branch, 0, [first, ended])
    assert found is not None
    assert found.against == ("thin",)


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.0, 360.0),
    st.floats(0.0, 360.0),
    st.tuples(*[st.floats(-500.0, 500.0)] * 3),
    st.sampled_from(CASES),
)
def test_moving_the_whole_joint_changes_nothing(a: float, b: float, move: tuple, case: tuple):
    r, big, angle, e = case
    branch, there = leaning(angle, e, r), post(big)

    def moved(t: Tube) -> Tube:
        first = t.path.first
        at, along, up = (rotate(rotate(v, Z, a), X, b) for v in (first.at, first.along, first.reference))
        return Tube(t.role, straight_path(Triad(at + np.array(move), along, up), t.length), t.profile)

    here, gone = mitre(branch, 0, [Host(there)]), mitre(moved(branch), 0, [Host(moved(there))])
    assert here is not None and gone is not None
    clear = np.abs((e + r * np.sin(np.radians(EVERY_DEGREE))) ** 2 - big**2) > 1e-6 * big**2
    same = np.abs(here.s - gone.s)[clear & ~np.isnan(here.s)]
    assert same.max() < 1e-8
    assert gone.angle == pytest.approx(here.angle, abs=1e-9)
    assert gone.offset == pytest.approx(here.offset, abs=1e-9)


def test_least_and_greatest_lie_between_the_samples():
    """The long points of a leaning tube with an offset are at no whole degree: the zoom finds them."""
    found = mitre(leaning(52.0, 4.0, 8.0), 0, [Host(post(14.3))])
    assert found is not None
    fine = found.at(np.linspace(0.0, 360.0, 360001))[0]
    assert found.least.s == pytest.approx(fine.min(), abs=1e-8)
    assert found.greatest.s == pytest.approx(fine.max(), abs=1e-8)
    assert found.least.s <= found.s.min()


@pytest.mark.parametrize("kept", [20.0, 60.0, 150.0])
def test_an_oval_that_changes_its_shape_is_cut_alike_wherever_it_begins_to(kept: float):
    """Where it keeps its shape over the joint the closed form serves, else the search: one curve in both."""
    branch = tube(vector(0.0, 0.0, 3.0), vector(1.0, 0.2), Profile((kept, 280.0), (15.0, 7.0), (8.0, 7.0)))
    host = post(20.0)
    found = mitre(branch, 0, [Host(host)])
    near = nearest_host_axis(branch.end(0), host)
    assert found is not None and near is not None
    looked = _search_roots(branch.end(0), Host(host), EVERY_DEGREE, window(branch.end(0), host, near))
    assert np.abs(found.s - (looked - near.first)).max() < EXACT
    on_both = found.points(found.phi, found.s)
    assert np.abs(host.outside(on_both)).max() < 1e-10
    assert np.abs(branch.outside(on_both)).max() < 1e-10


def test_a_stay_that_comes_in_by_the_end_of_a_wider_tube_is_cut_at_that_end():
    """Its flat end was no surface: the stay was cut where it left the tube again, 3.5 further out.

    By hand: a tube of 40 that begins at x = 0, a stay of 10 that comes in level with its axis, 30 degrees
    off: generators cross x = 0 at t = (50 + 5 sin 30 cos phi) / cos 30.
    """
    host = Host(tube(vector(0.0, 0.0, 0.0), X, constant_profile(20.0)), 0.0, 300.0)
    a = math.radians(30.0)
    along = vector(math.cos(a), math.sin(a))
    stay = tube(vector(-50.0, -50.0 * math.tan(a)), along, constant_profile(5.0), 57.0)
    end = stay.end(1)
    near = nearest_host_axis(end, host.tube)
    assert near is not None
    phi = EVERY_DEGREE
    t = meet(end, host, phi, near)
    expected = (50.0 + 5.0 * math.sin(a) * np.cos(np.radians(phi))) / math.cos(a)
    assert t == pytest.approx(expected, abs=EXACT)
    assert _search_roots(end, host, phi, window(end, host.tube, near)) == pytest.approx(t, abs=1e-4)

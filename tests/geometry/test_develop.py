"""A tube's skin laid flat: lengths on the paper by plain summing, the traced curve between its points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from space_samples import called

from layout.geometry.space.develop import TOLERANCE, Development, trace
from layout.geometry.space.meeting import Host
from layout.geometry.space.mitre import Cut, mitre
from layout.geometry.space.path import straight_path
from layout.geometry.space.profile import constant_profile
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import X, Y, triad, vector

PAPER = 0.1
HEIGHT, WIDTH = 15.0, 9.0


def paper_length(first: float, last: float, turned: float) -> float:
    """From one polar angle to another round an oval's paper, whose middle lies half its thickness outside."""
    polar = np.radians(np.linspace(first, last, 200_001) - turned)
    radius = HEIGHT * WIDTH / np.hypot(WIDTH * np.cos(polar), HEIGHT * np.sin(polar))
    x, y = radius * np.cos(polar), radius * np.sin(polar)
    normal = np.arctan2(y / WIDTH**2, x / HEIGHT**2)
    x, y = x + PAPER / 2 * np.cos(normal), y + PAPER / 2 * np.sin(normal)
    return float(np.hypot(np.diff(x), np.diff(y)).sum())


@pytest.mark.parametrize("turned", [0.0, 25.0, 90.0, -40.0])
def test_an_oval_is_as_long_on_the_paper_as_round_its_skin(turned: float):
    """Its table was not read by any test of this room: a turned oval could begin anywhere."""
    laid = Development(0.0, HEIGHT, WIDTH, turned=turned, paper=PAPER)
    phi = np.array([0.0, 30.0, 100.0, 250.0, 360.0])
    x, y = laid.flat(phi, np.zeros(len(phi)))
    wanted = [paper_length(0.0, p, turned) for p in phi]
    assert x == pytest.approx(wanted, abs=1e-4)
    assert y == pytest.approx(np.zeros(len(phi)))
    assert laid.girth == pytest.approx(wanted[-1], abs=1e-4)


def cut_at(angle: float, radius: float, big: float, beside: float = 0.0) -> Cut:
    """A branch cut on a round post, its axis at `angle` to the post and `beside` it."""
    a = math.radians(angle)
    start = vector(0.0, 0.0, beside)
    along = vector(math.sin(a), math.cos(a))
    branch = Tube(called("tube"), straight_path(triad(start, along, Y), 300.0), constant_profile(radius))
    post = Tube(called("post"), straight_path(triad(-150.0 * Y, Y, X), 300.0), constant_profile(big))
    found = mitre(branch, 0, [Host(post)])
    assert found is not None
    return found


STEEP = [(20.0, 14.0, 14.1, 0.0), (70.0, 10.0, 14.0, 9.0)]


@pytest.mark.parametrize(("angle", "radius", "big", "beside"), STEEP)
def test_a_traced_curve_keeps_its_chords_near_it(angle: float, radius: float, big: float, beside: float):
    """Halved once, chords of a steep curve are still too far off."""
    cut = cut_at(angle, radius, big, beside)
    laid = Development(cut.origin, radius, radius, paper=PAPER)
    worst = 0.0
    for phi, s in trace(cut, laid):
        for part in (0.25, 0.5, 0.75):
            between = phi[:-1] + part * (phi[1:] - phi[:-1])
            on_curve = cut.at(between)[0]
            on_chord = s[:-1] + part * (s[1:] - s[:-1])
            x0, _ = laid.flat(phi[:-1], s[:-1])
            x1, _ = laid.flat(phi[1:], s[1:])
            slope = np.abs(s[1:] - s[:-1]) / (x1 - x0)
            off = np.abs(on_curve - on_chord) / np.hypot(1.0, slope)
            steep = np.abs(phi[1:] - phi[:-1]) < 1e-5
            worst = max(worst, float(np.nanmax(np.where(steep, 0.0, off))))
    assert worst <= 1.5 * TOLERANCE


def test_a_traced_curve_runs_on_to_where_the_tube_begins_to_pass_beside():
    cut = cut_at(70.0, 10.0, 14.0, 9.0)
    ((phi, _),) = trace(cut, Development(cut.origin, 10.0, 10.0, paper=PAPER))
    just_past = np.array([phi[0] - 1e-4, phi[-1] + 1e-4])
    assert np.isnan(cut.at(just_past)[0]).all()
    assert not np.isnan(cut.at(phi)[0]).any()

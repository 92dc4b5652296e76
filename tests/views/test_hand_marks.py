"""What a hand marks on a tube: from what a tape hooks on, and vents that open into the tube they are for."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import SPECS, placed

from layout.bench.marks import LONG_POINT, SQUARE_END, Mark, marks
from layout.frame.solve import Frame, solve
from layout.geometry.space.tube import FIRST, Tube
from layout.spec.load import loads

STAY_VENT = "vent.seat_tube.seat_stay"


def point(tube: Tube, station: float, phi: float) -> np.ndarray:
    here = tube.path.at(station)
    a, r = math.radians(phi), float(tube.profile.radius(phi, station))
    return here.at + r * (math.cos(a) * here.reference + math.sin(a) * here.across)


def station_of(mark: Mark, frame: Frame) -> float:
    cut = frame.space.cut_of(mark.tube.name, mark.end)
    origin = (0.0 if mark.end == FIRST else mark.tube.length) if cut is None else cut.origin
    return origin + mark.tube.end(mark.end).inward * mark.s


@pytest.mark.parametrize("name", SPECS)
def test_every_vent_opens_into_the_tube_it_is_for(name: str):
    """With side-mounted stays the seat tube's vent stood at the middle of its back, where no stay is.

    The whole rim of each hole lies nearer the other tube's axis than its bore, and on the way out of it.
    """
    frame = placed(name)
    found = [m for m in marks(frame) if m.kind == "vent" and m.into is not None]
    assert {m.into for m in found} >= {"top_tube", "down_tube", "seat_stay_left", "seat_stay_right"}
    for mark in found:
        assert mark.diameter is not None
        other, host = frame.space.tubes[str(mark.into)], mark.tube
        cut = next(c for c in frame.space.cuts if c.tube == other.name and host.name in c.against)
        station, axis = station_of(mark, frame), cut.end.triad
        for turn in np.arange(0.0, 2 * math.pi, 0.3):
            r = float(host.profile.radius(mark.phi, station))
            phi = mark.phi + math.degrees(mark.diameter / 2 * math.sin(turn) / r)
            rim = point(host, station + mark.diameter / 2 * math.cos(turn), phi)
            off = rim - axis.at
            apart = float(np.linalg.norm(off - (off @ axis.along) * axis.along))
            height, width = other.diameter_at(axis_station(cut.end.t, float(off @ axis.along)))
            assert apart < min(height, width) / 2 - 0.5, (mark.feature, apart)
            outward = (rim - host.path.at(station).at) @ axis.along * cut.end.inward
            assert outward > 0.0, mark.feature


def axis_station(end: float, ahead: float) -> float:
    return end + ahead


def test_the_vent_of_side_mounted_stays_is_off_the_middle_of_the_back():
    found = {m.feature: m for m in marks(placed("plain"))}
    right, left = found[f"{STAY_VENT}_right"], found[f"{STAY_VENT}_left"]
    assert 20.0 < right.phi - 180.0 < 80.0
    assert right.phi - 180.0 == pytest.approx(180.0 - left.phi, abs=1e-6)


@pytest.mark.parametrize("name", SPECS)
def test_every_distance_runs_from_what_a_tape_hooks(name: str):
    """They ran from the axis crossing: the long point of a mitred tube is 10 to 40 from there."""
    frame = placed(name)
    for mark in marks(frame):
        cut = frame.space.cut_of(mark.tube.name, mark.end)
        if cut is None:
            assert (mark.datum, mark.distance) == (SQUARE_END, pytest.approx(mark.s))
            continue
        assert mark.datum == LONG_POINT
        assert mark.distance == pytest.approx(mark.s - float(np.nanmin(cut.s)), abs=0.01)
        nearest = round(mark.datum_phi) % 360
        assert cut.s[nearest] == pytest.approx(np.nanmin(cut.s), abs=0.01)


def test_a_fitting_has_its_distance_from_the_long_point_by_hand():
    """Top tube 28.6 on a head tube of 36 at 80.97 degrees, boss 90 from the head along the axis."""
    more = "  - {kind: boss, tube: top_tube, at: 90, from: head, side: down}\n"
    frame = solve(loads(SPECS["plain"] + more, "boss.yaml"))
    (mark,) = (m for m in marks(frame) if m.kind == "boss")
    cut = frame.space.cut_of("top_tube", 1)
    assert cut is not None
    t = math.radians(cut.angle)
    psi = np.radians(np.arange(0.0, 360.0, 0.01))
    s = (14.3 * np.cos(psi) * math.cos(t) + np.sqrt(18.0**2 - (14.3 * np.sin(psi)) ** 2)) / math.sin(t)
    assert mark.distance == pytest.approx(90.0 - s.min(), abs=1e-4)
    assert (mark.tube.name, mark.end, mark.phi) == ("top_tube", 1, pytest.approx(180.0))


def test_each_bend_has_its_middle_its_angle_and_its_side():
    found = {(m.tube.name, m.feature): m for m in marks(placed("bent")) if m.kind == "bend"}
    right = found["chain_stay_right", "tubes.chain_stay.bends.0"]
    left = found["chain_stay_left", "tubes.chain_stay.bends.0"]
    cut = placed("bent").space.cut_of("chain_stay_right", 0)
    assert cut is not None
    assert right.s == pytest.approx(110.0 - cut.origin)
    assert (right.what, right.side, left.side) == ("bend 9.0°, radius 120", "outer", "outer")
    assert right.phi == pytest.approx(270.0) and left.phi == pytest.approx(90.0)


def test_lugs_need_no_vents_but_a_closed_tube_has_its_own():
    frame = solve(loads("joining: lugged\n" + SPECS["plain"], "lugged.yaml"))
    vents = [m for m in marks(frame) if m.kind == "vent"]
    assert {m.into for m in vents} == {None}
    assert {m.tube.role.name for m in vents} == {"seat_stay", "seat_stay_bridge", "chain_stay_bridge"}


def test_a_vent_and_a_port_have_their_sizes():
    more = (
        "  - {kind: vent, tube: seat_tube, at: 494, side: front, diameter: 5}\n"
        "  - {kind: port, tube: down_tube, at: 120, from: head, side: left, size: [18, 9]}\n"
    )
    frame = solve(loads(SPECS["plain"] + more, "port.yaml"))
    found = {m.kind: m for m in marks(frame) if m.feature in ("fittings.2", "fittings.3")}
    assert (found["vent"].diameter, found["vent"].into) == (5.0, "top_tube")
    assert found["port"].what == "port 18.0 x 9.0"

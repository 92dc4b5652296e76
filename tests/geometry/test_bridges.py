"""Curved bridges: where their axis runs, how they meet the stays, what they clear, what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.bench.cut_list import cut_list
from layout.bench.marks import marks
from layout.drafting.entities import Text
from layout.errors import Fault, LayoutError
from layout.frame.solve import Frame, solve
from layout.geometry.space.bridges import BEHIND_CUT, bridge_rise
from layout.geometry.space.lengths import lengths_of
from layout.geometry.space.tube import Tube
from layout.spec.load import loads
from layout.views.cutting import cutting_panels
from layout.views.rear.bends import draft_bends

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
rear_end: {stay_spacing_at_shell: 46, dropout: {seat_stay: {from_axle: 36, off: 9}}}
"""
SEAT = "{kind: bridge, tube: seat_stay, at: 372, from: axle, radius: 60}"
CHAIN = "{kind: bridge, tube: chain_stay, at: 62, from: bb, radius: 40, diameter: 12}"


def framed(*fittings: str, more: str = "") -> Frame:
    return solve(loads(f"{PLAIN}{more}fittings: [{', '.join(fittings)}]\n", "frame.yaml"))


def fault_of(*fittings: str) -> Fault:
    with pytest.raises(LayoutError) as caught:
        assert framed(*fittings).space
    (fault,) = caught.value.faults
    return fault


def bridge(frame: Frame) -> Tube:
    (found,) = (t for t in frame.space.tubes.values() if t.role.alike_ends)
    return found


@pytest.mark.parametrize(("fitting", "radius"), [(SEAT, 60.0), (CHAIN, 40.0)])
def test_a_curved_bridge_is_an_arc_between_the_stays_axes_with_straight_ends_in_the_joints(
    fitting: str, radius: float
) -> None:
    """Two straight ends of a length e, an arc of half an angle a: across 2 (e cos a + R sin a).

    The rise is e sin a + R (1 - cos a); all lies in the plane of the stays' points and the axle.
    """
    frame = framed(fitting)
    tube = bridge(frame)
    first, arc, last = tube.path.pieces
    assert (first.straight, arc.straight, last.straight) == (True, False, True)
    end, half = first.high, (arc.high - arc.low) / radius / 2
    assert last.high - last.low == pytest.approx(end)
    a, b, middle = tube.path.first.at, tube.path.last.at, tube.path.at(tube.length / 2).at
    assert math.dist(a, b) == pytest.approx(2 * (end * math.cos(half) + radius * math.sin(half)))
    rise = end * math.sin(half) + radius * (1 - math.cos(half))
    assert math.dist(middle, (a + b) / 2) == pytest.approx(rise) == bridge_rise(tube.path)
    axle = np.array([*frame.space.rear_axle, 0.0])
    assert math.dist(middle, axle) == pytest.approx(math.dist((a + b) / 2, axle) + rise)
    assert middle[2] == pytest.approx(0.0, abs=1e-9)
    (written,) = frame.fittings
    left, right = frame.space.pair(written.role)
    station = written.at - (36.0 if written.origin == "axle" else 0.0)
    assert a == pytest.approx(left.path.at(station).at) and b == pytest.approx(right.path.at(station).at)


@pytest.mark.parametrize("fitting", [SEAT, CHAIN])
def test_both_cuts_of_a_curved_bridge_are_alike_and_lie_in_its_straight_ends(fitting: str) -> None:
    frame = framed(fitting)
    cuts = [frame.space.cut_of(bridge(frame).name, k) for k in (0, 1)]
    assert cuts[0] is not None and cuts[1] is not None
    assert cuts[0].s == pytest.approx(cuts[1].s, abs=1e-9)
    for cut in cuts:
        assert cut.greatest.s < cut.end.clear
        assert cut.end.clear - cut.greatest.s < BEHIND_CUT + 1.0, "no longer than the cut asks for"


def test_a_bridge_without_a_radius_runs_straight_as_before() -> None:
    straight = bridge(framed(SEAT.replace(", radius: 60", "")))
    assert straight.path.straight
    assert straight.path.first.along == pytest.approx([0.0, 0.0, 1.0])


def test_a_very_large_radius_is_as_good_as_straight() -> None:
    near = lengths_of(framed(SEAT.replace("60", "2000")).space, "seat_stay_bridge")
    straight = lengths_of(framed(SEAT.replace(", radius: 60", "")).space, "seat_stay_bridge")
    assert near.centre_length == pytest.approx(straight.centre_length, abs=0.05)
    assert near.cut_length == pytest.approx(straight.cut_length, abs=0.2)


def test_a_curved_bridge_leaves_the_tyre_more_room_by_nearly_its_rise() -> None:
    """The least gap moves off the middle as the bridge bows away; a tyre's crown is round as well."""
    found = {}
    for at in (SEAT, SEAT.replace(", radius: 60", "")):
        frame = framed(at)
        (gap,) = (g for g in frame.clearances.gaps if g.tube == "seat_stay_bridge")
        found[at] = gap.value
    more = found[SEAT] - min(found.values())
    assert 0.0 < more <= bridge_rise(bridge(framed(SEAT)).path) + 0.06


def test_the_bend_of_a_curved_bridge_is_marked_at_its_middle() -> None:
    frame = framed(SEAT)
    (bend,) = (m for m in marks(frame) if m.kind == "bend")
    assert (bend.feature, bend.tube.name) == ("fittings.0", "seat_stay_bridge")
    found = lengths_of(frame.space, "seat_stay_bridge")
    assert bend.distance == pytest.approx(found.cut_length / 2)
    assert bend.s == pytest.approx(found.centre_length / 2)


def test_a_curved_bridge_has_a_line_to_lay_it_on_and_its_order_of_work_on_the_cutting_table() -> None:
    frame = framed(SEAT, CHAIN)
    drawn = draft_bends(frame)
    assert drawn is not None
    said = [e.text for e in drawn.entities if isinstance(e, Text)]
    assert "Seat stay bridge, bent: lay it on this line" in said
    assert "Chain stay bridge, bent: lay it on this line" in said
    path = frame.space.tubes["seat_stay_bridge"].path
    rise, across = bridge_rise(path), math.dist(path.first.at, path.last.at)
    assert f"{rise:.1f} mm high over {across:.1f} mm between the stays' axes" in said
    table = " ".join(
        e.text for p in cutting_panels("17", frame, {}) for e in p.drawing if isinstance(e, Text)
    )
    assert "Seat stay bridge: curved." in table and "then cut." in table


def test_a_bridge_in_the_cut_list_has_its_own_diameter() -> None:
    """Every bridge was listed, and ordered, as the default of 14."""
    (row,) = (r for r in cut_list(framed(CHAIN)) if r.tube == "chain_stay_bridge")
    assert row.size == "12"


def test_a_radius_too_small_for_the_way_across_names_the_least_that_does() -> None:
    fault = fault_of(SEAT.replace("60", "10"))
    assert (fault.key, fault.code) == ("fittings.0.radius", "range")
    least = float(fault.message.rsplit("at least ", 1)[1].split(" mm")[0])
    assert bridge(framed(SEAT.replace("60", str(least)))).path.pieces[1].curvature == 1 / least
    assert fault_of(SEAT.replace("60", str(least - 1.0))).key == "fittings.0.radius"


def test_a_curved_bridge_between_stays_too_near_each_other_is_refused() -> None:
    fault = fault_of("{kind: bridge, tube: seat_stay, at: 480, from: axle, radius: 60}")
    assert fault.key == "fittings.0.radius" and "overlap by" in fault.message


@pytest.mark.parametrize("kind", ["boss", "guide", "vent", "brake_mount"])
def test_only_a_bridge_has_a_radius(kind: str) -> None:
    fault = fault_of(f"{{kind: {kind}, tube: seat_stay, at: 300, from: axle, radius: 60}}")
    assert fault.message == f"is a {kind} with a radius; only a bridge is curved. Delete it."

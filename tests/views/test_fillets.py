"""Fillet-brazed and welded frames: fillets on the side view, and fittings clear of each joint's edge."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from layout.bench.fillets import FILLET_RADIUS, fillets
from layout.bench.joining import joint_notices
from layout.drafting.entities import Arc, Text
from layout.frame.solve import Frame, solve
from layout.pipeline.mitres import mitres
from layout.spec.load import loads
from layout.views.cutting import cutting_panels
from layout.views.side.ends import fillet_arcs
from layout.views.side.plan import plan

PLAIN = """\
joining: JOINING
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 170, seat_tube_length: 540, top_tube_at_head: PLACE, down_tube_at_head: 55}
fork: {axle_to_crown: 395, offset: 45}
tubes: {seat_tube: {diameter: 28.6}, top_tube: {diameter: 28.6, lug: 40}, down_tube: {diameter: 34.9},
  head_tube: {diameter: 36}}
"""
HALF = {"seat_tube": 14.3, "top_tube": 14.3, "down_tube": 17.45, "head_tube": 18.0}


def framed(joining: str, more: str = "", place: float = 45) -> Frame:
    return solve(loads(PLAIN.replace("JOINING", joining).replace("PLACE", str(place)) + more, "joined.yaml"))


def from_axis(frame: Frame, tube: str, at: np.ndarray) -> float:
    path = frame.space.tubes[tube].path.first
    off = at - path.at
    return float(np.linalg.norm(off - (off @ path.along) * path.along))


def test_each_fillet_touches_both_tubes() -> None:
    """By hand: the middle of its arc lies its radius outside both cylinders, a foot on each."""
    frame = framed("fillet")
    found = list(fillets(frame))
    pairs = {(f.tube.name, f.host.name) for f in found}
    assert pairs == {
        ("seat_tube", "bottom_bracket"), ("top_tube", "seat_tube"), ("top_tube", "head_tube"),
        ("down_tube", "seat_tube"), ("down_tube", "bottom_bracket"), ("down_tube", "head_tube"),
    }  # fmt: skip
    for each in found:
        assert each.radius == FILLET_RADIUS and each.end is None
        for name, foot in ((each.tube.name, each.on_tube), (each.host.name, each.on_host)):
            half = HALF.get(name, 20.0)
            assert from_axis(frame, name, each.centre) == pytest.approx(half + FILLET_RADIUS)
            assert from_axis(frame, name, foot) == pytest.approx(half)
            assert math.dist(each.centre, foot) == pytest.approx(FILLET_RADIUS)


def test_a_fillet_ends_at_the_head_tubes_end_and_that_is_said() -> None:
    """Top tube's axis 24 below the top: its upper edge is too near the end for a whole fillet."""
    frame = framed("fillet", place=24)
    (short,) = (f for f in fillets(frame) if f.end is not None)
    assert (short.tube.name, short.host.name, short.end) == ("top_tube", "head_tube", 1)
    head = frame.space.tubes["head_tube"].path
    assert float((short.on_host - head.last.at) @ head.last.along) == pytest.approx(0.0, abs=1e-9)
    assert from_axis(frame, "head_tube", short.centre) == pytest.approx(18.0 + short.radius)
    told = f"too near for a whole fillet at its top. Its radius there is {short.radius:.1f} mm at most"
    assert told in said(frame) and short.radius < FILLET_RADIUS


@pytest.mark.parametrize("joining", ["welded", "lugged"])
def test_other_frames_have_no_fillets(joining: str) -> None:
    assert list(fillets(framed(joining))) == []


@pytest.mark.parametrize(("heading", "way"), [("right", 1.0), ("left", -1.0)])
def test_fillets_are_drawn_as_arcs_of_their_radius_between_their_feet(heading: str, way: float) -> None:
    frame = framed("fillet", f"drawing: {{heading: {heading}}}\n")
    drawn = [e for e in fillet_arcs(plan(frame)) if isinstance(e, Arc)]
    for arc, each in zip(drawn, fillets(frame), strict=True):
        assert arc.centre == pytest.approx((way * each.centre[0], each.centre[1]))
        ends = {
            (round(arc.centre[0] + arc.radius * math.cos(math.radians(a)), 6),
             round(arc.centre[1] + arc.radius * math.sin(math.radians(a)), 6))
            for a in (arc.start_angle, arc.end_angle)
        }  # fmt: skip
        assert arc.end_angle > arc.start_angle
        assert ends == {(round(way * f[0], 6), round(f[1], 6)) for f in (each.on_tube, each.on_host)}
        assert (arc.end_angle - arc.start_angle) % 360.0 < 180.0


def said(frame: Frame) -> str:
    panels = cutting_panels("17", frame, {})
    return " ".join(e.text for p in panels for e in p.drawing if isinstance(e, Text))


@pytest.mark.parametrize(("joining", "words"), [
    ("fillet", "Fillet brazed (common practice)"), ("welded", "Welded (common practice)"),
])  # fmt: skip
def test_the_cutting_table_says_what_the_joining_needs(joining: str, words: str) -> None:
    assert words in said(framed(joining))


GUIDE = "fittings: [{kind: guide, tube: top_tube, at: AT, from: head, side: down}]\n"


@pytest.mark.parametrize(("joining", "least"), [("welded", 10.0), ("fillet", 15.0)])
def test_a_fitting_in_a_joints_edge_is_told_and_one_clear_of_it_is_not(joining: str, least: float) -> None:
    """Under the top tube the joint lies 18 / sin + 14.3 / tan of the angle from the head tube's axis."""
    frame = framed(joining)
    cut = frame.space.cut_of("top_tube", 1)
    assert cut is not None
    t = math.radians(cut.angle)
    line = float(cut.at(np.array([180.0]))[0][0])
    assert line == pytest.approx(18.0 / math.sin(t) + 14.3 / math.tan(t)) or line == pytest.approx(
        18.0 / math.sin(t) - 14.3 / math.tan(t)
    )
    for off, count in ((least - 0.5, 1), (least + 0.5, 0)):
        found = list(joint_notices(framed(joining, GUIDE.replace("AT", f"{line + off:.3f}"))))
        assert len(found) == count
        for notice in found:
            assert f"is {off:.1f} mm from the joint of the top tube and the head tube" in notice.message
            assert f"At least {least:.1f} mm needed for a {joining} joint" in notice.message


def test_a_fitting_under_a_lug_is_told(tmp_path: Path) -> None:
    text = PLAIN.replace("JOINING", "lugged").replace("PLACE", "45") + GUIDE.replace("AT", "50")
    spec = loads(text, "lugged.yaml")
    (warned,) = (w for w in mitres(spec, tmp_path, formats=["csv"]).warnings if w.code == "fitting_at_joint")
    assert "The lug covers 40.0 mm there" in warned.message
    assert list(joint_notices(framed("lugged", GUIDE.replace("AT", "90")))) == []

"""Templates: wrapped back on their tubes they lie on both tubes; every strip is whole, marked and clear."""

from __future__ import annotations

import math
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import SPECS, every_cut, placed
from wrapping import wrapped as on_tube

from layout.drafting.dimensions import explode
from layout.drafting.entities import ControlPoint, LengthDimension, Line, Polyline, Text
from layout.drafting.lettering import text_box
from layout.drafting.style import Layer
from layout.geometry.space.develop import PAPER
from layout.geometry.space.mitre import Cut
from layout.views.templates.strips import ABOVE, DIMENSION_ROOM, Strip, strips

STEP = 1e-4
WRAPPED = 0.02
"""A wrapped template lies on both tubes within this, mm."""


@cache
def all_strips() -> dict[str, Strip]:
    return {
        f"{name}-{s.panel.name}": s for name in SPECS for s in strips(placed(name).space, "17 Test frame")
    }


NAMES = list(every_cut())


def cut_lines(strip: Strip) -> list[np.ndarray]:
    """The drawn cut lines, with points between their corners, as paper bends through its straight pieces."""
    found = []
    for e in strip.panel.drawing:
        if isinstance(e, Polyline) and e.layer is Layer.OUTLINE:
            p = np.array(e.points)
            found.append(np.concatenate([p, (p[1:] + p[:-1]) / 2, 0.25 * p[1:] + 0.75 * p[:-1]]))
    return found


def wrapped(strip: Strip, paper: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Phi (degrees) and station of a strip's points once it is wrapped, its phase line on the tube's."""
    cut = strip.cut
    centre = strip.panel.drawing.points()[f"{cut.tube}_{cut.end_name}_centre"]
    return on_tube(cut, paper - np.array(centre))


def off_hosts(cut: Cut, points: np.ndarray) -> np.ndarray:
    """Distance of points from the nearest host's skin, mm, to first order."""
    found = []
    for host in cut.hosts:
        measure = host.tube.outside(points)
        step = 1e-4
        slope = np.sqrt(
            sum(
                ((host.tube.outside(points + step * a) - host.tube.outside(points - step * a)) / (2 * step))
                ** 2
                for a in np.eye(3)
            )
        )
        found.append(np.abs(measure) / slope)
    return np.min(found, axis=0)


@pytest.mark.parametrize("name", NAMES)
def test_a_wrapped_template_lies_on_both_tubes(name: str):
    strip = all_strips()[name]
    lines = cut_lines(strip)
    assert lines
    for paper in lines:
        phi, station = wrapped(strip, paper)
        s = strip.cut.end.inward * (station - strip.cut.origin)
        points = strip.cut.points(phi, s)
        jumps = jumping(strip.cut, phi)
        assert off_hosts(strip.cut, points)[~jumps].max() < WRAPPED


def jumping(cut: Cut, phi: np.ndarray) -> np.ndarray:
    """Where the curve steps from one tube to another and the cut runs along the branch between them."""
    beside = [cut.at(phi + d)[0] for d in (-0.01, 0.01)]
    return np.abs(beside[0] - beside[1]) > 0.5


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_curve_is_on_the_strip(name: str):
    """Every generator that hits is cut: once round, and on into the overlap."""
    strip = all_strips()[name]
    phis = np.concatenate([wrapped(strip, p)[0] for p in cut_lines(strip)])
    hit = strip.cut.phi[~strip.cut.missed]
    found = np.zeros(360, dtype=bool)
    found[np.floor(phis % 360.0).astype(int)] = True
    assert found[hit.astype(int)].mean() > 0.97
    if not strip.cut.partial:
        turn = phis.max() - phis.min()
        assert 360.0 + 15.0 < turn < 360.0 + 90.0


@pytest.mark.parametrize("name", NAMES)
def test_words_keep_off_each_other_off_the_cut_and_on_the_panel(name: str):
    strip = all_strips()[name]
    panel = strip.panel
    room = Polygon([(0.0, 0.0), (panel.width, 0.0), (panel.width, panel.height), (0.0, panel.height)])
    boxes = [
        (t.text, Polygon(text_box(t)))
        for e in panel.drawing
        for t in explode(e)
        if isinstance(t, Text) and t.text.strip()
    ]
    lines = [
        LineString(e.points) for e in panel.drawing if isinstance(e, Polyline) and e.layer is Layer.OUTLINE
    ]
    for k, (words, box) in enumerate(boxes):
        assert room.contains(box), words
        assert not any(line.intersects(box) for line in lines), words
        assert not any(other.buffer(-0.05).intersects(box) for _, other in boxes[k + 1 :]), words


@pytest.mark.parametrize("name", NAMES)
def test_the_written_checks_are_what_is_drawn(name: str):
    strip = all_strips()[name]
    found = {e.name: e.value for e in strip.panel.drawing if isinstance(e, LengthDimension)}
    assert found["edge"] == pytest.approx(strip.edge / math.cos(math.atan(strip.laid.taper)), abs=0.02)
    there = strip.cut.end.tube.diameter_at(strip.cut.origin + strip.cut.end.inward * strip.edge)
    if there[0] == pytest.approx(there[1]):
        assert found["girth"] == pytest.approx(math.pi * (there[0] + PAPER), abs=0.03)
    said = " ".join(e.text for e in strip.panel.drawing if isinstance(e, Text))
    least = strip.cut.least.s
    assert f"this edge {strip.edge - least:.1f} from the long point" in said
    assert f"{strip.edge:.1f} from the joint's centre" in said


def test_once_round_a_round_tube_is_its_girth_and_the_papers():
    strip = all_strips()["plain-top_tube-head"]
    girth = next(e for e in strip.panel.drawing if isinstance(e, LengthDimension) and e.name == "girth")
    assert girth.value == pytest.approx(math.pi * (28.6 + PAPER))


def test_both_strips_of_a_tube_share_the_phase_line_and_say_how_far_they_lie_apart():
    seat, head = (all_strips()[f"plain-top_tube-{end}"] for end in ("seat", "head"))
    between = placed("plain").space.tubes["top_tube"].length - seat.edge - head.edge
    for strip in (seat, head):
        said = " ".join(e.text for e in strip.panel.drawing if isinstance(e, Text))
        assert f"{between:.1f} to the other strip's edge" in said
        x, _ = strip.panel.drawing.points()[f"top_tube_{strip.cut.end_name}_centre"]
        upright = [e for e in strip.panel.drawing if isinstance(e, Line) and e.layer is Layer.CENTRE]
        assert [(e.start[0], e.end[0]) for e in upright] == [pytest.approx((x, x))]


def test_seen_from_outside_phi_runs_left_at_a_first_end_and_right_at_a_second():
    """Looking at a top tube's seat end from above, joint away from you, the drive side is on your left."""
    for end, sides in (("seat", ["right", "up", "left", "down"]), ("head", ["left", "up", "right", "down"])):
        strip = all_strips()[f"plain-top_tube-{end}"]
        named = [
            e
            for e in strip.panel.drawing
            if isinstance(e, Text) and e.text in sides and e.at[1] < DIMENSION_ROOM + 5
        ]
        assert [e.text for e in sorted(named, key=lambda e: e.at[0])] == sides


def test_sides_in_the_workshops_words():
    tubes = placed("plain").space.tubes
    sides = [tubes["chain_stay_right"].quarter(p) for p in (0, 90, 180, 270)]
    assert sides == ["up", "inner", "down", "outer"]
    assert [tubes["chain_stay_left"].quarter(p) for p in (0, 90)] == ["up", "outer"]
    assert [tubes["seat_tube"].quarter(p) for p in (0, 180)] == ["front", "back"]
    assert tubes["seat_tube"].quarter(90.0) == "left"


@pytest.mark.parametrize("name", NAMES)
def test_the_strip_reaches_from_edge_to_above_the_centre(name: str):
    strip = all_strips()[name]
    outline = next(e for e in strip.panel.drawing if isinstance(e, Polyline) and e.closed)
    tall = max(y for _, y in outline.points) - min(y for _, y in outline.points)
    assert tall >= strip.edge + ABOVE - min(strip.cut.least.s, 0.0) - 0.5
    points = [e for e in strip.panel.drawing if isinstance(e, ControlPoint)]
    assert len(points) == 1


def test_the_wrap_measure_finds_a_template_that_is_off():
    """A strip made for paper twice as thick, or shifted by 0.1, is found out."""
    strip = all_strips()["plain-down_tube-head"]
    paper = max(cut_lines(strip), key=len)
    for spoiled in (paper * np.array([1.004, 1.0]), paper + np.array([0.0, 0.1])):
        phi, station = wrapped(strip, spoiled)
        s = strip.cut.end.inward * (station - strip.cut.origin)
        assert off_hosts(strip.cut, strip.cut.points(phi, s)).max() > WRAPPED

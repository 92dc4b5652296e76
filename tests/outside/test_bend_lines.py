"""The full-size line of a bent stay, read back from the DXF by its group codes, against its bends."""

from __future__ import annotations

import cmath
import math
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from file_readers import read_dxf

from layout.drafting.entities import Text
from layout.frame.solve import solve
from layout.pipeline.mitres import mitres
from layout.spec.load import loads
from layout.views.rear.bends import draft_bends

PLAIN = """\
geometry: {bb_drop: 70, rear_centre: 435, front_centre: 610, head_angle: 72, seat_angle: 73,
  head_tube_length: 150, seat_tube_length: 540}
fork: {axle_to_crown: 395, offset: 45}
rear_end: {dropout: {chain_stay: {from_axle: 31, off: 6}, seat_stay: {from_axle: 36, off: 9}}}
drawing: {heading: HEADING}
tubes:
  chain_stay: {diameter: 19, diameter_end: 19, bends: [CHAIN]}
  seat_stay: {diameter: 14, diameter_end: 14, bends: [SEAT]}
"""
ONE = "{at: 120, angle: 7, plane: 90, radius: 140}"
TWO = "{at: 110, angle: 9, plane: 270, radius: 120}, {at: 250, angle: 8, plane: 90, radius: 160}"
ACROSS = "{at: 110, angle: 9, plane: 270, radius: 120}, {at: 250, angle: 8, plane: 40, radius: 160}"
WITHIN = 0.01


def spec(heading: str, chain: str, seat: str) -> str:
    return PLAIN.replace("HEADING", heading).replace("CHAIN", chain).replace("SEAT", seat)


def polylines(path: Path) -> list[list[complex]]:
    """Every open polyline on layer CENTRE, as complex numbers, from the file's group codes."""
    rows = path.read_text("utf-8").split("\n")
    tags = [(int(c), v.strip()) for c, v in zip(rows[0:-1:2], rows[1::2], strict=False)]
    starts = [i for i, tag in enumerate(tags) if tag[0] == 0]
    found = []
    for a, b in pairwise([*starts, len(tags)]):
        record = tags[a:b]
        if record[0][1] in ("LWPOLYLINE", "POLYLINE") and (8, "CENTRE") in record:
            xs, ys = ([float(v) for c, v in record if c == code] for code in (10, 20))
            found.append([complex(x, y) for x, y in zip(xs, ys, strict=True)])
    return found


def bent(bends: list[tuple[float, float, float, float]], length: float) -> np.ndarray:
    """Points of a flat axis every 0.05 mm, its bends (middle, degrees, sign, radius): directions summed."""
    count = round(length / 0.05)
    middles = (np.arange(count) + 0.5) * (length / count)
    turn = np.zeros(count)
    for at, angle, sign, radius in bends:
        half = math.radians(angle) * radius / 2
        turn += sign * np.clip(middles - (at - half), 0.0, 2 * half) / radius
    return np.concatenate([[0.0], np.cumsum(np.exp(1j * turn)) * (length / count)])


def off_line(points: np.ndarray, line: list[complex]) -> float:
    """How far the furthest of the points lies from a polyline."""
    a, b = np.array(line[:-1]), np.array(line[1:])
    off = points[:, None] - a
    part = np.clip((off * np.conj(b - a)).real / np.abs(b - a) ** 2, 0.0, 1.0)
    return float(np.abs(off - part * (b - a)).min(axis=1).max())


@pytest.mark.parametrize("heading", ["right", "left"])
@pytest.mark.parametrize(("chain", "bends"), [
    (ONE, [(120.0, 7.0, 1.0, 140.0)]),
    (TWO, [(110.0, 9.0, -1.0, 120.0), (250.0, 8.0, 1.0, 160.0)]),
])  # fmt: skip
def test_the_bent_stays_line_in_the_dxf_is_its_axis(
    tmp_path: Path, heading: str, chain: str, bends: list[tuple[float, float, float, float]]
) -> None:
    text = spec(heading, chain, "{at: 280, angle: 8, plane: 90, radius: 150}")
    made = mitres(loads(text, "bent.yaml"), tmp_path, formats=["dxf"])
    (path,) = (Path(f.path) for f in made.files if f.path.endswith("rear.dxf"))
    points = {n: complex(*p) for n, p in read_dxf(path).points.items()}
    frame = solve(loads(text, "bent.yaml"))
    lines = polylines(path)
    cases = (("chain_stay", "bb", "axle", bends), ("seat_stay", "axle", "top", [(280.0, 8.0, 1.0, 150.0)]))
    for stay, first, second, written in cases:
        a, b = (points[f"bends_{stay}_right_{end}"] for end in (first, second))
        length = frame.space.tubes[f"{stay}_right"].length
        axis = bent(written, length)
        assert abs(axis[-1]) == pytest.approx(abs(b - a), abs=WITHIN)
        ways = []
        for shape in (axis, np.conj(axis)):
            laid = a + shape * cmath.exp(1j * (cmath.phase(b - a) - cmath.phase(shape[-1])))
            near = [line for line in lines if off_line(np.array([a, b]), line) < WITHIN]
            ways += [off_line(laid[::20], line) for line in near]
        assert min(ways) < WITHIN


def test_a_stay_bent_out_of_one_plane_has_two_lines_and_a_straight_one_none() -> None:
    frame = solve(loads(spec("right", ACROSS, "{at: 280, angle: 8, plane: 90, radius: 150}"), "bent.yaml"))
    drawn = draft_bends(frame)
    assert drawn is not None
    said = [e.text for e in drawn.entities if isinstance(e, Text)]
    assert "Chain stays, the same seen square to it" in said
    assert "Seat stays, the same seen square to it" not in said
    straight = solve(loads(PLAIN.split("drawing")[0], "straight.yaml"))
    assert draft_bends(straight) is None


def test_a_bends_beginning_middle_and_end_stand_at_its_line() -> None:
    """By hand: an arc of 8 degrees at radius 150 is 20.94 long; the seat stay's end is square."""
    frame = solve(loads(spec("right", ONE, "{at: 280, angle: 8, plane: 90, radius: 150}"), "bent.yaml"))
    drawn = draft_bends(frame)
    assert drawn is not None
    said = " ".join(e.text for e in drawn.entities if isinstance(e, Text))
    assert "begins 269.5, middle 280.0, ends 290.5" in said


@pytest.mark.parametrize("heading", ["right", "left"])
def test_a_curved_bridges_line_in_the_dxf_is_two_tangents_and_an_arc_of_its_radius(
    tmp_path: Path, heading: str
) -> None:
    """The line's middle lies on one circle of the written radius; its ends run straight to both points."""
    text = spec(heading, ONE, "{at: 280, angle: 8, plane: 90, radius: 150}")
    text += "fittings: [{kind: bridge, tube: seat_stay, at: 372, from: axle, radius: 60}]\n"
    made = mitres(loads(text, "bridge.yaml"), tmp_path, formats=["dxf"])
    (path,) = (Path(f.path) for f in made.files if f.path.endswith("rear.dxf"))
    points = {n: complex(*p) for n, p in read_dxf(path).points.items()}
    a, b = (points[f"bends_seat_stay_bridge_{end}"] for end in ("left", "right"))
    (line,) = (p for p in polylines(path) if off_line(np.array([a, b]), p) < WITHIN)
    way = (b - a) / abs(b - a)
    high = max((((p - a) * way.conjugate()).imag for p in line), key=abs)
    centre = (a + b) / 2 + 1j * way * (high - math.copysign(60.0, high))
    on_arc = [p for p in line if abs(abs(p - centre) - 60.0) < WITHIN]
    assert len(on_arc) > 8
    for at, end, nearest in ((a, line[0], on_arc[0]), (b, line[-1], on_arc[-1])):
        assert abs(((nearest - at) * (end - at).conjugate()).imag) / abs(end - at) < WITHIN, "straight"
        assert abs(((nearest - at) * (nearest - centre).conjugate()).real) / 60.0 < WITHIN, "a tangent"

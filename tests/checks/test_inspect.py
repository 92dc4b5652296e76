"""Inspecting a frame: what is reached, what is held, the verdict, suspects, faults and the JSON."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layout.checks.alignment import align
from layout.checks.built import FLOATING, Judged
from layout.checks.inspect import FrameVerdict, Inspection, inspect, verdict
from layout.errors import SolveError, SpecError
from layout.frame.solve import Frame, solve
from layout.geometry.diagnosis.slips import digits_swapped
from layout.geometry.plane import FRAME_PARAMETERS
from layout.geometry.solver import Agreement, solve_frame
from layout.spec.load import load
from layout.spec.model import Tolerance
from layout.spec.readings import Reading, ReadingKind, loads_readings

SPECS = Path(__file__).parents[2] / "specs"


@pytest.fixture(scope="module")
def frame() -> Frame:
    return solve(load(SPECS / "all-road.yaml"))


def look(frame: Frame, rows: str, spacing: float | None = 142.0) -> Inspection:
    text = "readings:\n" + "".join(f"- {{{row}}}\n" for row in rows.split("; ") if row)
    return inspect(frame, Tolerance(), loads_readings(text, "r.yaml"), spacing)


def taped(frame: Frame, *pairs: tuple[str, str], off: float = 0.0) -> str:
    """Rows that read what the design has, to a micrometre, the first one off by `off`."""
    rows = []
    for start, end in pairs:
        true = math.dist(frame.plane.points[start], frame.plane.points[end])
        rows.append(f"from: {start}, to: {end}, measured: {true + off:.6f}")
        off = 0.0
    return "; ".join(rows)


def test_wheels_fork_and_headset_are_held_and_all_else_of_the_frame_floats() -> None:
    held = set(FRAME_PARAMETERS) - set(FLOATING)
    assert held == {
        "rear_radius", "front_radius", "fork_offset", "fork_length_on_axis", "lower_stack", "upper_stack",
    }  # fmt: skip


def test_one_angle_reaches_what_follows_from_it_and_nothing_else(frame: Frame) -> None:
    """Trail at a fork and a wheel that are held: (R cos H - offset) / sin H, its deviation by hand."""
    found = look(frame, "dimension: head_angle, measured: 71.0")
    reached = {n for n, j in found.dimensions.items() if j.estimate is not None}
    assert reached == {"head_angle", "trail", "mechanical_trail", "wheel_flop"}
    h = math.radians(71.0)
    trail = found.dimensions["trail"]
    assert trail.estimate == pytest.approx((351.0 * math.cos(h) - 47.0) / math.sin(h), abs=1e-9)
    slope = (47.0 * math.cos(h) - 351.0) / math.sin(h) ** 2
    assert trail.uncertainty == pytest.approx(abs(slope) * math.radians(0.15), rel=1e-6)
    assert found.dimensions["front_radius"].estimate is None


def test_a_tape_between_the_axles_gives_the_wheelbase_of_equal_wheels(frame: Frame) -> None:
    found = look(frame, "from: rear_axle, to: front_axle, measured: 1033.2, uncertainty: 0.3")
    wheelbase = found.dimensions["wheelbase"]
    assert wheelbase.estimate == pytest.approx(1033.2, abs=1e-9)
    assert wheelbase.uncertainty == pytest.approx(0.3, abs=1e-9)
    assert found.dimensions["front_centre"].estimate is None


def test_two_readings_of_one_length_are_weighed(frame: Frame) -> None:
    """Weights 4 and 1: (4 * 430 + 1 * 431) / 5, deviation 1 / sqrt(5)."""
    found = look(
        frame,
        "dimension: rear_centre, measured: 430.0, uncertainty: 0.5; "
        "dimension: rear_centre, measured: 431.0, uncertainty: 1.0",
    )
    rear = found.dimensions["rear_centre"]
    assert rear.estimate == pytest.approx(430.2, abs=1e-9)
    assert rear.uncertainty == pytest.approx(1 / math.sqrt(5), abs=1e-9)


READ = (
    "bb_drop", "rear_centre", "front_centre", "wheelbase", "head_angle", "seat_angle", "stack", "reach",
    "head_tube_length", "top_tube_effective", "seat_tube_length", "down_tube_length", "down_tube_at_head",
)  # fmt: skip


@pytest.mark.parametrize(("name", "slip"), [("stack", 20.0), ("head_angle", 2.0), ("reach", 20.0)])
def test_the_same_misreading_is_found_in_a_spec_and_in_readings(frame: Frame, name: str, slip: float) -> None:
    design = frame.plane.dimensions
    read = {n: round(design[n] or 0.0, 4) for n in READ}
    read[name] += slip
    found = look(frame, "; ".join(f"dimension: {n}, measured: {v}" for n, v in read.items()))
    assert [s.reading.names for s in found.suspects] == [(name,)]
    held = {n: design[n] for n in ("fork_offset", "axle_to_crown", "lower_stack")}
    wheels = {n: design[n] for n in ("rear_radius", "front_radius")}
    with pytest.raises(SolveError) as caught:
        solve_frame({**read, **held, **wheels}, agreement=Agreement(own=dict.fromkeys((*held, *wheels), 0.0)))
    first = caught.value.faults[0].conflict[0]
    assert first.name == name
    assert first.needs == pytest.approx(found.suspects[0].expected, abs=0.05)


def test_suspects_that_a_slip_of_the_pen_explains_come_first(frame: Frame) -> None:
    """Two readings of one length that differ: the one with two digits swapped is the likelier."""
    design = frame.plane.dimensions["stack"] or 0.0
    swapped = next(digits_swapped(round(design)))
    rows = f"dimension: stack, measured: {swapped}; dimension: stack, measured: {round(design)}"
    found = look(frame, rows + f"; dimension: stack, measured: {round(design)}")
    assert found.suspects[0].reading.measured == swapped


def test_two_that_contradict_each_other_are_both_suspects(frame: Frame) -> None:
    found = look(
        frame,
        "dimension: head_angle, measured: 71.5; dimension: rear_centre, measured: 430; "
        "from: bb, to: rear_axle, measured: 445",
    )
    assert [s.reading.names for s in found.suspects] == [("rear_centre",), ("bb", "rear_axle")]
    assert [s.expected for s in found.suspects] == [None, None]
    assert found.wrong == 1
    assert found.dimensions["rear_centre"].estimate is None
    assert found.dimensions["head_angle"].estimate == 71.5


def test_a_slip_of_a_digit_does_not_carry_the_fit_away(frame: Frame) -> None:
    """4612 for 612, among readings that cover it."""
    rows = taped(
        frame, ("bb", "front_axle"), ("rear_axle", "front_axle"), ("bb", "rear_axle"),
        ("bb", "head_tube_top"), ("rear_axle", "head_tube_top"), ("head_tube_top", "front_axle"),
        ("head_tube_bottom", "front_axle"), off=4000.0,
    )  # fmt: skip
    rows += "; dimension: bb_drop, measured: 72; dimension: head_tube_length, measured: 155"
    found = look(frame, rows)
    assert [s.reading.names for s in found.suspects] == [("bb", "front_axle")]
    assert found.suspects[0].expected == pytest.approx(612.0, abs=0.01)
    assert found.dimensions["front_centre"].estimate == pytest.approx(612.0, abs=0.01)


def test_a_reading_of_what_is_held_takes_no_part_and_is_said(frame: Frame) -> None:
    found = look(frame, "dimension: fork_offset, measured: 50; dimension: head_angle, measured: 71.5")
    assert [n.code for n in found.notices] == ["held_reading"]
    assert "fork_offset" in found.notices[0].message
    assert found.dimensions["fork_offset"].estimate is None
    assert found.dimensions["trail"].estimate == pytest.approx(frame.plane.dimensions["trail"], abs=1e-6)


def test_an_offset_floats_only_where_it_is_read(frame: Frame) -> None:
    rows = "dimension: seat_angle, measured: 73; dimension: seat_tube_length, measured: 540"
    held, read = look(frame, rows), look(frame, f"{rows}; dimension: seat_tube_offset, measured: 2.5")
    assert held.dimensions["seat_tube_offset"].estimate is None
    assert read.dimensions["seat_tube_offset"].estimate == pytest.approx(2.5, abs=1e-9)


@pytest.mark.parametrize(
    ("deviation", "uncertainty", "expected"),
    [(0.0, 0.5, "pass"), (0.99, 0.5, "pass"), (1.0, 5.0, "pass"), (1.5, 0.5, "undetermined"),
     (1.97, 0.5, "undetermined"), (1.99, 0.5, "fail"), (-1.99, 0.5, "fail")],
)  # fmt: skip
def test_the_verdict_of_one_dimension(deviation: float, uncertainty: float, expected: str) -> None:
    """Tolerance 1: out by more than the 95 % half-width, 0.98, is a fail; in between cannot be told."""
    judged = Judged("rear_centre", "mm", 430.0, 430.0 + deviation, uncertainty, 1.0)
    assert verdict([judged]).value == expected
    assert judged.within == (abs(deviation) <= 1.0)


def test_one_failure_decides_and_nothing_reached_decides_nothing() -> None:
    good = Judged("bb_drop", "mm", 72.0, 72.0, 0.5, 1.0)
    bad = Judged("rear_centre", "mm", 430.0, 433.0, 0.5, 1.0)
    unknown = Judged("stack", "mm", 588.0, None, None, 1.0)
    assert verdict([good, bad, unknown]) is FrameVerdict.FAIL
    assert verdict([good, unknown]) is FrameVerdict.PASS
    assert verdict([unknown]) is FrameVerdict.UNDETERMINED


def test_an_empty_form_is_undetermined(frame: Frame) -> None:
    found = inspect(frame, Tolerance(), loads_readings("readings:\n- {dimension: head_angle, measured: }"))
    assert found.verdict is FrameVerdict.UNDETERMINED
    assert all(j.estimate is None for j in found.dimensions.values())


def test_alignment_is_judged_beside_the_plane(frame: Frame) -> None:
    found = look(
        frame,
        "alignment: head_twist, measured: 0.5, uncertainty: 0.05; alignment: wheel_centring, measured: -0.4; "
        "alignment: dropout_spacing, measured: 142.6; height: head_tube_top, measured: 0.3",
    )
    d = found.dimensions
    assert (d["head_twist"].design, d["head_twist"].tolerance, d["head_twist"].unit) == (0.0, 0.2, "deg")
    assert d["dropout_spacing"].deviation == pytest.approx(0.6)
    assert d["height_head_tube_top"].estimate == 0.3
    assert d["wheel_centring"].uncertainty == 0.5
    assert found.verdict is FrameVerdict.FAIL


def test_spacing_is_not_judged_where_the_spec_has_none(frame: Frame) -> None:
    found = look(frame, "alignment: dropout_spacing, measured: 142.6", spacing=None)
    assert found.dimensions["dropout_spacing"].within is None
    assert [n.code for n in found.notices] == ["no_spacing"]


def test_the_twist_follows_from_heights_of_both_tubes() -> None:
    """1.5 over 150 is 0.573 degrees; the seat tube leans 1.0 over 500, 0.115 degrees, the same way."""
    heights = {"head_tube_bottom": 0.0, "head_tube_top": 1.5, "bb": 0.0, "seat_tube_top": 1.0}
    rows = [Reading(ReadingKind.HEIGHT, (name,), value, None, name) for name, value in heights.items()]
    found = align(rows, [0.1] * 4, {"head_tube_length": 150.0, "seat_tube_length": 500.0})
    twist = next(a for a in found if a.name == "head_twist")
    assert twist.estimate == pytest.approx(0.5729 - 0.1146, abs=1e-4)
    lean = math.degrees(0.1 * math.sqrt(2) / 150.0)
    assert twist.uncertainty == pytest.approx(math.hypot(lean, lean * 0.3), rel=1e-3)


def test_moves_say_where_a_point_is_off(frame: Frame) -> None:
    """The rear axle 2 mm further back along the level: drop kept, rear centre longer."""
    level = frame.plane.dimensions["rear_centre_horizontal"] or 0.0
    longer = math.hypot(level + 2, 72)
    found = look(frame, f"dimension: bb_drop, measured: 72; dimension: rear_centre, measured: {longer:.6f}")
    (move,) = found.moves
    assert move.point == "rear_axle"
    assert (move.ahead, move.up) == pytest.approx((-2.0, 0.0), abs=1e-5)


def test_rows_that_no_frame_has_are_refused_here_too(frame: Frame) -> None:
    with pytest.raises(SpecError, match="Did you mean head_angle"):
        look(frame, "dimension: head_angel, measured: 71")


def test_readings_that_no_frame_can_have_tell_nothing_and_say_so() -> None:
    """A down tube 500 mm into the tyre: the search ended where the gap has no derivative, in a traceback."""
    track = solve(load(SPECS / "track.yaml"))
    found = look(track, "dimension: down_tube_to_tyre, measured: -500; alignment: head_twist, measured: 0.1")
    assert [n.code for n in found.notices] == ["no_fit"]
    assert "is far off" in found.notices[0].message
    reached = {n: j.estimate for n, j in found.dimensions.items() if j.estimate is not None}
    assert reached == {"head_twist": 0.1}
    assert (found.suspects, found.moves) == ((), ())

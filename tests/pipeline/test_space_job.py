"""From a spec into space: faults are laid at the tube that has them, what is assumed is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.errors import Fault, LayoutError, Notice
from layout.frame.solve import Frame, solve
from layout.pipeline.mitres import mitres
from layout.pipeline.plates import plates
from layout.pipeline.setup import set_up
from layout.spec.load import load, loads

SPECS = Path(__file__).parents[2] / "specs"
EIGHT = """\
geometry:
  {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73, head_tube_length: 150}
fork: {axle_to_crown: 395, offset: 45}
"""
SOUND = "{at: 200, angle: 5, plane: 90, radius: 100}"


def placed(text: str) -> Frame:
    spec = loads(EIGHT + text, "frame.yaml")
    frame = solve(spec)
    assert frame.space
    return frame


def fault_of(text: str) -> Fault:
    with pytest.raises(LayoutError) as caught:
        placed(text)
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize(("wrong", "line"), [("chain_stay", 5), ("seat_stay", 6)])
def test_the_stay_whose_bends_do_not_fit_is_the_one_that_is_blamed(wrong: str, line: int) -> None:
    """With bends on both stays the chain stay was blamed for the seat stay's."""
    bends = {"chain_stay": SOUND, "seat_stay": SOUND, wrong: "{at: 0, angle: 5}"}
    fault = fault_of("tubes:\n" + "".join(f"  {name}: {{bends: [{b}]}}\n" for name, b in bends.items()))
    assert (fault.file, fault.line, fault.key) == ("frame.yaml", line, f"tubes.{wrong}.bends")
    assert fault.code == "range"
    assert "begins before the tube's first end, at 0.0 mm" in fault.message
    assert "Move the bend" in fault.message
    assert "100000" not in fault.message


def test_no_other_slip_is_told_to_move_a_bend() -> None:
    fault = fault_of("tubes:\n  down_tube: {diameter_end: 30, taper: [300, 100]}\n")
    assert (fault.key, fault.line) == ("tubes.down_tube.taper", 5)
    assert "bend" not in fault.message


def test_a_short_steep_head_tube_is_placed() -> None:
    """Its cone, continued for the mitres, came to a point within reach, and its bends were blamed."""
    text = EIGHT.replace("head_tube_length: 150", "head_tube_length: 62")
    spec = loads(f"{text}tubes: {{head_tube: {{diameter_top: 24, diameter_bottom: 80}}}}\n")
    head = solve(spec).space.tubes["head_tube"]
    assert head.diameter_at(0.0)[0] == pytest.approx(80.0)
    assert head.diameter_at(62.0)[0] == pytest.approx(24.0)


def test_a_bridge_where_the_stays_have_met_is_refused_at_its_own_line() -> None:
    text = "rear_end: {stay_spacing_at_shell: 20}\nfittings:\n  - {kind: boss, tube: seat_tube, at: 100}\n"
    fault = fault_of(f"{text}  - {{kind: bridge, tube: chain_stay, at: 0, from: bb}}\n")
    assert (fault.key, fault.line) == ("fittings.1.at", 7)
    assert "20.0 mm apart" in fault.message and "bend" not in fault.message


def test_every_size_that_had_to_be_assumed_is_named_by_every_job_that_uses_it(tmp_path: Path) -> None:
    """Only mitres said so, and of the tubes' own sizes not even mitres did."""
    spec = loads(EIGHT, "frame.yaml")
    jobs: dict[str, tuple[Notice, ...]] = {
        "mitres": mitres(spec, tmp_path, formats=["csv"]).warnings,
        "setup": set_up(solve(spec), "frame", tmp_path).warnings,
        "plates": plates(spec, "frame", tmp_path).warnings,
    }
    for job, warnings in jobs.items():
        (said,) = [w.message for w in warnings if w.code == "assumed"]
        for key in (
            "tubes.seat_tube.diameter 28.6", "tubes.chain_stay.diameter 22.2",
            "tubes.seat_stay.diameter_end 12",
            "bottom_bracket.width 68", "rear_end.spacing 135", "rear_end.dropout.thickness 6",
            "rear_end.seat_stay_mount back", "drivetrain.chainline 47.5", "rider.crank_length 172.5",
        ):  # fmt: skip
            assert key in said, job
        assert "geometry." not in said and "wheels" not in said


def test_nothing_is_said_to_be_assumed_where_the_spec_gives_it_all() -> None:
    spec = load(SPECS / "all-road.yaml")
    assert solve(spec).placed.notices() == ()


def test_the_notice_can_be_kept_to_what_a_drawing_shows() -> None:
    (said,) = placed("").placed.notices("rear_end")
    assert "rear_end.dropout.inset 25" in said.message
    assert "drivetrain" not in said.message and "tubes" not in said.message


def test_stays_of_a_turned_oval_are_spaced_by_how_wide_they_lie() -> None:
    """The default took an oval's width as it is before it is turned: shell 68, stay 16 x 30 on its side."""
    assert placed("tubes: {chain_stay: {section: [16, 30]}}").space.rear.stay_spacing == pytest.approx(46.0)
    flat = placed("tubes: {chain_stay: {section: [16, 30], turned: true}}").space.rear
    assert flat.stay_spacing == pytest.approx(68.0 - 30.0 - 6.0)

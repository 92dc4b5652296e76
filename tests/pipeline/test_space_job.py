"""From a spec into space: faults are laid at the tube that has them, what is assumed is named."""

from __future__ import annotations

import pytest

from layout.errors import Fault, LayoutError
from layout.frame import solve
from layout.pipeline.space import InSpace, in_space
from layout.spec.load import loads

EIGHT = """\
geometry:
  {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73, head_tube_length: 150}
fork: {axle_to_crown: 395, offset: 45}
"""
SOUND = "{at: 200, angle: 5, plane: 90, radius: 100}"


def placed(text: str) -> InSpace:
    spec = loads(EIGHT + text, "frame.yaml")
    return in_space(spec, solve(spec))


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
    assert "begins before the tube's first end, which is at 0.0" in fault.message
    assert "move the bend" in fault.message
    assert "100000" not in fault.message


def test_no_other_slip_is_told_to_move_a_bend() -> None:
    fault = fault_of("tubes:\n  down_tube: {diameter_end: 30, taper: [300, 100]}\n")
    assert (fault.key, fault.line) == ("tubes.down_tube.taper", 5)
    assert "bend" not in fault.message


def test_a_short_steep_head_tube_is_placed() -> None:
    """Its cone, continued for the mitres, came to a point within reach, and its bends were blamed."""
    text = EIGHT.replace("head_tube_length: 150", "head_tube_length: 62")
    spec = loads(f"{text}tubes: {{head_tube: {{diameter_top: 24, diameter_bottom: 80}}}}\n")
    head = in_space(spec, solve(spec)).frame.tubes["head_tube"]
    assert head.diameter_at(0.0)[0] == pytest.approx(80.0)
    assert head.diameter_at(62.0)[0] == pytest.approx(24.0)


def test_a_bridge_where_the_stays_have_met_is_refused_at_its_own_line() -> None:
    text = "rear_end: {seat_stay_mount: single}\nfittings:\n  - {kind: boss, tube: seat_tube, at: 100}\n"
    fault = fault_of(f"{text}  - {{kind: bridge, tube: seat_stay, at: 0, from: top}}\n")
    assert (fault.key, fault.line) == ("fittings.1.at", 7)
    assert "0.0 apart" in fault.message and "bend" not in fault.message

"""What an inspection is said to mean: effects, pulls, corrections, and what is not worth a word."""

from __future__ import annotations

import pytest

from layout.checks.built import Judged, Move
from layout.checks.inspect import Inspection, verdict
from layout.report.advice import CAUTION, corrections, effects, is_off, pulls, signed_text


def judged(name: str, off: float, uncertainty: float = 0.3, design: float = 100.0) -> Judged:
    unit = "deg" if name in ("seat_angle", "head_angle", "head_twist", "pedal_lean_angle") else "mm"
    return Judged(name, unit, design, design + off, uncertainty, 0.2 if unit == "deg" else 1.0)


def inspection(*found: Judged, moves: tuple[Move, ...] = ()) -> Inspection:
    named = {j.name: j for j in found}
    return Inspection(verdict(found), named, (), 0, moves, (), 10, 1.0)


@pytest.mark.parametrize(
    ("name", "off", "words"),
    [
        ("trail", 2.1, "2.1 mm more trail: steadier"),
        ("trail", -2.1, "2.1 mm less trail: quicker"),
        ("wheelbase", 3.0, "3.0 mm longer wheelbase"),
        ("wheelbase", -3.0, "3.0 mm shorter wheelbase"),
        ("bb_drop", 1.5, "the BB lies lower"),
        ("bb_drop", -1.5, "sit higher"),
        ("reach", 2.0, "further forward"),
        ("stack", -2.0, "the bars are lower"),
        ("seat_angle", 0.8, "the saddle comes forward"),
    ],
)
def test_effects_follow_the_sign_of_the_deviation(name: str, off: float, words: str) -> None:
    (line,) = effects(inspection(judged(name, off)))
    assert words in line


def test_what_the_readings_do_not_tell_from_none_is_called_as_designed() -> None:
    lines = list(effects(inspection(judged("trail", 0.5, uncertainty=0.8), judged("bb_drop", 0.0))))
    assert lines == ["As designed, or too near to feel or to measure: trail, BB drop."]
    assert not is_off(judged("trail", 0.04, uncertainty=0.01))


def test_what_nobody_feels_is_not_said_to_steer_the_bicycle() -> None:
    """0.4 mm more trail, known to 0.3, was called steadier and slower to steer."""
    for off, known in ((0.4, 0.3), (0.9, 0.01), (1.5, 1.0)):
        (line,) = effects(inspection(judged("trail", off, uncertainty=known)))
        assert line == "As designed, or too near to feel or to measure: trail."


def test_as_designed_does_not_stand_alone_where_the_alignment_is_out() -> None:
    """A frame whose head tube was twisted by 2 degrees was said to be, on the road, as designed."""
    twisted = inspection(judged("trail", 0.0), judged("head_twist", 2.0, 0.1, design=0.0))
    first, second = effects(twisted)
    assert first.startswith("Alignment is out of tolerance (head twist +2.00°): correct this first.")
    assert second.startswith("As designed")
    straight = inspection(judged("trail", 0.0), judged("head_twist", 0.1, 0.1, design=0.0))
    assert not any("lignment" in line for line in effects(straight))


def test_the_saddle_is_slid_back_by_what_the_seat_angle_moves_it() -> None:
    """700 mm up at 73 and at 74 degrees: 204.7 and 192.9 behind the BB, 12 apart."""
    height = Judged("saddle_height", "mm", 700.0, None, None, 1.0)
    lines = effects(inspection(judged("seat_angle", 1.0, design=73.0), height))
    assert "slide it 12 mm back" in next(lines)


def test_a_clearance_under_the_standards_is_said() -> None:
    lines = list(effects(inspection(Judged("pedal_lean_angle", "deg", 25.7, 24.9, 0.1, 0.2))))
    assert lines == ["pedal lean angle is 24.90°. ISO 4210-2 asks for at least 25° (from memory: check it)."]


def test_pulls_go_against_the_offset() -> None:
    moves = (Move("head_tube_top", 2.1, -0.4, 0.3, 0.3), Move("rear_axle", 0.1, 0.1, 0.3, 0.3))
    (said,) = pulls(inspection(moves=moves))
    assert said == "head tube top: bring it 2.1 mm towards the rear and 0.4 mm up."


def test_correcting_is_offered_only_in_tolerance_and_only_what_is_off() -> None:
    good = inspection(judged("dropout_spacing", 0.8), judged("wheel_centring", 0.1), judged("reach", 0.9))
    assert [line.split(":")[0] for line in corrections(good)] == ["dropout spacing"]
    bad = inspection(judged("dropout_spacing", 0.8), judged("reach", 5.0))
    assert bad.verdict.value == "fail"
    assert list(corrections(bad)) == []
    assert "steel frames only" in CAUTION


def test_a_tube_too_short_is_not_corrected_by_taking_more_off() -> None:
    assert list(corrections(inspection(judged("head_tube_length", -0.8)))) == []
    assert "face the longer end" in next(corrections(inspection(judged("head_tube_length", 0.8))))


def test_heights_off_the_plane_are_pulled_towards_it() -> None:
    (line,) = corrections(inspection(judged("height_head_tube_top", 0.7, design=0.0)))
    assert line == "head tube top off the plane: hold the shell, pull it towards the plane (+0.7 mm)."


def test_a_deviation_is_shown_with_its_sign() -> None:
    assert [signed_text(judged("trail", v)) for v in (1.26, 0.04, -0.04, -1.0)] == [
        "+1.3 mm", "0.0 mm", "0.0 mm", "-1.0 mm",
    ]  # fmt: skip
    assert signed_text(judged("head_angle", 0.25)) == "+0.25°"

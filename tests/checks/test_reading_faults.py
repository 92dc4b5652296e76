"""What is wrong with a row for one frame: told with its place, and in the same words by tape and inspect."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from layout.checks.reading_faults import Known, known_of, reading_faults
from layout.errors import Fault, SpecError
from layout.frame.solve import Frame, solve
from layout.spec.load import load
from layout.spec.readings import ReadingKind, loads_readings

SPECS = Path(__file__).parents[2] / "specs"


@pytest.fixture(scope="module")
def frame() -> Frame:
    return solve(load(SPECS / "all-road.yaml"))


def faults(known: Known, *rows: str) -> tuple[Fault, ...]:
    text = "readings:\n" + "".join(f"- {{{row}}}\n" for row in rows)
    try:
        loads_readings(text, "r.yaml", partial(reading_faults, known))
    except SpecError as e:
        return e.faults
    return ()


WRONG = [
    ("from: bb, to: front_axel, measured: 1", "to", "unknown_key", "Did you mean front_axle?"),
    ("from: nose, to: bb, measured: 1", "from", "unknown_key", "Expected bb"),
    ("from: bb, to: seat_tube_foot, measured: 1", "to", "range", "from and to are the same point"),
    ("from: bb, to: bb, measured: 1", "to", "range", "from and to are the same point"),
    ("from: bb, to: front_axle, measured: -612", "measured", "range", "is -612; expected a distance of more"),
    ("dimension: head_angel, measured: 71", "dimension", "unknown_key", "Did you mean head_angle"),
    ("dimension: head_angle, measured: 715", "measured", "range", "is 715; expected 45 to 90 degrees. Check"),
    ("dimension: wheel_flop, measured: -90", "measured", "range", "is -90; expected -50 to 250 mm. Check"),
    ("height: nose, measured: 1", "height", "unknown_key", "Expected bb"),
    ("height: bb, measured: 345", "measured", "range", "expected -100 to 100 mm"),
    ("alignment: head_twist, measured: 71", "measured", "range", "expected -20 to 20 degrees"),
    ("alignment: dropout_spacing, measured: 0.6", "measured", "range", "expected 80 to 220 mm"),
]


@pytest.mark.parametrize(("row", "key", "code", "words"), WRONG)
def test_a_fault_names_the_line_and_what_to_write(
    frame: Frame, row: str, key: str, code: str, words: str
) -> None:
    (fault,) = faults(known_of(frame), "dimension: head_angle, measured: 71", row)
    assert (fault.file, fault.line, fault.key, fault.code) == ("r.yaml", 3, f"readings.1.{key}", code)
    assert words in fault.message


@pytest.mark.parametrize("row", [row for row, *_ in WRONG if row.startswith("from")])
def test_a_slip_is_told_in_the_same_words_by_tape_and_inspect(frame: Frame, row: str) -> None:
    """A mistyped point was of the code `type` here and `unknown_key` there, each in words of its own."""
    told = faults(known_of(frame), row)
    assert told and told == faults(Known(frame.plane.points, kinds=(ReadingKind.DISTANCE,)), row)


def test_the_ends_of_a_range_can_be_read_and_an_empty_row_is_no_fault(frame: Frame) -> None:
    rows = (
        "dimension: head_angle, measured: 50", "dimension: head_angle, measured: 85",
        "alignment: head_twist, measured: -20", "height: bb, measured: ",
        "from: bb, to: rear_axle, measured: ",
    )  # fmt: skip
    assert faults(known_of(frame), *rows) == ()


def test_a_row_with_two_faults_has_both_told(frame: Frame) -> None:
    told = faults(known_of(frame), "from: bb, to: front_axel, measured: 0")
    assert [f.key for f in told] == ["readings.0.to", "readings.0.measured"]


def test_a_dimension_that_the_spec_does_not_determine_cannot_be_read() -> None:
    track = solve(load(SPECS / "track.yaml"))
    (fault,) = faults(known_of(track), "dimension: bar_x, measured: 470")
    assert "does not determine" in fault.message


def test_the_tape_check_takes_distances_alone(frame: Frame) -> None:
    known = Known(frame.plane.points, kinds=(ReadingKind.DISTANCE,))
    (fault,) = faults(known, "dimension: head_angle, measured: 715")
    assert (fault.key, fault.code) == ("readings.0.dimension", "type")
    assert "is for `layout inspect`" in fault.message
